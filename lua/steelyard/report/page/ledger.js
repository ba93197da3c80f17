// The ledger, line by line: sorts by any heading and goes into a spreadsheet.

function ledgerCell(row, column, car) {
  const value = at(row, column.path);
  if (column.name) {
    const inside = row.depth > 0 && row.path !== row.name;
    const node = el("span", {class: "part"}, el("span", {class: "short"}, named(row.name)),
      inside ? el("span", {class: "whole"}, named(row.path)) : "");
    if (inside) node.style.paddingLeft = `${row.depth}em`; else node.classList.add("top");
    return {text: row.path, node, sort: row.path, raw: undefined};
  }
  if (!column.number) return cell(value === true ? "yes" : value === false ? "no" : value, {name: true});
  if (row.unknown && column.path === "mass") return cell("unknown", {number: true});
  if (row.kind === "group" && column.path === "pieces") return cell("", {number: true});
  const decimals = /mass$/.test(column.path) ? car.mass_decimals : column.decimals + (car.more[column.unit] || 0);
  if (!column.half) return numberCell(value, decimals);
  const words = halfWidth(value, decimals);
  return words === null ? cell("", {number: true}) : {text: words, sort: value, raw: String(report.k95 * value), number: true};
}

function viewLedger(place) {
  eachCar(place, (car) => {
    const book = block(car.book);
    const rows = book.rows.map((row) => ({group: row.kind === "group", class: row.aboard ? null : "away",
      cells: columns.ledger.map((column) => ledgerCell(row, column, car))}));
    const total = Object.assign({name: "total", path: "total", kind: "group", depth: 0, aboard: true, sd: book.sd}, book.total);
    rows.push({group: true, class: "sum", cells: columns.ledger.map((column) => ledgerCell(total, column, car))});
    place.append(table({caption: `Ledger of ${book.heading}: ${book.rows.length} lines, along the axes of the file`, class: "ledger",
      sorts: true, copies: true, rows, columns: columns.ledger.map((column) => ({number: column.number,
        label: column.label + (column.unit ? ", " + column.unit : "")}))}));
    place.append(el("p", {class: "grey"}, "Lines that are not aboard in this state are grey. Sorted by a heading, groups stand aside: "
      + "their lines are there. A third press brings the order of the file back."));
    const said = notes(book.notes);
    if (said) place.append(said);
  });
}
