steelyard read_corners vehicles/readings/weighbridge.csv
