steelyard teardown vehicles/readings/teardown.csv
