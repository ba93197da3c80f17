// What a number rests on: by a click or Enter on it, and of the headline numbers in a section of its own, for paper.

// A source says where a number comes from: {name = of the quantity, words = as shown, unit, of = the result it stands in, rests = id of
// the block that shares its variance out, about = a sentence where these shares are another car's, more = lines {label, words}}.

function sharesOf(source) {
  const found = source.rests && block(source.rests);
  return found && found.quantities && found.quantities[source.name];
}

// To three figures at most: 1.7 kg, 17 mm, 0.57 kg.
function knownTo(row) {
  if (typeof row.sigma !== "number") return "";
  const wide = report.k95 * row.sigma;
  return fixed(wide, wide >= 10 ? 0 : wide >= 1 ? 1 : 2) + unitOf(row.input_unit);
}

function bar(share) {
  const inside = el("span");
  inside.style.width = `${Math.max(0, Math.min(100, share))}%`;
  return el("span", {class: "bar", "aria-hidden": "true"}, inside);
}

function shareCell(share) {
  const c = numberCell(share, 1);
  c.node = el("span", null, bar(share), el("span", {class: "share"}, c.text));
  return c;
}

// The table of shares, which come to 100 %; null where nothing that is stated moves the number.
function sharesTable(source, caption) {
  const of = sharesOf(source);
  if (!of || !of.sd) return null;
  const q = quantity(source.name), decimals = decimalsOf(q, source.more) + 1, rows = [];
  for (const row of of.list || []) {
    rows.push({cells: [cell(row.path || row.what, {name: true}), shareCell(row.variance_share), cell(row.field),
      cell(knownTo(row), {number: true}), numberCell(report.k95 * Math.abs(row.change), decimals)]});
  }
  if (of.rest_share > 0.05) {
    rows.push({cells: [cell("all others"), shareCell(of.rest_share), cell(""), cell(""), cell("")]});
  }
  rows.push({class: "sum", cells: [cell("together"), shareCell(100), cell(""), cell(""),
    numberCell(report.k95 * of.sd, decimals)]});
  return table({caption, columns: [{label: "line"}, {label: "of the variance, %", number: true}, {label: "by its"},
    {label: "known ±", number: true}, {label: `moves it ±${q.unit ? ", " + q.unit : ""}`, number: true}], rows});
}

function aboardWords(list) {
  return list.map((item) => {
    const amount = typeof item.litres === "number" ? fixed(item.litres, 1).replace(/\.0$/, "") + unitOf("L")
      : fixed(item.mass, 1).replace(/\.0$/, "") + unitOf("kg");
    return `${item.name} ${amount}`;
  }).join(", ");
}

function facts(pairs) {
  const list = el("dl", {class: "facts"});
  for (const [label, words] of pairs) {
    if (words) list.append(el("dt", null, label), el("dd", null, typeof words === "string" ? named(words) : words));
  }
  return list;
}

function openedLimits(source) {
  const rows = (source.of.limits || []).filter((row) => row.quantity === source.name && !row.state);
  return rows.map((row) => el("span", null, named(row.name), `: ${boundWords(row)} `, verdict(row.status), ` (${typeset(row.why)}) `));
}

function boundWords(row) {
  if (row.min !== undefined && row.max !== undefined) return `${plain(row.min)} to ${plain(row.max)}`;
  return row.max !== undefined ? `at most ${plain(row.max)}` : `at least ${plain(row.min)}`;
}

const sheet = el("dialog", {class: "rests", "aria-labelledby": "rests-title"});

function openSheet(source) {
  const q = quantity(source.name), of = source.of, limits = openedLimits(source);
  const shares = sharesTable(source, `What ${q.label} rests on, the largest first`);
  sheet.replaceChildren(
    el("h2", {id: "rests-title", tabindex: "-1"}, `${q.label}: ${source.words}${unitOf(q.unit)}`),
    el("p", null, sentence(q.meaning || q.label)),
    facts([["of", of.heading], ["aboard", of.aboard && of.aboard.length > 0 && aboardWords(of.aboard)], ...(source.more_facts || []),
      ["limits", limits.length > 0 && el("span", null, ...limits)],
      ["worked out from", [fileWords(of.file), `steelyard ${of.version || report.version}`].filter(Boolean).join(", ")],
      ["digest of the file", of.file && el("code", null, of.file.sha256)]]),
    el("h3", null, "What it rests on"),
    source.about ? el("p", null, source.about) : "",
    shares || el("p", null, source.rests ? "Nothing that is stated with an uncertainty moves this number."
      : "No shares are worked out for this number; the figures with an uncertainty of their own stand in the statement."),
    notes((of.notes || []).filter((words) => /at least|exact|unknown|cross weight/.test(words))) || "",
    el("p", {class: "tools"}, el("button", {type: "button", class: "plain", click: () => sheet.close()}, "Close")));
  sheet.showModal();
  sheet.querySelector("h2").focus();
}

// A number that opens its source.
function number(source) {
  const q = quantity(source.name);
  return el("button", {type: "button", class: "n", "aria-haspopup": "dialog", click: () => openSheet(source),
    "aria-label": `${source.words}${unitOf(q.unit)}, ${q.label}: what it rests on`}, source.words);
}

// A cell of a table with such a number.
function restingCell(name, value, sd, o) {
  if (value === undefined || value === null) return cell("", {number: true});
  const words = valueWords(name, value, sd, decimalsOf(quantity(name), o.more));
  return {text: words, node: number(Object.assign({name, words}, o)), sort: value, raw: String(value), number: true};
}

// ---- the section ---------------------------------------------------------------------------------------------------------------

function viewRests(place) {
  eachCar(place, (car, state) => {
    const balance = block(state.balance), list = el("div", {class: "shares"});
    for (const name of columns.rests) {
      if (at(balance, name) === undefined) continue;
      const q = quantity(name), words = `${q.label}: ${answerCell(name, balance, sourceOf(car, state, balance)).text}${unitOf(q.unit)}`;
      list.append(sharesTable({name, rests: state.rests, more: car.more}, words)
        || el("p", null, `${words}. Nothing that is stated with an uncertainty moves it.`));
    }
    place.append(list);
  });
}
