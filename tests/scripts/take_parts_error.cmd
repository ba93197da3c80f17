steelyard take_parts tests/reference/exports/de_DE_divided.csv --wheelbase 2400 --track 1450,1460
