steelyard what_if --help
