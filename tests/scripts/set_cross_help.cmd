steelyard set_cross --help
