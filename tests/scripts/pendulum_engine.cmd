steelyard pendulum vehicles/readings/engine_trifilar.csv
