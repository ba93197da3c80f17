steelyard stands vehicles/teasel.lua 250,-300,150 250,300,150 1300,-300,150 1300,300,150 --state empty --without engine,gearbox
