steelyard sheets vehicles/burnet.lua cg_height --to form.svg
