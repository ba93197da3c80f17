// The car in numbers: statement, limits, load states beside each other, cars beside each other.

// The cars of a section, each under a heading of its own where there are several.
function eachCar(place, show) {
  for (const car of report.cars) {
    if (report.cars.length > 1) place.append(el("h3", null, named(block(car.states[car.shown].balance).heading)));
    show(car, car.states[car.shown]);
  }
}

// Parts without a shape count as points: an inertia is only known from below, and a "±" would claim more.
function atLeast(balance, q) { return q.grows === "inertia" && balance.points > 0; }

function answerCell(name, balance, from) {
  const low = atLeast(balance, quantity(name));
  const c = restingCell(name, at(balance, name), low ? undefined : at(balance.sd, name), from);
  if (low && c.node) {
    c.node = el("span", null, "at least ", c.node);
    c.text = "at least " + c.text;
  }
  return c;
}

function sourceOf(car, state, balance) { return {of: balance, rests: state.rests, more: car.more}; }

// ---- statement ------------------------------------------------------------------------------------------------------------------

function headlines(car, state, balance) {
  const rows = [];
  for (const name of columns.headlines) {
    const value = at(balance, name);
    if (value === undefined || name === "mass_with_growth" && value === balance.mass) continue;
    rows.push({cells: [cell(heading(name)), answerCell(name, balance, sourceOf(car, state, balance))]});
  }
  return table({caption: `Statement of ${balance.heading}`, hidden: true, class: "headlines", columns: [{label: "quantity"},
    {label: `value, ${report.covers}`, number: true}], rows});
}

// Loads as a two-way table with their sums where there are two and two wheels, else a list.
function loadRows(car, state, balance) {
  const from = sourceOf(car, state, balance);
  const one = (name) => restingCell(name, at(balance, name), at(balance.sd, name), from);
  const rest = (name) => {
    const value = at(balance, name);
    const words = plusMinus(100 - value, at(balance.sd, name), quantity(name).decimals);
    return {text: words, raw: String(100 - value), number: true};
  };
  if (["lf", "rf", "lr", "rr"].every((key) => balance[key] !== undefined)) {
    return {columns: ["", "left", "right", "both", "share, %"], rows: [
      ["front", one("lf"), one("rf"), one("front"), one("front_share")],
      ["rear", one("lr"), one("rr"), one("rear"), rest("front_share")],
      ["both", one("left"), one("right"), one("mass"), cell("")],
      ["share, %", one("left_share"), rest("left_share"), cell(""), cell("")]]};
  }
  const rows = car.wheels.filter((key) => balance[key] !== undefined).map((key) => [quantity(key).label, one(key)]);
  for (const key of ["front", "rear", "left", "right", "mass"]) rows.push([quantity(key).label, one(key)]);
  return {columns: ["", "kg"], rows};
}

function loads(car, state, balance) {
  const made = loadRows(car, state, balance);
  return table({caption: `Loads in kg, ${balance.corner_basis}`, class: "loads",
    columns: made.columns.map((label, i) => ({label: label || "load", number: i > 0})),
    rows: made.rows.map(([label, ...cells]) => ({cells: [cell(label), ...cells]}))});
}

function viewStatement(place) {
  eachCar(place, (car, state) => {
    const balance = block(state.balance);
    place.append(el("p", {class: "state"}, named(balance.state), balance.aboard && balance.aboard.length > 0
      ? el("span", null, ". Aboard: ", named(aboardWords(balance.aboard))) : "", "."));
    place.append(el("div", {class: "beside"}, headlines(car, state, balance), loads(car, state, balance)));
    const said = notes(balance.notes);
    if (said) place.append(said);
  });
}

// ---- limits ----------------------------------------------------------------------------------------------------------------------

const rank = {pass: 1, near: 2, unknown: 3, fail: 4};

function viewLimits(place) {
  eachCar(place, (car, state) => {
    const balance = block(state.balance), rows = [];
    if (!balance.limits || balance.limits.length === 0) {
      place.append(el("p", null, "The file states no limits."));
      return;
    }
    const anyState = balance.limits.some((row) => row.state);
    for (const row of balance.limits) {
      const q = quantity(row.quantity), decimals = decimalsOf(q, car.more);
      const own = row.state ? Object.assign(sourceOf(car, state, balance), {rests: null}) : sourceOf(car, state, balance);
      const bound = (x) => x === undefined ? cell("", {number: true}) : numberCell(x, decimals);
      rows.push({class: row.status, cells: [cell(row.name + (row.unit ? `, ${row.unit}` : ""), {name: true}),
        row.value === undefined ? cell("unknown", {number: true}) : restingCell(row.quantity, row.value, row.sd, own), bound(row.min),
        bound(row.max), cell(VERDICTS[row.status].word, {node: verdict(row.status), sort: rank[row.status]}),
        ...(anyState ? [cell(row.state || "as shown", {name: true})] : []), cell(typeset(row.why))]});
    }
    place.append(table({caption: `Limits of ${balance.heading}`, hidden: true, sorts: true, copies: true, rows, columns: [
      {label: "limit"}, {label: "value", number: true}, {label: "from", number: true}, {label: "to", number: true}, {label: "verdict"},
      ...(anyState ? [{label: "state"}] : []), {label: "why"}]}));
    if (balance.status) place.append(el("p", null, "Overall: ", verdict(balance.status), "."));
  });
}

// ---- load states -------------------------------------------------------------------------------------------------------------------

function viewStates(place) {
  eachCar(place, (car) => {
    const known = car.states.filter((state) => state.balance);
    const names = columns.states.filter((name) => known.some((state) => at(block(state.balance), name) !== undefined));
    const judged = known.some((state) => block(state.balance).status);
    const rows = car.states.map((state) => {
      if (!state.balance) return {cells: [cell(state.name, {name: true}), cell(state.why), ...names.slice(1).map(() => cell("")), ...(judged ? [cell("")] : [])]};
      const balance = block(state.balance), from = sourceOf(car, state, balance);
      return {class: state === car.states[car.shown] ? "shown" : null, cells: [cell(state.name, {name: true}),
        ...names.map((name) => answerCell(name, balance, from)),
        ...(judged ? [cell(balance.status, {node: balance.status && verdict(balance.status), sort: rank[balance.status]})] : [])]};
    });
    place.append(table({caption: "Load states beside each other, the one shown above in bold", sorts: true, copies: true, rows,
      class: "states", columns: [{label: "state"}, ...names.map((name) => ({label: heading(name), number: true})),
        ...(judged ? [{label: "limits"}] : [])]}));
  });
}

// ---- cars ------------------------------------------------------------------------------------------------------------------------

function viewCars(place) {
  const compared = block(report.compared), first = compared.columns[0];
  const rows = compared.rows.map((row) => ({cells: [cell(row.label + (row.unit ? ", " + row.unit : "")),
    ...row.values.map((value, i) => {
      if (typeof value !== "number") return cell(value);
      if (i === 0) return {text: plusMinus(value, row.sd[0], row.decimals), sort: value, raw: String(value), number: true};
      const change = row.changes[i], moved = typeof change === "number"
        ? ` (${signed(change, row.change_decimals)}${halfWidth(row.sd[i], row.change_decimals) === null ? ""
          : PLUS_MINUS + halfWidth(row.sd[i], row.change_decimals)})` : "";
      return {text: fixed(value, row.decimals) + moved, sort: value, raw: String(value), number: true};
    })]}));
  place.append(table({caption: `Cars beside each other; in brackets the change against ${first}`, copies: true, rows,
    columns: [{label: "quantity"}, ...compared.columns.map((label) => ({label, number: true}))]}));
  const said = notes(compared.notes);
  if (said) place.append(said);
}
