--- The fields of scales and of what they read; what a row says stands in file/language.lua.

local language = require "steelyard.file.language"

local needed, note = language.needed, language.note

local scales = {}

local mass_unit = {words = language.mass_units}

function scales.weighed()
  return {
    {"reading", "readings", needed, "what the scale showed, or a list of repeats"},
    {"unit", "choice", mass_unit, "in which all numbers of the record are", otherwise = "the instrument's; with unit words, \z
      `30.42*lb`, theirs"},
    {"instrument", "text", nil, "what it was read on", form = "name", range = "one of `instruments`",
      otherwise = "`instrument` of the part; without it a scale nothing is known of"},
    {"on", "alias", {of = "instrument"}, "another name of `instrument`", form = "name", otherwise = "`instrument`"},
    {"zero_before", "shown", nil, "what it showed with nothing on it, before", otherwise = "not looked at"},
    {"zero_after", "shown", nil, "the same, after", otherwise = "not looked at"},
    {"tare", "shown", nil, "what it showed with everything on it but the part", otherwise = "none"},
    {"with", "loads", nil, "what else was on it, known from elsewhere", otherwise = "nothing"},
    {"pieces", "count", nil, "so many were on it together, of a `pair` or `count` or a handful of them", otherwise = "1"}, note,
  }
end

function scales.instrument()
  return {
    {"name", "text", needed, "what `instrument` of parts, weighings and records refers to"},
    {"unit", "choice", mass_unit, "what it reads in", otherwise = "kg"},
    {"sd", "shown", {min = 0}, "standard uncertainty of one reading: its repeatability", form = "its unit",
      otherwise = "not stated"},
    {"step", "shown", {above = 0}, "smallest step of its display", form = "its unit", otherwise = "not stated"},
    {"range", "shown", {above = 0}, "most it reads", form = "its unit", otherwise = "not stated"},
    {"bias", "shown", nil, "what it shows too much, the same for every load, after its zero is read; `sd(0, 0.02)`: nothing \z
      known, but so unsure", form = "its unit", otherwise = "0"},
    {"gain", "gain", {unit = "", above = 0}, "what it shows for each unit put on it; `sd(1.0005, 0.0005)` as its certificate says",
      otherwise = "1"},
    {"each", "fields", {kind = "pad"}, "of a set of pads: what each has of its own, by itself, beside what all have in common",
      otherwise = "nothing of their own"},
    {"certificate", "text", nil, "number and date of its calibration", otherwise = "none"}, note,
  }
end

function scales.pad()
  return {
    {"bias", "shown", nil, "what each pad shows too much by itself", form = "its unit", otherwise = "0"},
    {"gain", "gain", {unit = "", above = 0}, "what each pad shows by itself for each unit put on it", otherwise = "1"},
  }
end

return scales
