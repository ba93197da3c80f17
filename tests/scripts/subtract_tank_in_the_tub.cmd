steelyard subtract vehicles/readings/tank_in_the_tub.csv
