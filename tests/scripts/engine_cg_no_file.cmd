steelyard engine_cg no/such.csv
