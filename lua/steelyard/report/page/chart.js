// A small chart: one answer along one input, the others as their sliders stand.

const WIDE = 360, HIGH = 160, LEFT = 58, RIGHT = 12, TOP = 12, BOTTOM = 34; // its paper

// 1-2-5 steps, at most so many.
function ticks(low, high, most) {
  const size = (high - low) / most, power = 10 ** Math.floor(Math.log10(size));
  const step = power * [1, 2, 5, 10].find((k) => k * power >= size * (1 - 1e-9));
  const list = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + step * 1e-9; k++) list.push(k * step);
  return {list, decimals: Math.max(0, -Math.floor(Math.log10(step) + 1e-9))};
}

function spanOf(values) {
  const known = values.filter((v) => typeof v === "number");
  if (known.length === 0) return null;
  let low = Math.min(...known), high = Math.max(...known);
  const air = Math.max((high - low) * 0.08, Math.abs(high) * 1e-6, 1e-9);
  return {low: low - air, high: high + air, least: low, most: high};
}

// o: {label, unit, decimals, xs = numbers, names = words of the input's values, ys, sds or nothing, at = which is shown, limits = list of
// {min, max}, along = words}
function chart(o) {
  const sds = o.sds || [], reach = (i) => (typeof sds[i] === "number" ? report.k95 * sds[i] : 0);
  const span = spanOf(o.ys.flatMap((y, i) => (typeof y === "number" ? [y - reach(i), y + reach(i)] : [])));
  if (!span || o.xs.length < 2) return null;
  const x = (i) => LEFT + (o.xs[i] - o.xs[0]) / (o.xs[o.xs.length - 1] - o.xs[0]) * (WIDE - LEFT - RIGHT);
  const y = (v) => HIGH - BOTTOM - (v - span.low) / (span.high - span.low) * (HIGH - BOTTOM - TOP);
  const known = o.xs.map((_, i) => i).filter((i) => typeof o.ys[i] === "number");
  const label = `${o.label}${o.unit ? ", " + o.unit : ""} along ${o.along}: ${fixed(o.ys[known[0]], o.decimals)} to `
    + `${fixed(o.ys[known[known.length - 1]], o.decimals)}, shown ${typeof o.ys[o.at] === "number" ? fixed(o.ys[o.at], o.decimals) : "unknown"}`;
  const svg = drawn("svg", {viewBox: `0 0 ${WIDE} ${HIGH}`, role: "img", "aria-label": label, class: "chart"});
  const scale = ticks(span.low, span.high, 4);
  for (const v of scale.list) {
    svg.append(drawn("line", {class: "grid", x1: LEFT, x2: WIDE - RIGHT, y1: y(v), y2: y(v)}),
      drawn("text", {x: LEFT - 5, y: y(v) + 4, "text-anchor": "end"}, fixed(v, Math.max(scale.decimals, 0))));
  }
  for (const limit of o.limits) {
    for (const bound of [limit.min, limit.max]) {
      if (typeof bound !== "number" || bound < span.low || bound > span.high) continue;
      svg.append(drawn("line", {class: "limit", x1: LEFT, x2: WIDE - RIGHT, y1: y(bound), y2: y(bound)}));
    }
  }
  if (known.some((i) => reach(i) > 0)) {
    const edge = (sign) => known.map((i) => `${x(i)} ${y(o.ys[i] + sign * reach(i))}`);
    svg.append(drawn("path", {class: "band", d: `M${edge(1).join("L")}`}), drawn("path", {class: "band", d: `M${edge(-1).join("L")}`}));
  }
  svg.append(drawn("path", {class: "line", d: `M${known.map((i) => `${x(i)} ${y(o.ys[i])}`).join("L")}`}));
  if (o.xs.length <= 41) for (const i of known) svg.append(drawn("circle", {class: "dot", cx: x(i), cy: y(o.ys[i]), r: 2}));
  if (typeof o.ys[o.at] === "number") svg.append(drawn("circle", {class: "here", cx: x(o.at), cy: y(o.ys[o.at]), r: 5}));
  svg.append(drawn("text", {x: LEFT, y: HIGH - 8}, o.names[0]),
    drawn("text", {x: WIDE - RIGHT, y: HIGH - 8, "text-anchor": "end"}, o.names[o.names.length - 1]));
  return svg;
}
