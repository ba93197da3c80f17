steelyard sheets vehicles/burnet.lua corners --part floor --to form.pdf
