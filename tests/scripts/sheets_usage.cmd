steelyard sheets vehicles/burnet.lua corner --to form.pdf
