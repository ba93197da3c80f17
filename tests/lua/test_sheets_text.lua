--- Blank forms: the car's own wheels, lengths and parts, and heads that the readers of readings know.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local sheets = require "steelyard.shop.sheets_text"
local test = check.test

local four, three = sy.load "vehicles/twayblade.lua", sy.load "vehicles/burnet.lua"

test("wheels_stand_in_the_order_of_the_car", function()
  check.contains(sheets.corners(four), "lf     _____")
  check.ok(sheets.corners(four):find("\nlf .-\nrf .-\nlr .-\nrr "))
  local keys = {}
  for key in sheets.corners(three):gmatch "\n(%l+) +_____ " do keys[#keys + 1] = key end
  check.equal(#keys, 9, "three runs of three wheels")
  check.equal({keys[1], keys[2], keys[3]}, {"lf", "rf", "r"})
  check.contains(sheets.lift(three), "r, kg")
end)

test("drawn_lengths_stand_beside_the_blanks", function()
  check.contains(sheets.lift(four), "wheelbase left _________ mm (drawn 2400)")
  check.contains(sheets.lift(four), "rear loaded radius right _________ mm (drawn 301)")
  check.contains(sheets.corners(four), "front track _________ mm (drawn 1450)")
end)

test("a_teardown_lists_what_is_booked", function()
  local sheet = sheets.teardown(four, "transaxle")
  check.contains(sheet, "transaxle (whole)")
  check.contains(sheet, "2.30 (2 x 1.150)")
  check.contains(sheet, "Booked together 61.9 kg")
  check.ok(not sheets.teardown(four):find "\ndriver ", "nobody is torn down")
  check.raises(function() sheets.teardown(four, "transaxel") end, {code = "unknown", hint = "transaxle"})
end)

test("every_sheet_warns_and_names_its_command", function()
  local commands = {corners = "steelyard read_corners", lift = "steelyard cg_height", teardown = "steelyard book",
                    part = "steelyard engine_cg"}
  local all = sheets.of(four:state "race start")
  check.equal(#all.sheets, 4)
  for _, sheet in ipairs(all.sheets) do
    check.contains(sheet.text, commands[sheet.name])
    check.ok(sheet.text:find "ocal" and sheet.text:find "decide" or sheet.text:find "local rules", sheet.name)
    check.contains(sheet.text, "load state race start")
    for line in sheet.text:gmatch "[^\n]+" do check.ok(#line <= 132, "fits on paper: " .. line) end
  end
  check.equal(#sheets.of(four, {sheet = "lift"}).sheets, 1)
end)

test("what_the_corner_form_says_is_what_the_reader_reads", function()
  local head = sheets.corners(four):match "in the file: ([%l_,]+)%."
  check.equal(head, "run,wheel,pad,reading,zero_before,zero_after,facing")
  local path = os.tmpname()
  local f = assert(io.open(path, "wb"))
  f:write(head, "\n1,lf,A,151,0,0,forward\n1,rf,B,149,0,0,\n1,lr,C,213,0,0,\n1,rr,D,219,0,0,\n")
  f:close()
  local r = require("steelyard.measure.corner_scales.file").of(path)
  os.remove(path)
  check.near(r.mass, 732, 1e-9)
end)

check.done()
