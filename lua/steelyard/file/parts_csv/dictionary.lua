--- Words of parts lists in spreadsheets: which word names which column, in English, German, French, Italian, Spanish, Dutch
-- and Swedish, and what stands in the cells below.
--
-- All words here are folded (dictionary.fold): small letters, no accents, one blank between. The choice of words is common
-- practice, no source.

local size_of = require("steelyard.file.language").size_of

local dictionary = {}

-- ---- folding ----------------------------------------------------------------------------------------------------------

-- Letters with an accent, and the plain ones they are read as.
local plain = {}
for letters, as in pairs {
  ["ÀÁÂÃÄÅàáâãäåĀāĂă"] = "a", ["ÇçĆćČč"] = "c", ["ÈÉÊËèéêëĒēĚě"] = "e", ["ÌÍÎÏìíîïĪī"] = "i", ["ÑñŃńŇň"] = "n",
  ["ÒÓÔÕÖØòóôõöøŌō"] = "o", ["ÙÚÛÜùúûüŪūŮů"] = "u", ["ÝýŸÿ"] = "y", ["ŠšŚś"] = "s", ["ŽžŹźŻż"] = "z", ["ßẞ"] = "ss",
  ["Ææ"] = "ae", ["Œœ"] = "oe", ["Łł"] = "l", ["\u{A0}\u{202F}\u{2009}\u{2007}"] = " ", ["−–—"] = "-", ["±"] = "+-",
  ["″“”"] = '"', ["σΣ"] = "sigma", ["µμ"] = "u",
} do
  for _, code in utf8.codes(letters) do plain[utf8.char(code)] = as end
end

local function small(letter) return string.char(letter:byte() + 32) end

--- "  Stückzahl\n(je Wagen) " -> "stuckzahl (je wagen)". Combining accents go too.
function dictionary.fold(text)
  if not text:find "[^a-z0-9]" then return text end
  local folded = text:gsub("\xCC[\x80-\xBF]", ""):gsub("\xCD[\x80-\xAF]", ""):gsub("[\xC2-\xF4][\x80-\xBF]+", plain)
    :gsub("[A-Z]", small):gsub("[ \t\r\n]+", " ")
  return folded:match "^ ?(.-) ?$"
end

-- ---- headings of columns -------------------------------------------------------------------------------------------------

local function set(text)
  local found = {}
  for word in text:gmatch "[^,]+" do found[dictionary.fold(word)] = true end
  return found
end

local headings = {
  name = set [[part, parts, part name, name, component, bauteil, teil, teilename, bauteilname, benennung, piece, nom, composant,
    pezzo, componente, nome, parte, pieza, onderdeel, naam, del, detalj, namn, komponent, komponente]],
  group = set [[group, assembly, subassembly, sub assembly, system, gruppe, baugruppe, groupe, ensemble, sous ensemble, gruppo,
    assieme, grupo, conjunto, groep, samenstelling, grupp, sammanstallning]],
  kind = set "kind",
  mass = set [[m, mass, weight, wt, mass each, weight each, wt each, unit mass, unit weight, unit wt, mass of one, masse, gewicht,
    einzelmasse, einzelgewicht, stuckgewicht, stueckgewicht, stuckmasse, poids, masse unitaire, poids unitaire, massa, peso, massa
    unitaria, peso unitario, masa, masa unitaria, stuksgewicht, vikt, styckvikt]],
  total_mass = set [[total mass, total weight, total wt, mass total, weight total, extended weight, gesamtmasse, gesamtgewicht,
    masse gesamt, gewicht gesamt, masse totale, poids total, massa totale, peso totale, masa total, peso total, totaalgewicht,
    totaal gewicht, totale massa, totalvikt, total vikt, total massa]],
  count = set [[quantity, qty, count, pieces, pcs, number of, no of, anzahl, menge, stuck, stueck, stk, stuckzahl, stueckzahl,
    quantite, qte, quantita, qta, cantidad, cant, aantal, antal, st]],
  basis = set [[basis, grundlage, herkunft, quelle, base, fuente, origen, origine, fonte, source, bron, herkomst, kalla, grund]],
  unsprung = set [[unsprung, ungefedert, non suspendu, non suspendue, non sospeso, non sospesa, no suspendido, no suspendida,
    onafgeveerd, ofjadrad]],
  pair = set "pair, pairs, paar, paarweise, gespiegelt, mirrored, paire, coppia, par, paren",
  tags = set [[tags, tag, keywords, schlagworte, schlagworter, stichworte, mots cles, etiquettes, etichette, etiquetas, trefwoorden,
    taggar]],
  note = set [[note, notes, remark, remarks, comment, comments, bemerkung, bemerkungen, anmerkung, anmerkungen, notiz, kommentar,
    remarque, remarques, commentaire, osservazioni, nota, notas, observaciones, comentario, opmerking, opmerkingen, anmarkning,
    notering]],
  growth = set "growth, growth allowance, allowance, zuschlag, wachstum, marge, riserva, margen, toeslag, tillagg",
  instrument = set "instrument, scale, waage, balance, bilancia, balanza, bascula, weegschaal, vag",
  reading = set [[reading, readings, raw reading, scale reading, as read, scale weight, scale mass, weighed mass, weighed
    weight, measured mass, measured weight, actual mass, actual weight, actual wt, ablesung, anzeige, messwert, gewogene masse,
    istmasse, istgewicht, lecture, masse pesee, masse mesuree, poids mesure, lettura, massa misurata, peso misurato, lectura, masa
    medida, peso medido, aflezing, gemeten massa, gemeten gewicht, avlasning, vagd vikt, uppmatt vikt]],
  reading_unit = set "unit, units, unit as read, reading unit, einheit, unite, unita, unidad, eenheid, enhet",
  zero_before = set [[zero before, zero, zero start, null vorher, nullpunkt vorher, nullpunkt, zero avant, zero prima, cero antes, nul voor,
    noll fore]],
  zero_after = set "zero after, zero end, null nachher, nullpunkt nachher, zero apres, zero dopo, cero despues, nul na, noll efter",
  tare = set "tare, tara, tarra",
  with = set [[with, also on, also on the scale, on the scale, deduct, deducted, abzug, abzuge, ausserdem auf der waage, deduction,
    a deduire, dedotto, da dedurre, descontar, descontado, aftrek, avdrag]],
  pieces_weighed = set [[pieces weighed, weighed together, pieces on the scale, stuck gewogen, stueck gewogen, zusammen gewogen,
    pieces pesees, pezzi pesati, piezas pesadas, stuks gewogen, antal vagda]],
  weighed_note = set [[weighing note, weighing remark, wagenotiz, wiegenotiz, note de pesee, nota di pesata, nota de pesaje, weegnotitie,
    vagningsnotering]],
  estimate = set [[estimate, estimated mass, estimated weight, est mass, est weight, est wt, mass estimate, weight estimate, guess,
    guessed mass, earlier mass, was, schatzung, geschatzte masse, geschatztes gewicht, schatzmasse, schatzgewicht, estimation, masse
    estimee, poids estime, stima, massa stimata, peso stimato, estimacion, masa estimada, peso estimado, schatting, geschatte massa,
    geschat gewicht, uppskattning, uppskattad vikt, estimated, earlier]],
  estimate_sd = set [[estimate sd, sd estimate, sd of estimate, estimate uncertainty, was sd, unsicherheit der schatzung, schatzung sd,
    estimation sd, stima sd, estimacion sd, schatting sd, uppskattning sd]],
  reading_sd = set "reading sd, sd reading, sd of reading, reading uncertainty, unsicherheit der ablesung",
  shape = set "shape, form, forme, forma, vorm",
  turned = set "turned, gedreht",
  inertia = set "inertia, inertia kg m2, moments of inertia",
  density = set "density, density kg l, dichte, densite, densita, densidad, dichtheid, densitet",
  fill = set "fill, fill l, fullung, fullmenge",
  dry_mass = set "dry mass, mass dry, dry weight",
  capacity = set "capacity, capacity l",
  includes = set "includes, including, enthalt, comprend, compris, comprende, incluye, bevat, innehaller",
  -- limits; of the place when the unit is a length
  within = set [[within, limits, tolerance, toleranz, tolerantie, tolleranza, tolerancia, tolerans, mass within, within mass,
    place within, within place]],
}

-- Names where nothing better names a column: beside a better one they are notes.
local weak_name = set [[description, designation, beschreibung, bezeichnung, descrizione, denominazione, descripcion, denominacion,
  omschrijving, benaming, beskrivning, benamning, item, artikel]]

-- Spanish for a name and French for a number.
local name_or_count = set "nombre"

local mass_words = set "mass, weight, wt, masse, gewicht, poids, massa, peso, masa, vikt, m"
local uncertainty_words = set [[sd, std, stdev, stddev, sigma, u, uncertainty, +-, +/-, unsicherheit, standardunsicherheit,
  standardabweichung, incertitude, incertezza, incertidumbre, onzekerheid, osakerhet, standaardafwijking, standardavvikelse,
  standard, deviation, dev, type, ecart, scarto, tipo, desviacion, tipica, estandar]]
-- none of these is an uncertainty by itself
local weak_uncertainty = set "standard, deviation, dev, type, tipo, u"
local place_words = set [[pos, position, posicion, posizione, positie, place, location, lage, ort, cg, cog, sp, schwerpunkt, centre,
  center, of, gravity, baricentro, zwaartepunt, tyngdpunkt, coordinate, coordinates, coord, koordinate, koordinaten, coordonnee,
  coordinata, coordenada, coordinaat, koordinat, axis, achse, axe, asse, eje, as, arm, de, di, du, del, in, at, lever]]

-- x, sd_x and so on, where all words but the letter are about places and uncertainties
local function coordinate(tokens)
  local letter, uncertainty
  for _, token in ipairs(tokens) do
    local axis = token:match "^([xyz])$" or token:match "^([xyz])co?g$" or token:match "^co?g([xyz])$"
    if axis then
      if letter then return nil end
      letter = axis
    elseif uncertainty_words[token] then
      uncertainty = true
    elseif not place_words[token] then
      return nil
    end
  end
  return letter and (uncertainty and "sd_" .. letter or letter)
end

-- mass_sd: uncertainty words, perhaps with mass words
local function uncertainty_of_mass(tokens)
  local sure = false
  for _, token in ipairs(tokens) do
    if not (uncertainty_words[token] or mass_words[token] or token == "of") then return nil end
    if uncertainty_words[token] and not weak_uncertainty[token] then sure = true end
  end
  if sure or #tokens == 2 and tokens[1] == "u" and mass_words[tokens[2]] then return "mass_sd" end
end

--- The field that a heading means, "weak name", "name or count", or nil. The unit is off already.
function dictionary.field(folded)
  local spaced = folded:gsub("%+/%-", "+-"):gsub("([a-z])%-([a-z])", "%1 %2")
    :gsub("[%(%)%[%]_:;,/.*]", " "):gsub(" +", " "):match "^ ?(.-) ?$"
  for field, known in pairs(headings) do
    if known[spaced] then return field end
  end
  if weak_name[spaced] then return "weak name" end
  if name_or_count[spaced] then return "name or count" end
  local tokens = {}
  for token in spaced:gsub("([a-z])%-", "%1 "):gmatch "[^ ]+" do tokens[#tokens + 1] = token end
  return coordinate(tokens) or uncertainty_of_mass(tokens)
end

--- All words of a field, or of all fields, sorted: to find the nearest.
function dictionary.headings(field)
  local list = {}
  for name, known in pairs(headings) do
    if field == nil or field == name then
      for word in pairs(known) do list[#list + 1] = word end
    end
  end
  table.sort(list)
  return list
end

-- ---- units ------------------------------------------------------------------------------------------------------------

-- into kg and mm: times, over
local units = {}
for names, unit in pairs {
  ["kg, kgs, kilo, kilos, kilogram, kilograms, kilogramm, kilogramme, kilogrammes"] = {"kg", "mass", 1, 1},
  ["g, gr, gram, grams, gramm, gramme, grammes, grammi, gramos"] = {"g", "mass", 1, 1000},
  ["t, tonne, tonnes"] = {"t", "mass", 1000, 1},
  ["lb, lbs, lbm, pound, pounds"] = {"lb", "mass", size_of.lb, 1},
  ["oz, ounce, ounces"] = {"oz", "mass", size_of.oz, 1},
  ["mm, millimetre, millimetres, millimeter, millimeters"] = {"mm", "length", 1, 1},
  ["cm"] = {"cm", "length", 10, 1}, ["m, metre, metres, meter, meters"] = {"m", "length", 1000, 1},
  ['in, inch, inches, zoll, pouce, pouces, ", in.'] = {"in", "length", size_of.inch, 1},
  ["ft, foot, feet"] = {"ft", "length", size_of.ft, 1},
  ["%"] = {"%", "share", 1, 100},
  -- no unit of anything here: refused by name
  ["n"] = {"N", "a force"}, ["kn"] = {"kN", "a force"}, ["lbf"] = {"lbf", "a force"}, ["kgf"] = {"kgf", "a force"},
  ["deg, °"] = {"deg", "an angle"},
} do
  for name in names:gmatch "[^,]+" do
    units[name:match "^ ?(.-) ?$"] = {name = unit[1], of = unit[2], times = unit[3], over = unit[4]}
  end
end

--- A unit by a word from a heading: {name =, of = "mass" "length" "share" or what else it measures, times =, over =}, or nil.
function dictionary.unit(word) return units[dictionary.fold(word)] end

-- ---- cells ------------------------------------------------------------------------------------------------------------

local function answers(...)
  local found = {}
  for _, entry in ipairs {...} do
    for word in entry[2]:gmatch "[^,]+" do found[word:match "^%s*(.-)%s*$"] = entry[1] end
  end
  return found
end

--- true or false, by what a folded cell says.
dictionary.yes_no = answers({true, "yes, y, ja, j, oui, o, si, s, true, x, 1, wahr, vrai, vero, verdadero, waar, sant"},
  {false, "no, n, nein, non, nee, nej, false, -, 0, falsch, faux, falso, onwaar, falskt"})

dictionary.basis = answers(
  {"estimate", [[estimate, estimated, guess, guessed, schatzung, geschatzt, estimation, estime, stima, stimato, estimacion, estimado,
    schatting, geschat, uppskattning, uppskattad]]},
  {"calculated", [[calculated, calculation, cad, computed, berechnet, berechnung, calcule, calcul, calcolato, calcolo, calculado, calculo,
    berekend, berekening, beraknad, berakning]]},
  {"supplier", [[supplier, catalogue, catalog, data sheet, datasheet, lieferant, katalog, datenblatt, hersteller, fournisseur, catalogue,
    fornitore, catalogo, proveedor, leverancier, leverantor]]},
  {"weighed", [[weighed, measured, scale, scales, gewogen, gemessen, pese, mesure, pesato, misurato, pesado, medido, gewogen, gemeten, vagd,
    uppmatt]]})

dictionary.kind = answers({"part", "part"}, {"person", "person"}, {"part", "tank"},
  {"extra", "extra"}, {"whole", "whole"}, {"group", "group"})

-- What stands under "unit" where it tells how parts are counted and not what was read.
dictionary.counted = set [[pcs, pc, piece, pieces, ea, each, st, stk, stuck, stueck, pce, pz, pzas, ud, uds, set, sets, satz,
  pair, pairs, paar, unit, units, no, x, -]]

dictionary.unknown = set "?, unknown, unbekannt, inconnu, inconnue, sconosciuto, desconocido, onbekend, okand, tbd, n/a"

dictionary.total = set [[total, totals, grand total, total mass, total weight, sum, summe, gesamt, gesamtsumme, gesamtmasse, gesamtgewicht,
  insgesamt, total general, masse totale, poids total, somme, totale, totale generale, somma, massa totale, peso totale, suma,
  masa total, peso total, totaal, totaalgewicht, summa, totalt, totalvikt]]

dictionary.subtotal = set [[subtotal, sub total, sub-total, zwischensumme, sous total, sous-total, subtotale, tussentotaal, subtotaal,
  delsumma]]

--- "total", "subtotal" or nil, for a folded cell.
function dictionary.sum_row(folded)
  local bare = folded:gsub("[:=]+$", ""):match "^ ?(.-) ?$"
  return dictionary.total[bare] and "total" or dictionary.subtotal[bare] and "subtotal" or nil
end

return dictionary
