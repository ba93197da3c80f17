steelyard read_corners no/such.csv
