steelyard pendulum vehicles/readings/upright_tensor.csv
