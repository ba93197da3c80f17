steelyard take_parts parts.csv --axes back,rihgt,up
