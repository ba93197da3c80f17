steelyard hang_engine vehicles/readings/hang_engine.csv
