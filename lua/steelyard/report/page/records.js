// What was measured: records of the car, the car as they leave it, and fits.

// Two digits of an uncertainty's 95 % (measure/measurement.lua), at most so many more than usual.
function decimalsFor(sd, otherwise) {
  if (!(sd > 0)) return otherwise;
  const half = report.k95 * sd;
  let decimals = 1 - Math.floor(Math.log10(half));
  if (Number((half * 10 ** decimals).toFixed(0)) >= 100) decimals -= 1;
  return Math.max(0, Math.min(9, decimals));
}

function usualDecimals(unit) { return unit === "mm" ? 0 : unit === "kg" ? 1 : 2; }

function readCell(value, sd, unit) {
  if (value === undefined || value === null) return cell("not known", {number: true});
  const usual = usualDecimals(unit), decimals = sd ? Math.min(usual + 2, decimalsFor(sd, usual)) : usual;
  return {text: plusMinus(value, sd, decimals), sort: value, raw: String(value), number: true};
}

function sigmasCell(sigmas) {
  return typeof sigmas === "number" ? numberCell(Math.abs(sigmas), 1) : cell("", {number: true});
}

function recordLabel(row) {
  const name = row.name || row.what, known = columns.record_labels[name] || quantities[name];
  return known ? headed(known.label, known.unit) : headed(name, row.unit);
}

function viewRecorded(place, id) {
  const of = block(id);
  const rows = (of.rows || []).map((row) => ({cells: [cell(recordLabel(row)), readCell(row.read, at(row.sd, "read"), row.unit),
    readCell(row.ledger, at(row.sd, "ledger"), row.unit),
    typeof row.gap === "number" ? {text: signed(row.gap, row.unit === "mm" ? 0 : 1), sort: row.gap, raw: String(row.gap), number: true}
      : cell("", {number: true}),
    sigmasCell(row.sigmas)]}));
  place.append(el("h3", null, "Record: ", named(of.name)));
  place.append(el("p", {class: "state"}, [of.kind, of.date, of.instrument && `on ${of.instrument}`, of.who && `by ${of.who}`,
    of.stood_in && `the car as in ${of.stood_in}`].filter(Boolean).join(", ") + ". ", named(of.heading), "."));
  place.append(table({caption: `Read and booked, ${report.covers}`, copies: true, rows, columns: [{label: "quantity"},
    {label: "read", number: true}, {label: "ledger", number: true}, {label: "gap", number: true}, {label: "sigmas", number: true}]}));
  if (typeof of.fits === "boolean") {
    place.append(el("p", null, of.fits ? "The uncertainties explain the difference." : "The uncertainties do not explain the difference."));
  }
  const said = notes([...(of.note ? [of.note] : []), ...(of.notes || [])]);
  if (said) place.append(said);
}

function viewBuilt(place, car) {
  place.append(el("h3", null, "As the records leave it"));
  if (!car.built) {
    place.append(el("p", null, sentence(car.built_why)));
    return;
  }
  const of = block(car.built), rows = [];
  for (const record of of.records) {
    for (const row of record.rows) {
      const sign = row.what === "forward" ? -1 : 1, decimals = row.unit === "kg" ? 1 : 0;
      rows.push({cells: [cell(record.name, {name: true}), cell(recordLabel(row)), numberCell(sign * row.read, decimals),
        numberCell(sign * row.booked, decimals), numberCell(sign * row.reconciled, decimals), sigmasCell(row.sigmas)]});
    }
  }
  place.append(el("p", {class: "state"}, named(of.heading), "."));
  place.append(table({caption: "What the records read, what the ledger had, and what both come to", copies: true, rows, columns: [
    {label: "record"}, {label: "quantity"}, {label: "read", number: true}, {label: "ledger", number: true},
    {label: "reconciled", number: true}, {label: "sigmas", number: true}]}));
  const chance = of.p < 0.001 ? "less than 0.1" : fixed(100 * of.p, of.p < 0.1 ? 1 : 0);
  place.append(el("p", null, `${of.fits ? "The uncertainties explain the difference" : "The uncertainties do not explain the difference"}`
    + `: chi-square ${fixed(of.chi2, 2)} on ${plain(of.dof)}, which chance exceeds in ${chance}${NO_BREAK}% of cases.`));
  const now = ["mass", "front_share", "left_share", "cross_share", "height"].filter((name) => of[name] !== undefined);
  place.append(table({caption: `As built, ${report.covers}`, rows: now.map((name) => {
    const q = quantity(name), words = plusMinus(of[name], at(of.sd, name), decimalsFor(at(of.sd, name), q.decimals));
    return {cells: [cell(heading(name)), {text: words, node: number({name, words, of}), raw: String(of[name]), number: true}]};
  }), columns: [{label: "quantity"}, {label: "as built", number: true}]}));
  const said = notes(of.notes);
  if (said) place.append(said);
}

function viewRecords(place) {
  for (const car of report.cars) {
    if (!car.records) continue;
    const of = block(car.records);
    if (report.cars.length > 1) place.append(el("h3", null, named(of.heading)));
    place.append(table({caption: "Records of the file", copies: true, rows: (of.list || []).map((row) => ({cells: [
      cell(row.name, {name: true}), cell(row.kind), cell((row.date || "").replace(/T.*/, "")), cell(row.state, {name: true}),
      cell(row.headline ? typeset(row.headline) : row.why || "cannot be worked out"), sigmasCell(row.sigmas)]})),
      columns: [{label: "record"}, {label: "kind"}, {label: "date"}, {label: "state"}, {label: "read"}, {label: "sigmas", number: true}]}));
    viewBuilt(place, car);
    for (const id of car.recorded) viewRecorded(place, id);
  }
}
