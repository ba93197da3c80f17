// Tables: headings that sort, a copy for spreadsheets, and numbers that open what they rest on.

// A cell is {node or text, sort = number or text, raw = what a spreadsheet gets, number = true}. A row is {cells, group = true for a
// line that sums others up, class}.
function cell(text, o) { return Object.assign({text: text === undefined || text === null ? "" : String(text)}, o); }

function numberCell(value, decimals, o) {
  if (value === undefined || value === null) return cell("", Object.assign({number: true}, o));
  return Object.assign({text: fixed(value, decimals), sort: value, raw: String(value), number: true}, o);
}

function fillCell(node, c) {
  if (c.node) node.append(c.node);
  else if (c.name) node.append(named(c.text));
  else node.append(c.text);
  if (c.number) node.classList.add("number");
  return node;
}

function fillRow(row) {
  const tr = el("tr", {class: [row.group ? "group" : "", row.class || ""].join(" ").trim() || null});
  row.cells.forEach((c, i) => tr.append(fillCell(el(i === 0 ? "th" : "td", i === 0 ? {scope: "row"} : null), c)));
  return tr;
}

const byText = new Intl.Collator("en", {numeric: true});

// Rows in the order of a column; those without a value last, whichever way it runs.
function sortedRows(rows, column, down) {
  const key = (row) => { const c = row.cells[column]; return c.sort !== undefined ? c.sort : c.text; };
  return rows.filter((row) => !row.group).sort((a, b) => {
    const x = key(a), y = key(b);
    if (x === "" || y === "") return x === y ? 0 : x === "" ? 1 : -1;
    const order = typeof x === "number" && typeof y === "number" ? x - y : byText.compare(String(x), String(y));
    return down ? -order : order;
  });
}

// One button a heading: up, down, and back to the order of the file.
function sortable(t) {
  let column = null, down = false;
  t.headings.forEach((th, i) => {
    const words = th.textContent;
    const button = el("button", {type: "button", click: () => {
      if (column !== i) { column = i; down = false; } else if (!down) down = true; else column = null;
      t.show(column === null ? t.rows : sortedRows(t.rows, column, down));
      t.table.classList.toggle("sorted", column !== null);
      t.headings.forEach((other, k) => {
        if (k === column) other.setAttribute("aria-sort", down ? "descending" : "ascending");
        else other.removeAttribute("aria-sort");
      });
      say(column === null ? "In the order of the file" : `Sorted by ${t.columns[i].label}, ${down ? "falling" : "rising"}`);
    }}, words);
    th.replaceChildren(button, el("span", {class: "paper"}, words)); // buttons are not repeated on the pages of a long table
  });
}

// ---- for spreadsheets ---------------------------------------------------------------------------------------------------------

// Tabs and line ends part cells; a text that a spreadsheet would take for a formula gets an apostrophe in front.
function spreadsheetCell(c) {
  if (c.raw !== undefined) return c.raw;
  const words = c.text.replace(/[\t\r\n]+/g, " ").replace(/\u2212/g, "-").replace(/\u00a0/g, " ");
  return !c.number && /^[=+\-@]/.test(words) ? "'" + words : words;
}

function spreadsheetText(t) {
  const lines = [t.columns.map((column) => column.label)];
  for (const row of t.shown) lines.push(row.cells.map(spreadsheetCell));
  return lines.map((line) => line.join("\t")).join("\n") + "\n";
}

// Where the clipboard is closed to a page from disk, the old way: a selection.
async function putOnClipboard(words) {
  try {
    await navigator.clipboard.writeText(words);
    return true;
  } catch (refused) {
    const area = el("textarea", {readonly: true, class: "heard", "aria-hidden": "true"});
    area.value = words;
    document.body.append(area);
    area.select();
    const done = document.execCommand("copy");
    area.remove();
    return done;
  }
}

function copyButton(t) {
  return el("button", {type: "button", class: "plain", click: async (event) => {
    const done = await putOnClipboard(spreadsheetText(t));
    event.target.focus();
    say(done ? `${t.shown.length} rows copied, with tabs between the cells` : "The browser did not let the page copy");
  }}, "Copy for a spreadsheet");
}

// ---- the table ------------------------------------------------------------------------------------------------------------------

// What is wider than the page moves inside its own frame, which the keyboard reaches then.
const frames = window.ResizeObserver && new ResizeObserver((list) => {
  for (const {target} of list) {
    const box = target.closest(".scroll");
    if (box.scrollWidth > box.clientWidth + 1) box.setAttribute("tabindex", "0"); else box.removeAttribute("tabindex");
  }
});

// o: {caption, columns = list of {label, number}, rows, sorts, copies, class, hidden = the caption is for screen readers alone}
function table(o) {
  const headings = o.columns.map((column) => el("th", {scope: "col", class: column.number ? "number" : null}, column.label));
  const body = el("tbody");
  const t = {columns: o.columns, rows: o.rows, headings, shown: o.rows};
  t.show = (rows) => { t.shown = rows; body.replaceChildren(...rows.map(fillRow)); };
  t.table = el("table", {class: o.class}, el("caption", {class: o.hidden ? "heard" : null}, o.caption),
    el("thead", null, el("tr", null, ...headings)), body);
  t.show(o.rows);
  if (o.sorts) sortable(t);
  const frame = el("div", {class: "scroll", role: "group", "aria-label": o.caption}, t.table);
  if (frames) { frames.observe(t.table); frames.observe(frame); }
  return el("div", {class: "table"}, frame, o.copies && el("p", {class: "tools"}, copyButton(t)));
}
