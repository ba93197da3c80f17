--- The checks of a shaft's row, by name.

local row_check = {}

--- The check of that name in a row, or nil.
function row_check.named(row, what)
  for _, check in ipairs(row.checks) do
    if check.what == what then return check end
  end
end

return row_check
