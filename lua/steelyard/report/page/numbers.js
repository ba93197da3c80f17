// Numbers as the command prints them (print/text.lua), with the signs and blanks of print.

const MINUS = "\u2212", NO_BREAK = "\u00a0", PLUS_MINUS = `${NO_BREAK}±${NO_BREAK}`;
const MORE = 40; // digits beyond the last that is shown: a double near a tie differs from one long before

// Rounded once from its exact value, ties to even; what rounds to zero has no sign. toFixed takes the larger of two that tie.
function fixed(x, decimals) {
  const size = Math.abs(x);
  let shown = size.toFixed(decimals);
  const long = size.toFixed(decimals + MORE);
  if (/^50*$/.test(long.slice(-MORE))) {
    const lower = long.slice(0, -MORE).replace(/\.$/, "");
    if (Number(lower.slice(-1)) % 2 === 0) shown = lower;
  }
  return x < 0 && /[1-9]/.test(shown) ? MINUS + shown : shown;
}

function signed(x, decimals) {
  const shown = fixed(x, decimals);
  return shown.startsWith(MINUS) ? shown : "+" + shown;
}

// The half-width of the 95 %: an uncertainty that is there is never shown as zero.
function halfWidth(sd, decimals) {
  if (!sd) return null;
  const shown = fixed(report.k95 * sd, decimals);
  return /[1-9]/.test(shown) ? shown : fixed(10 ** -decimals, decimals);
}

function plusMinus(value, sd, decimals) {
  const half = halfWidth(sd, decimals);
  return half === null ? fixed(value, decimals) : fixed(value, decimals) + PLUS_MINUS + half;
}

// A number as somebody typed it; one that was worked out is rounded to ten digits.
function plain(x) {
  if (typeof x !== "number") return x;
  const typed = String(x).length <= 12 || Number.isInteger(x) ? x : Number(x.toPrecision(10));
  return String(typed).replace(/^-/, MINUS);
}

function unitOf(unit) { return unit ? NO_BREAK + unit : ""; }

// What stands for a sign, "10 ± 2 right", under a heading without it.
const WAYS = {cg_left: {label: "CG off centre", words: ["left", "right"]},
  cg_behind: {label: "CG from front axle", words: ["behind", "ahead"]}};

function headed(label, unit) { return unit ? `${label}, ${unit}` : label; }

function heading(name) {
  const q = quantity(name);
  return headed(WAYS[name] ? WAYS[name].label : q.label, q.unit);
}

// Decimals of a quantity: a small vehicle takes more than a car (print/figures.lua).
function decimalsOf(q, more) { return q.decimals + ((more && more[q.unit]) || 0); }

function valueWords(name, value, sd, decimals) {
  const way = WAYS[name];
  if (!way) return plusMinus(value, sd, decimals);
  const minus = fixed(value, decimals).startsWith(MINUS);
  return `${plusMinus(minus ? -value : Math.abs(value), sd, decimals)} ${way.words[minus ? 1 : 0]}`;
}

// ---- verdicts ---------------------------------------------------------------------------------------------------------------------

// The four words with a shape each, so that they differ without colour: filled, half filled, crossed, hollow.
const VERDICTS = {
  pass: {word: "pass", inside: ["full", "M1 1H9V9H1Z"]},
  near: {word: "near", inside: ["full", "M1 1V9H9Z"]},
  fail: {word: "FAIL", inside: ["line", "M1 1L9 9M9 1L1 9"]},
  unknown: {word: "unknown"},
};

function verdict(status) {
  const v = VERDICTS[status] || VERDICTS.unknown;
  const shape = drawn("svg", {viewBox: "0 0 10 10", "aria-hidden": "true", focusable: "false"},
    drawn("path", {class: "line", d: "M1 1H9V9H1Z"}), v.inside && drawn("path", {class: v.inside[0], d: v.inside[1]}));
  return el("span", {class: `verdict ${status}`}, shape, NO_BREAK + v.word);
}
