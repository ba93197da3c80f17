--- How do I keep what was measured: a record in the vehicle file?
-- Step: weigh
-- Usage: steelyard record CAR NAME --corners LF,RF,LR,RR|--axles FRONT,REAR|--from FILE [--state NAME] [--date DATE] --replace|--to NEW.lua

local sy = require "steelyard"
local core = require "steelyard.core"
local keep = require "steelyard.measure.records.keep"
local given = require "steelyard.measure.reconcile.given"
local wheel_loads = require "steelyard.measure.wheel_loads"
local out = require "steelyard.command.out"

local o = sy.options{
  about = "Puts a record into the vehicle file, last in its records, and prints what it says of the car. Nothing else in the text "
    .. "changes. A record speaks of the car as the file has it: write it before the next change.",
  usage = "record CAR NAME --corners LF,RF,LR,RR|--axles FRONT,REAR|--from FILE [--kind WORD] [--state NAME] [--date DATE] "
    .. "[--instrument NAME] [--who TEXT] [--note TEXT] --replace|--to NEW.lua",
  examples = {'steelyard record vehicles/first_guess.lua "first scales" --corners 160.5,170,222.5,233 --state "no driver" --to seen.lua',
    'steelyard record vehicles/twayblade.lua "weighbridge" --axles 300,410 --state kerb --date 2026-05-02 --to weighed_2.lua'},
  args = {{"car", "vehicle file"}, {"name", "of the record"}},
  options = {
    corners = {"KG,KG,...", "what the scale under each wheel read, left before right, front to rear", number = true, list = true},
    axles = {"KG,KG,...", "or under each axle, front first", number = true, list = true},
    from = {"FILE", "or a table of readings beside the vehicle file or below it, as read_corners and cg_height read them"},
    kind = {"WORD", "what such a table has", choices = {"corners", "axles", "lift"}, default = "corners"},
    state = {"NAME", "load state of the file that it was measured in"},
    date = {"DATE", "2026-05-02"}, instrument = {"NAME", "of the file: what it was read on"},
    who = {"TEXT", "who measured"}, note = {"TEXT", "free text"},
    to = {"FILE", "the vehicle file to write"}, replace = {nil, "writes into CAR itself, or over a file that is there"},
  },
  apart = {{"corners", "axles", "from"}}, needs = {{"corners", "axles", "from"}, {"to", "replace"}},
}
local car = sy.load(o.car)
local fields = {kind = o.corners and "corners" or o.axles and "axles" or o.kind, state = o.state, date = o.date, instrument = o.instrument,
                who = o.who, note = o.note, from = o.from and keep.below(o.car, o.from)}
fields.corners = wheel_loads.typed(o.corners, given.wheels(car), "corners")
fields.axles = wheel_loads.typed(o.axles, given.axles(car), "axles")
local plan = keep.plan(o.car, o.name, fields, o.to or o.car)
local says = plan.car:record(o.name) -- what cannot be worked out is not kept
core.write_file(plan.path, plan.text, o.replace)
out.remark(o, keep.said(plan, o.name))
sy.out(o, says)
