steelyard teardown vehicles/readings/teardown_slip.csv --json
