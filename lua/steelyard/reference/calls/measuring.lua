--- The table of calls, continued: measuring parts, and the car on scales. See calls.lua for what an entry says.

local calls = {}

calls.module = {
  {"sy.pendulum", {{"fields", "table", 'kind ("compound", "bifilar", "trifilar", "torsion"); mass; period in s, or times of so many '
    .. "full swings each; arm (pivot to CG) or arms {r1, r2}, radius and wire of the hanging wires; platform {mass, period or times, "
    .. "swings}; rod {mass, length, diameter, period or times, swings, on_platform} or stiffness (N m/rad) of a torsion wire; swing "
    .. "(degrees to each side); g (m/s2); hangs, a list of such tables each with axis {x, y, z}; mirror = true when the part is its own "
    .. "image in y = 0; title, state"}}, "pendulum",
    "Moment of inertia of a part about its own CG from the time it takes to swing; several axes give the tensor."},
  {"sy.corner_scales", {{"fields", "table", "runs, a list of {lf, rf, lr, rr | f, lr, rr | lf, rf, r | front, rear | total, pads? {lf "
    .. "= \"A\", ...}, "
    .. "zero_before?, zero_after? (by pad, or one number), facing? (\"forward\" or \"back\"), others? (\"blocks\" or \"floor\"), sd?, "
    .. "step?}; sd, of a "
    .. "reading, or {reading, offset}; step, of the display; gain, what a scale shows for one kilogram, one or by pad; plank {ratio, "
    .. "tare}; title, "
    .. "state"}}, "corner_scales", "Wheel loads from readings of scales: pads swapped, the car turned, part by part, tickets, a plank."},
  {"sy.part_cg", {{"fields", "table", "poses, a list of {readings = {A = kg, ...}, tare?, nose_up? nose_down? left_up? right_up? "
    .. "(degrees), "
    .. "supports?}; supports = {A = {x, y, z}, ...} for all poses; sd {reading, place, tilt}; step, the scales' display step; edge "
    .. "{balance_at, known_mass?, at?, along? (x)} or a list; axes {x = \"back\", y = \"right\", z = \"up\"} (forward, left, up unless "
    .. "given); feet = \"round\"; kind = \"flat engine\", \"inline engine\", \"vee engine\", \"engine\", \"gearbox\" or \"part\"; "
    .. "crank = {y, z}, a point of its crankshaft's centreline; title, state"}}, "part_cg",
    "Mass and CG of a part that stood on scales, level and tilted, or balanced on an edge."},
  {"sy.hang_cg", {{"fields", "table", "lines, a list of {from = the hanging point, to = a mark on the plumb line below it, name?}, in "
    .. "axes of "
    .. "the part; sd (3 mm, standard, each coordinate of a point without its own); kind, crank, axes as sy.part_cg; title, state"}}, "hung",
    "The CG of a part hung from several points: the point nearest to its plumb lines."},
  {"sy.subtract", {{"fields", "table", "whole and without, each {mass, cg, inertia?}, or its loads {front, rear} or {lf, rf, lr, rr} with "
    .. "wheelbase and tracks {front, rear}, or a result with mass and cg; title, state"}}, "remainder",
    "A part that cannot be weighed alone, from weighings with and without it. Places from loads are back of the front axle and to the "
    .. "right."},
  {"sy.mesh", {{"path", "text", "of an STL (binary or text) or OBJ file with a closed surface"}, {"options", "table", 'unit = "mm", "cm", '
    .. '"m", "inch" or "ft", which no such file says; mass (kg, as weighed) or density (kg/L); turn_outward = true for faces that look '
    .. "inward"}}, "mesh",
    "Volume, CG and inertia of a body drawn elsewhere. In a file and with one table, sy.mesh {path, unit = ...} is the shape of a part."},
}

calls.car = {
  {"car:reconcile", {{"fields", "table", "corners = {lf, rf, lr, rr} (or f, lr, rr and so on) or axles = {front, rear}, kg as read, or "
    .. "what sy.corner_scales gave; sd, of a reading without its own (0.5 kg); height, of the CG, or what car:cg_height gave; correct = "
    .. "true for the corrected car"}}, "reconciled",
    "The ledger against what the scales say of the whole car: masses and places moved as far as their stated uncertainties let them."},
}

-- what every measurement says
local function measured(...)
  return {
    {"state", "text", "", "what was measured in which state"}, {"heading", "text", "", "title, kind and state"},
    {"title?", "text", "", "as given"}, {"notes", "text[]", "", "assumptions, warnings and cautions, each a sentence"}, ...,
  }
end

calls.results = {
  {"mesh", "What sy.mesh gives, along the axes of the file.", fields = {
    {"state", "text", "", "a body by itself"}, {"heading", "text", "", "file and unit"},
    {"notes", "text[]", "", "assumptions, each a sentence"}, {"volume", "number", "litre", "of the material, cavities left out"},
    {"mass?", "number", "kg", "as given, or density x volume"}, {"cg.x", "number", "mm", "from the file's zero"},
    {"cg.y", "number", "mm", "the same"}, {"cg.z", "number", "mm", "the same"},
    {"inertia?", "table<string, number>", "kg m2", "xx yy zz xy xz yz about the CG, of a uniform body; where the mass is known"},
    {"size.x", "number", "mm", "length over all"}, {"size.y", "number", "mm", "the same"}, {"size.z", "number", "mm", "the same"},
    {"triangles", "number", "", "of the surface"}, {"shells", "number", "", "pieces of surface that do not hang together"},
    {"cavities", "number", "", "how many of them bound a hollow"}, {"format", "text", "", "binary STL, text STL or OBJ"},
    {"sd.mass?", "number", "kg", "where an uncertainty was stated"},
    {"sd.inertia?", "table<string, number>", "kg m2", "the same"}}},
  {"pendulum", "What sy.pendulum gives. Of several axes `inertia` is a table with the known ones of xx yy zz xy xz yz, and so is its sd.",
    fields = measured(
    {"kind", "text", "", "of pendulum"}, {"inertia", "table<string, number>|number", "kg m2", "about the CG; a number for one axis"},
    {"period?", "number", "s", "one full swing; of few timings its sd is widened so that 1.96 of it covers 95 "
      .. "%"}, {"stiffness?", "number", "N m/rad", "of a torsion wire"},
    {"amplitude?", "number", "", "measured period over that of small swings"},
    {"gyration?", "number", "mm", "radius of gyration"},
    {"budget[]?.source", "text", "", "what the uncertainty comes from, the largest first"},
    {"budget[]?.u", "number", "kg m2", "standard uncertainty by it"}, {"budget[]?.share", "number", "%", "of the variance"},
    {"dof?", "number", "", "axes less entries of the tensor"},
    {"rows[]?.hang", "number", "", "one of several axes"}, {"rows[]?.kind", "text", "", "of pendulum"},
    {"rows[]?.period", "number", "s", "one full swing"}, {"rows[]?.inertia", "number", "kg m2", "about that axis"},
    {"rows[]?.residual", "number", "kg m2", "measured less fitted"}, {"rows[]?.sd.inertia", "number", "kg m2", "standard uncertainty"},
    {"rows[]?.sd.period", "number", "s", "standard uncertainty"})},
  {"corner_scales", "What sy.corner_scales gives. Loads of the wheels there are: lf rf lr rr, f lr rr, lf rf r, or front and rear alone.",
    fields = measured(
    {"mass", "number", "kg", "all wheels"}, {"front", "number", "kg", "front wheels"}, {"rear", "number", "kg", "rear wheels"},
    {"left?", "number", "kg", "left wheels"}, {"right?", "number", "kg", "right wheels"}, {"lf?", "number", "kg", "left front"},
    {"rf?", "number", "kg", "right front"}, {"lr?", "number", "kg", "left rear"}, {"rr?", "number", "kg", "right rear"},
    {"f?", "number", "kg", "the one front wheel"}, {"r?", "number", "kg", "the one rear wheel"},
    {"front_share", "number", "%", "of the mass"}, {"left_share?", "number", "%", "of the mass"},
    {"cross_share?", "number", "%", "right front and left rear, of the mass"},
    {"diagonal_ratio?", "number", "", "that over the other diagonal"},
    {"pad?", "table<string, number>", "kg", "what each pad reads too much, as far as swapping shows it"},
    {"drift?", "number", "kg", "the largest move of a zero between before and after"},
    {"repeatability?", "number", "kg", "standard deviation of repeats"},
    {"closure?", "number", "kg", "largest difference between totals of the car, where it was weighed whole in several ways"},
    {"floor?.front?", "number", "kg", "what the floor's slope adds to each front wheel"},
    {"floor?.left?", "number", "kg", "what it adds to each left wheel"},
    {"rows[].what", "text", "", "wheel, axle or total"}, {"rows[].pad", "text", "", "the scale under it"},
    {"rows[].facing", "text", "", "forward or back"}, {"rows[].repeats", "number", "", "readings behind this row"},
    {"rows[].runs", "number[]", "", "of which runs"}, {"rows[].load", "number", "kg", "net, mean of the repeats"},
    {"rows[].residual", "number", "kg", "read less fitted"}, {"rows[].sigmas?", "number", "", "standardised residual"},
    {"rows[].sd.load", "number", "kg", "standard uncertainty"}, {"dof", "number", "", "observations less unknowns"},
    {"chi2?", "number", "", "sum of squares of the fit"}, {"p?", "number", "", "chance of readings that disagree so much"})},
  {"part_cg", "What sy.part_cg gives. Places are in the part's axes.", fields = measured(
    {"mass?", "number", "kg", "unless an edge alone leaves it open"}, {"cg.x?", "number", "mm", "where determined"},
    {"cg.y?", "number", "mm", "where determined"}, {"cg.z?", "number", "mm", "where determined"},
    {"determined.x", "boolean", "", "do the poses tell it?"}, {"determined.y", "boolean", "", "the same"},
    {"determined.z", "boolean", "", "the same"}, {"rows[].pose", "number", "", "in the order given"},
    {"rows[].support", "text", "", "its name"}, {"rows[].load", "number", "kg", "net of tare"},
    {"rows[].residual", "number", "kg", "read less fitted"},
    {"rows[].redundancy", "number", "", "0 to 1: the share of an error that shows"},
    {"rows[].sigmas?", "number", "", "standardised residual; none where nothing is stated or nothing checks it"},
    {"rows[].sd.load", "number", "kg", "standard uncertainty as stated"}, {"chi2?", "number", "", "sum of squares of the fit"},
    {"dof", "number", "", "observations less unknowns"}, {"p?", "number", "", "chance of readings that disagree so much"},
    {"suspect?.pose", "number", "", "the one reading that does not fit"}, {"suspect?.support", "text", "", "the same"},
    {"budget[].of", "text", "", "x, y or z"}, {"budget[].source", "text", "", "what its uncertainty comes from, the largest first"},
    {"budget[].u", "number", "mm", "standard uncertainty by it"}, {"budget[].share", "number", "%", "of the variance"})},
  {"reconciled", "What car:reconcile gives. Loads of the wheels there are, as adjusted. sd of a row is that of `after`.", fields = {
    {"state", "text", "", "the load state"}, {"heading", "text", "", "title, state and changes"},
    {"notes", "text[]", "", "assumptions and cautions, each a sentence"},
    {"fits", "boolean", "", "chance exceeds the chi-square in 5 % of cases or more"}, {"chi2", "number", "", "of all adjustments"},
    {"dof", "number", "", "values measured: mass, place along and across, height"},
    {"p", "number", "", "chance of a larger chi2, were all uncertainties right"},
    {"mass", "number", "kg", "adjusted"}, {"cg.x", "number", "mm", "adjusted, file axes"}, {"cg.y", "number", "mm", "the same"},
    {"cg.z", "number", "mm", "the same"}, {"lines", "number", "", "booked lines aboard"},
    {"measured_height?", "number", "mm", "as given"},
    {"sums[].name", "text", "", "mass, cg_behind, cg_left, height"}, {"sums[].unit", "text", "", "kg or mm"},
    {"sums[].ledger", "number", "", "as booked"}, {"sums[].scales?", "number", "", "as measured"},
    {"sums[].both", "number", "", "adjusted"}, {"sums[].sigmas?", "number", "", "scales less ledger over the uncertainty of both"},
    {"sums[].sd.ledger", "number", "", "standard uncertainty"}, {"sums[].sd.scales?", "number", "", "the same"},
    {"sums[].sd.both", "number", "", "the same"},
    {"rows[].name", "text", "", "a line, with its groups"}, {"rows[].field", "text", "", "mass, of one piece, or at.x and so on"},
    {"rows[].unit", "text", "", "kg or mm"}, {"rows[].before", "number", "", "as booked; a place in file axes of the car"},
    {"rows[].after", "number", "", "adjusted"}, {"rows[].sd", "number", "", "standard uncertainty of after"},
    {"rows[].sd_before", "number", "", "as stated"},
    {"rows[].sigmas", "number", "", "standardised residual: its square is what chi2 would lose were this error free"},
    {"rows[].way?", "text", "", "of a place: forward, left or up"}, {"rows[].moved?", "number", "mm", "that way"},
    {"suspect?.what", "text", "", "the line, wheel, scale, person, tank, state or usual omission whose one error explains it, the "
      .. "likeliest; only where the stated uncertainties do not"},
    {"suspect?.field", "text", "", "mass, at.x and so on, reading, bias or gain; aboard, state, fill, exchanged, unit, digits or "
      .. "forgotten"},
    {"suspect?.sigmas?", "number", "", "standardised residual"},
    {"suspect?.would_be?", "number", "", "its value then"}, {"suspect?.unit?", "text", "", "of that"},
    {"suspect?.says", "text", "", "the same in words"}, {"suspect?.text", "text", "", "all of it in words, as on the page"},
    {"suspect?.why?", "text", "", "of a mass: the slip"}, {"suspect?.likely?", "boolean", "", "the page names it"},
    {"suspect?.rest", "number", "", "chi2 that is left then"},
    {"suspect?.enough?", "boolean", "", "chance explains that"},
    {"suspect?.off?", "number", "mm", "of a place"}, {"suspect?.way?", "text", "", "forward, left or up"},
    {"suspect?.exact?", "boolean", "", "it has no stated uncertainty"},
    {"suspect?.tied[].what", "text", "", "all errors that explain it too, itself first, the likelier before the others"},
    {"suspect?.tied[].likely?", "boolean", "", "true for those that the page names: at most 20 times less likely than the first"},
    {"suspect?.tied[].text", "text", "", "all of it in words"}, {"suspect?.tied[].why?", "text", "", "of a mass: the slip"},
    {"suspect?.tied[].rest", "number", "", "chi2 that is left then"},
    {"suspect?.tied[].field", "text", "", "as above"}, {"suspect?.tied[].sigmas?", "number", "", "the same"},
    {"suspect?.tied[].would_be?", "number", "", "the same"}, {"suspect?.tied[].unit?", "text", "", "the same"},
    {"suspect?.tied[].says", "text", "", "the same"}, {"suspect?.tied[].off?", "number", "mm", "the same"},
    {"suspect?.tied[].way?", "text", "", "the same"}, {"suspect?.tied[].exact?", "boolean", "", "the same"},
    {"missing?.mass", "number", "kg", "scales less ledger"}, {"missing?.sigmas", "number", "", "over its uncertainty"},
    {"missing?.clear", "boolean", "", "beyond its 95 %"}, {"missing?.at?", "table<string, number>", "mm",
      "where it must sit if it is one thing, file axes; where it is clear"},
    {"missing?.sd.mass", "number", "kg", "standard uncertainty"}, {"missing?.sd.at?", "table<string, number>", "mm", "the same"},
    {"readings[].what", "text", "", "wheel or axle"}, {"readings[].read", "number", "kg", "by the scale"},
    {"readings[].after", "number", "kg", "adjusted"}, {"readings[].sd", "number", "kg", "standard uncertainty of after"},
    {"readings[].sd_before", "number", "kg", "of the reading"}, {"readings[].sigmas", "number", "", "standardised residual"},
    {"lf?", "number", "kg", "left front; the others likewise"}, {"rf?", "number", "kg", "right front"},
    {"lr?", "number", "kg", "left rear"},
    {"rr?", "number", "kg", "right rear"}, {"f?", "number", "kg", "the one front wheel"}, {"r?", "number", "kg", "the one rear wheel"},
    {"warp?", "table<string, number>", "kg", "four wheels: what each carries beyond an even split"},
    {"cross_share?", "number", "%", "right front and left rear, of the mass"},
    {"car?", "car", "", "the corrected car, where it was asked for"}}},
  {"hung", "What sy.hang_cg gives.", fields = measured(
    {"cg.x", "number", "mm", "in axes of the part"}, {"cg.y", "number", "mm", "the same"}, {"cg.z", "number", "mm", "the same"},
    {"miss", "number", "mm", "the largest distance of a line from it"}, {"rows[].line", "number", "", "in the order given"},
    {"rows[].name?", "text", "", "of the line"}, {"rows[].miss", "number", "mm", "its distance from the CG"},
    {"rows[].below", "number", "mm", "from the hanging point down to the CG"},
    {"rows[].sd.miss", "number", "mm", "how far its own uncertainty lets it wander there, one way"},
    {"chi2", "number", "", "of one point on all lines"}, {"dof", "number", "", "2 lines - 3"},
    {"p", "number", "", "chance of lines that disagree so much"},
    {"suspect?", "number", "", "the one line without which the others agree"})},
  {"remainder", "What sy.subtract gives.", fields = measured(
    {"mass", "number", "kg", "of what is left"}, {"cg.x?", "number", "mm", "where both weighings know it"},
    {"cg.y?", "number", "mm", "the same"}, {"cg.z?", "number", "mm", "the same"},
    {"inertia?", "table<string, number>", "kg m2", "about its CG, where both are known: xx yy zz xy xz yz"},
    {"blow_up", "number", "", "mass of the whole / its own: how much more its CG moves than that of the whole"},
    {"budget[].of", "text", "", "x, y or z"}, {"budget[].source", "text", "", "what its uncertainty comes from, the largest first"},
    {"budget[].u", "number", "mm", "standard uncertainty by it"}, {"budget[].share", "number", "%", "of the variance"},
    {"whole.mass", "number", "kg", "as weighed with it"}, {"whole.cg?", "table<string, number>", "mm", "the same"},
    {"whole.sd.mass", "number", "kg", "standard uncertainty"}, {"whole.sd.cg?", "table<string, number>", "mm", "the same"},
    {"without.mass", "number", "kg", "as weighed without it"}, {"without.cg?", "table<string, number>", "mm", "the same"},
    {"without.sd.mass", "number", "kg", "standard uncertainty"}, {"without.sd.cg?", "table<string, number>", "mm", "the same"})},
}

return calls
