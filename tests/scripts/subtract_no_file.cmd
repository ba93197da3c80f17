steelyard subtract no/such.csv
