steelyard teardown vehicles/readings/teardown.csv --gain-sd -1
