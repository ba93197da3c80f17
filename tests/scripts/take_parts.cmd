steelyard take_parts vehicles/fescue_parts.csv --quiet
