steelyard book vehicles/twayblade.lua powertrain --semicolon --state kerb
