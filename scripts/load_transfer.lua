--- What do the wheels carry in a bend or braking, and which lifts first?
-- Step: set up
-- Usage: steelyard load_transfer CAR [--left G | --right G] [--braking G | --drive G] [--front KG --rear KG] [--bars WORD] [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "Wheel loads in steady cornering, braking and drive and under downforce, by path (through roll centres, through springs and "
    .. "bars, of the unsprung parts); roll, pitch, and the first wheel off the ground.",
  usage = "load_transfer CAR [--left G | --right G] [--braking G | --drive G] [--front KG] [--rear KG] [--bars WORD] [--state NAME]",
  prints = "result",
  examples = {'steelyard load_transfer vehicles/twayblade.lua --left 0.8 --state "race start"',
    'steelyard load_transfer vehicles/twayblade.lua --right 0.9 --braking 0.4 --front 40 --rear 65 --state "race start"'},
  args = {{"car", "vehicle file"}},
  options = {
    left = {"G", "left turn, sideways acceleration in g", number = true, field = "left_turn"},
    right = {"G", "right turn", number = true, field = "right_turn"},
    braking = {"G", "deceleration in g", number = true}, drive = {"G", "acceleration in g", number = true},
    front = {"KG", "downforce over the front axle", number = true}, rear = {"KG", "downforce over the rear axle", number = true},
    bars = {"WORD", "anti-roll bars", choices = {"off", "connected"}, default = "connected"},
    state = {"NAME", "a load state of the file"}},
  apart = {{"left", "right"}, {"braking", "drive"}},
  needs = {{"left", "right", "braking", "drive", "front", "rear"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
sy.out(o, car:transfer{left_turn = o.left, right_turn = o.right, braking = o.braking, drive = o.drive, bars = o.bars,
  downforce = (o.front or o.rear) and {front = o.front or 0, rear = o.rear or 0} or nil})
