-- A loop without an end.
while true do end
