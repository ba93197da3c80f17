steelyard track vehicles/history --car sedge --state scales --skip
