--- What the tables of calls share. See calls.lua for what an entry says.

local common = {}

common.status = "pass, near, fail or unknown"

--- The fields of a car's result, behind those that every one has.
function common.stated(...)
  return {
    {"state", "text", "", "the load state"}, {"heading", "text", "", "title, state and changes"},
    {"notes", "text[]", "", "assumptions, warnings and cautions, each a sentence"}, ...,
  }
end

--- The file's limits, of what prints a balance.
common.limits = {
  {"limits[]?.name", "text", "", "of the limit"}, {"limits[]?.quantity", "text", "", "what is limited"},
  {"limits[]?.unit", "text", "", "of its numbers"}, {"limits[]?.state?", "text", "", "in which it is judged, where the limit names one"},
  {"limits[]?.column?", "text", "", "the car it is judged of, where there are several, or the ground where that is not the page's"},
  {"limits[]?.value?", "number", "", "in the quantity's unit; none when unknown"}, {"limits[]?.sd?", "number", "", "of the value"},
  {"limits[]?.min?", "number", "", "lower limit"}, {"limits[]?.max?", "number", "", "upper limit"},
  {"limits[]?.margin?", "number", "", "to the nearer limit, negative when broken"}, {"limits[]?.status", "text", "", common.status},
  {"limits[]?.why", "text", "", "in words"},
}

--- What every result says of its origin, whatever its kind; print/origin.lua.
common.origin = {
  {"aboard[]?.name", "text", "", "persons, tanks and what the state brings along, as loaded"},
  {"aboard[]?.mass", "number", "kg", "of the liquid, for a tank"}, {"aboard[]?.litres?", "number", "litre", "in a tank"},
  {"file?.name", "text", "", "base name of the vehicle file, or of the readings"},
  {"file?.sha256", "text", "", "digest of its bytes, and behind them of each table and mesh it names"},
  {"file?.changes?", "number", "", "made to the car since it was read"},
  {"readings_file?.name", "text", "", "base name of the file of readings of a car"},
  {"readings_file?.sha256", "text", "", "digest of its bytes"},
  {"other_files[]?.name", "text", "", "of the other cars"}, {"other_files[]?.sha256", "text", "", "likewise"},
  {"other_files[]?.changes?", "number", "", "likewise"}, {"version?", "text", "", "of steelyard"},
}

return common
