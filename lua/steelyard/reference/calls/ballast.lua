--- The table of calls, continued: ballast. See calls.lua for what an entry says.

local common = require "steelyard.reference.calls.common"

local calls = {}

calls.car = {
  {"car:ballast", {{"options", "options.ballast"}}, "ballast",
    "The least mass in slots, in whole steps, that brings quantities where they are wanted; or why not, and the nearest."},
}

-- What masses in the slots come to, under `path`; the last fields of `fields`.
local function with_placed(path, fields)
  for _, field in ipairs{
    {"placed[]?.name", "text", "", "of the slot"}, {"placed[]?.mass", "number", "kg", "in it"},
    {"placed[]?.at.x", "number", "mm", "as given"}, {"placed[]?.at.y", "number", "mm", "the same"},
    {"placed[]?.at.z", "number", "mm", "the same"}, {"placed[]?.steps", "number", "", "so many steps, or grams"},
    {"placed[]?.step?", "number", "kg", "as given"}, {"placed[]?.max", "number", "kg", "as given"},
    {"placed[]?.full", "boolean", "", "not one step more goes in"},
    {"added?", "number", "kg", "in all slots"}, {"car?", "car", "", "the car with it: parts named as the slots"},
    {"after?", "balance", "", "of that car; changes are against the car asked about"},
    {"after_finish?", "balance", "", "the same at the finish, changes against the car without ballast there"},
    {"minimum?.asked", "number", "kg", "as given"}, {"minimum?.mass", "number", "kg", "of the car, at the finish where one is given"},
    {"minimum?.margin", "number", "kg", "above it"}, {"minimum?.sd", "number", "kg", "standard uncertainty of the mass"},
    {"minimum?.status", "text", "", common.status},
    {"what_if?", "text[]", "", "as changes for `steelyard what_if`; nil where it has no words for a slot, as for one in a group"},
    {"reached?", "table<string, number>", "", "targets, by quantity"},
    {"misses?", "table<string, number>", "", "reached less target, by quantity"},
    {"height_cost?", "number", "mm", "what it adds to the height of the CG"}, {"yaw_cost?", "number", "kg m2", "to the yaw inertia"},
  } do fields[#fields + 1] = {path .. field[1], field[2], field[3], field[4]} end
  return fields
end

calls.results = {
  {"ballast", "What car:ballast gives: what to place where it is possible, else the nearest to it.", limits = true,
    fields = with_placed("nearest?.", with_placed("", common.stated(
    {"possible", "boolean", "", "targets, minimum and limits hold"}, {"why?", "text", "", "why not, and what would do"},
    {"asked", "text", "", "what is wanted, in words"},
    {"target", "table<string, number>", "", "by quantity, as given, in its unit"},
    {"within", "table<string, number>", "", "by quantity: how far off is still there, as given or half of what one step of the most \z
      effective slot changes"},
    {"within_by_step", "text[]", "", "quantities of which nobody stated that"},
    {"binding[]?.kind", "text", "", "slot, limit or minimum"}, {"binding[]?.name", "text", "", "which"},
    {"binding[]?.value", "number", "", "where it stands, in its unit"}, {"binding[]?.unit", "text", "", "of the value"},
    {"binding[]?.gain", "number", "kg", "what less would do without it"},
    {"nearest?.hinders[].kind", "text", "", "full (a slot at its stop), slot, slots, steps, limit, limits or targets"},
    {"nearest?.hinders[].name?", "text", "", "of the slot or the limit"},
    {"nearest?.hinders[].needs?", "number", "kg", "what that slot would have to hold"},
    {"nearest?.hinders[].masses", "table<string, number>", "kg", "by slot: what would do then"},
    {"nearest?.hinders[].words", "text", "", "the same as a sentence"},
    {"tried.boxes", "number", "", "of masses, that were bounded as a whole"},
    {"tried.combinations", "number", "", "that were worked out one by one"})))},
}

return calls
