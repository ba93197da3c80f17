--- Options of swinging a part for its inertia. See options.lua for what a row says.

-- A period, or timings: of what swings.
local function timed()
  return {"period?", "value", "s", "or times", "one full swing, there and back"},
    {"times?", "value[]", "s", "or period", "timings of so many full swings each"},
    {"swings?", "number", "", "needed with times", "full swings in one timing"}
end

local function kind(default)
  return {"kind?", '"compound"|"bifilar"|"trifilar"|"torsion"', "", default,
    "compound: on a pivot; bifilar, trifilar: on two or three wires; torsion: on a wire or rod that twists"}
end

-- What a swing is described by, behind the rows given.
local function swing_of(default, rows)
  local period, times, swings = timed()
  for _, row in ipairs{
    kind(default or "needed"),
    {"mass?", "value", "kg", default or "needed unless torsion", "of the part"}, period, times, swings,
    {"arm?", "value", "mm", default or "needed for compound", "pivot to CG"},
    {"arms?", "value[]|options.arms", "mm", default or "needed for bifilar", "CG to each wire"},
    {"radius?", "value", "mm", default or "needed for trifilar", "CG to the wires"},
    {"wire?", "value", "mm", default or "needed on wires", "length of the hanging wires"},
    {"rod?", "options.rod", "", default or "torsion: or stiffness", "a rod swung on the same wire, whose inertia is known"},
    {"platform?", "options.platform", "", default or "none", "what the part lies on, swung without it"},
    {"stiffness?", "value", "N m/rad", default or "torsion: or rod", "of the torsion wire"},
    {"g?", "value", "m/s2", default or "standard gravity", "gravity there"},
    {"swing?", "value", "deg", default or "small", "to each side; corrects the period of wide swings"},
  } do rows[#rows + 1] = row end
  return rows
end

local period, times, swings = timed()

return {
  pendulum = swing_of(nil, {"What sy.pendulum takes: one swing, or several about different axes.",
    {"title?", "text", "", "none", "for the heading"},
    {"state?", "text", "", "as swung", "in what state it was measured"},
    {"hangs?", "options.hang[]", "", "one swing", "several swings about different axes, for the tensor"},
    {"mirror?", "boolean", "", "false", "with hangs: the part is its own mirror image in y = 0"}}),
  hang = swing_of("as for all", {"One of several swings.",
    {"axis", "point", "", "", "direction of the axis it swung about, through the CG"}}),
  arms = {"CG to each of two wires.", {"r1", "value", "mm", "", "to the first"}, {"r2", "value", "mm", "", "to the second"}},
  rod = {"A rod swung on the same wire.", {"mass", "value", "kg", "", "of the rod"}, {"length", "value", "mm", "", "over all"},
    {"diameter", "value", "mm", "", "0 for a thin one"}, period, times, swings,
    {"on_platform?", "boolean", "", "false", "it lay on the platform"}},
  platform = {"What a part lies on, swung without it.", {"mass?", "value", "kg", "needed on wires", "of the platform"}, period, times,
    swings},
}
