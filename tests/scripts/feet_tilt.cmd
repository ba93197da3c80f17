steelyard feet_tilt vehicles/readings/tub_on_feet.csv
