--- Options of a car on its springs and under forces. See options.lua for what a row says.

local pads = {"pads?", "by_wheel", "mm", "level", "how much higher the pad under a wheel is"}
local perches = {"perches?", "by_wheel", "turns", "as set", "turns of a wheel's perch; + raises that corner"}
local preload = {"preload?", "by_axle", "mm", "0",
  "difference of travel, left to right, that an axle's bar is connected at; + loads the left wheel"}
local slope = {"slope?", "options.slope", "", "level", "how the ground slopes"}
local reset = {"reset?", "boolean", "", "false", "true counts the car's edits as drawn: springs set for them"}
local downforce = {"downforce?", "by_axle", "kg", "none", "downforce over an axle, as load on its wheels; negative where air lifts"}

local tipping_downforce = {downforce[1], downforce[2], downforce[3], downforce[4], downforce[5] .. "; counts in turns, traction and "
  .. "braking"}

local function bars(usual) return {"bars?", '"off"|"connected"', "", usual, "anti-roll bars"} end

local function g(name, default, meaning) return {name .. "?", "value", "g", default, meaning} end

local function share(name, meaning) return {name .. "?", "value", "%", "free", meaning} end

-- {left_turn =, right_turn =, braking =, drive =}
local function forces(default)
  return g("left_turn", default, "steady sideways acceleration in a left turn"),
    g("right_turn", default, "the same in a right turn; one of the two"),
    g("braking", default, "steady deceleration"), g("drive", default, "steady acceleration; one of the two")
end

local left_turn, right_turn, braking, drive = forces "0"
local tank_left, tank_right, tank_braking, tank_drive = forces "each at 1 g when none is given"

return {
  slope = {"How the ground slopes: one of nose_up and nose_down, one of left_up and right_up.",
    {"nose_up?", "value", "deg", "0", "the car's nose stands higher"}, {"nose_down?", "value", "deg", "0", "or lower"},
    {"left_up?", "value", "deg", "0", "its left side stands higher"}, {"right_up?", "value", "deg", "0", "or its right side"}},
  ends = {"Heights of the body at the axle lines.",
    {"front?", "value", "mm", "0", "at the first axle"}, {"rear?", "value", "mm", "0", "at the last axle"}},
  heights = {"Heights of the body at the axle lines, from the drawn ones, up positive.",
    {"front?", "value", "mm", "as now", "at the first axle"}, {"rear?", "value", "mm", "as now", "at the last axle"}},
  reading = {"What scales read of the car: under all four wheels, ride heights, or both.",
    {"lf?", "value", "kg", "not read", "under the left front wheel; all four or none"}, {"rf?", "value", "kg", "not read", "right front"},
    {"lr?", "value", "kg", "not read", "left rear"}, {"rr?", "value", "kg", "not read", "right rear"},
    {"state?", "text", "", "as the car is asked about", "load state in which it stood on the scales"},
    {"heights?", "table<string, value>", "mm", "not measured", "where the body stood then: front and rear from the drawn heights, up "
      .. "positive, or two points of the file above the floor"}},
  corners = {"What car:corners takes.", pads, perches, bars "off", preload, slope, reset},
  perches = {"What car:perches takes: a cross weight or other shares, heights, a roll, or several of them.",
    share("cross_share", "cross weight (RF + LR) to reach"), share("cross_weight", "another name of cross_share"),
    share("lf_share", "share of the left front wheel to reach"), share("rf_share", "right front"), share("lr_share", "left rear"),
    share("rr_share", "right rear"),
    share("front_share", "front by total; perches do not change it, the answer is the nearest they reach"),
    share("left_share", "left by total; the same"),
    {"hold?", '"heights"|"front heights"|"rear heights"|"least turns"|"all heights"', "", "heights",
      "what stays: the body at both axle lines and its mean roll, both corners of an end and the other axle line, nothing, or all four "
      .. "corners as well as can be"},
    {"heights?", "options.heights", "", "as now", "heights to reach"},
    {"roll?", "value", "deg", "as now", "roll of the body to reach, left side up: of both ends their mean, with the heights of an end held "
      .. "that end's, with all held both"},
    {"reading?", "text|options.reading|corner_scales", "", "assumed as drawn",
      "a record of corners by its name, what scales read of the car, or what sy.corner_scales gave"},
    {"notch?", "value", "turns", "0.25", "turns are rounded to that; 0 leaves them unrounded"}, pads, bars "off", preload, slope, reset},
  attitude = {"What car:attitude takes.",
    {"against?", "text|car", "", "the drawn heights", "a load state or a car: heights, angles and travels are then changes against it"},
    {"measured?", "table<string, value>", "mm", "nothing", "heights above the floor of two points of the file as measured: their rake"},
    pads, perches, bars "off", preload, slope, reset, downforce},
  transfer = {"What car:transfer takes: a force, downforce, or both.", left_turn, right_turn, braking, drive, downforce, bars "connected",
    reset, {"brake_front_share?", "value", "%", "as the axles are loaded", "front share of the braking force; counts where a file states \z
      the angle of links"}},
  stability = {"What car:stability takes.",
    {"mu?", "value", "", "1", "grip, for traction and braking"},
    {"required?", "value", "deg", "60", "angle of the table at which all wheels must still stand"},
    g("braking", "0", "steady deceleration beside the turn"), g("drive", "0", "or acceleration"),
    {"brake_front_share?", "value", "%", "not given", "front share of the braking force as the car is set"},
    {"drive_front_share?", "value", "%", "not given", "front share of the drive of a car that splits it in a fixed ratio"},
    bars "connected", reset,
    tipping_downforce},
  tank = {"What car:tank takes: steady forces.", tank_left, tank_right, tank_braking, tank_drive},
}
