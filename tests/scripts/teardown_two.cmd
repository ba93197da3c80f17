steelyard teardown vehicles/readings/teardown.csv vehicles/readings/teardown_transaxle.csv --bias-sd 0.002 --gain-sd 0.0005
