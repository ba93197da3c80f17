steelyard track vehicles/history
