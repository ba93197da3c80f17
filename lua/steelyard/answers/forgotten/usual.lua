--- What is usually left out of a ledger, by which words it would be recognised, and what it usually weighs.
--
-- Ranges are kg for a light one-off car: common practice, no source. They say whether a question is worth asking and are booked
-- nowhere.
--
-- covered         a list of phrases, like the two below. A phrase is words that must all be there, in one text or along one path;
--                 "-word" must not stand in the same text, "!word" nowhere on the path, and "=word" is the whole text. Words are
--                 compared whole and in the singular.
-- needs, unless   asked only when one of the first is in the ledger, and none of the second
-- when            said with it

local usual = {}

local engine, gears = {"engine", "motor"}, {"gearbox", "transaxle", "transmission", "differential"}
local road = "if road legal"

usual.list = {
  {name = "wiring loom", low = 6, high = 20, covered = {"loom", "wiring", "wire", "engine harness", "main harness", "chassis harness"}},
  {name = "fasteners", low = 4, high = 12, covered = {"fastener", "bolt", "screw", "hardware"}},
  {name = "brackets and tabs", low = 2, high = 6, covered = {"bracket", "tab", "mounting"}},
  {name = "hoses, pipes and clips", low = 1.5, high = 6, needs = {"radiator", "cooling", "coolant"},
    covered = {"hose -brake -fuel -oil !brake !fuel", "coolant pipe", "cooling pipe", "water pipe", "coolant line"}},
  {name = "coolant", low = 4, high = 10, needs = {"radiator", "cooling"},
    covered = {"coolant -pipe -hose -pump -line -tank", "cooling wet", "radiator wet", "antifreeze", "water -pump -pipe -hose -tank"}},
  {name = "brake fluid", low = 0.4, high = 1, covered = {"brake fluid", "hydraulic fluid"}},
  {name = "engine oil", low = 3, high = 7, needs = engine,
    covered = {"oil -cooler -tank -pump -line -hose -pipe -filter -pan -sump -seal -gear -gearbox -transaxle -differential -left -catch "
      .. "-cap -sensor -pressure -swirl", "engine wet"}},
  {name = "gear oil", low = 1, high = 3, needs = gears,
    covered = {"gear oil", "gearbox oil", "transaxle oil", "transmission oil", "differential oil", "gearbox wet", "transaxle wet"}},
  {name = "paint or wrap", low = 3, high = 12, covered = {"paint", "wrap", "lacquer", "varnish", "gelcoat", "gel coat"}},
  {name = "sealant and adhesive", low = 0.5, high = 3, covered = {"sealant", "adhesive", "glue", "sealer"}},
  {name = "safety belts", low = 2, high = 6,
    covered = {"harness -wiring -wire -engine -main -chassis -loom -injector", "belt !tensioner !engine !timing !alternator !drive !fan",
      "restraint"}},
  {name = "extinguisher", low = 3, high = 6, covered = {"extinguisher", "fire bottle", "fire suppression"}},
  {name = "mirrors", low = 0.5, high = 2, covered = {"mirror"}},
  {name = "engine and gearbox mounts", low = 1.5, high = 4, needs = engine,
    covered = {"engine mount", "motor mount", "powertrain mount", "transaxle mount", "gearbox mount", "engine mounting"}},
  {name = "drive shafts", low = 6, high = 16, needs = gears, unless = {"chain", "sprocket"},
    covered = {"driveshaft", "drive shaft", "halfshaft", "half shaft", "axle shaft", "inner joint", "outer joint", "cv joint",
      "shaft -steering -cam -crank -input -lay -prop !gear !steering !engine !column"}},
  {name = "driver's suit and helmet", low = 3, high = 6, needs = {"driver"},
    covered = {"suit", "helmet", "overall", "clothing", "dressed", "kit"}},
  {name = "fuel pump and filter", low = 0.8, high = 3, needs = {"fuel", "petrol"},
    covered = {"fuel pump", "lift pump", "petrol pump", "fuel filter"}},
  {name = "fuel lines", low = 0.5, high = 2, needs = {"fuel", "petrol"},
    covered = {"fuel line", "fuel hose", "fuel pipe", "petrol line"}},
  {name = "brake lines", low = 0.8, high = 2, covered = {"brake line", "brake pipe", "brake hose"}},
  {name = "battery cables", low = 1.5, high = 4, needs = {"battery"},
    covered = {"battery cable", "battery lead", "starter cable", "power cable", "main cable"}},
  {name = "battery isolator", low = 0.3, high = 0.8, needs = {"battery"}, covered = {"isolator", "kill switch", "master switch"}},
  {name = "firewall and heat shields", low = 1.5, high = 5, needs = {"engine", "exhaust"},
    covered = {"firewall", "fire wall", "heat shield", "heatshield", "bulkhead -front"}},
  {name = "catch tank and breathers", low = 0.5, high = 1.5, needs = engine, covered = {"catch tank", "breather", "catch can"}},
  {name = "tow eyes", low = 0.4, high = 1.5, covered = {"tow", "towing"}},
  {name = "jack points", low = 0.5, high = 2, covered = {"jack", "jacking"}},
  {name = "wheel nuts and balance weights", low = 0.8, high = 2,
    covered = {"wheel nut", "wheel bolt", "lug", "balance weight", "centre lock"}},
  {name = "ducts", low = 0.5, high = 2.5, covered = {"duct", "ducting"}},
  {name = "padding and head rest", low = 0.5, high = 2, covered = {"padding", "headrest", "head rest", "pad -brake !brake"}},
  {name = "lights", low = 2.5, high = 6, when = road,
    covered = {"=light", "lamp", "headlight", "lighting", "head light", "tail light", "rear light", "rain light"}},
  {name = "number plates", low = 0.5, high = 1.5, when = road, covered = {"number plate", "licence plate", "license plate"}},
  {name = "wiper, washer and horn", low = 2, high = 6, when = road, covered = {"wiper", "washer", "horn"}},
  {name = "parking brake", low = 1, high = 4, when = road, covered = {"handbrake", "hand brake", "parking"}},
}

return usual
