steelyard hang_engine no/such.csv
