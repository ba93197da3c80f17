// What the page holds: a block of JSON for each result, as the command writes it with --json, and the tables by which they are shown.

const blocks = new Map();

function block(id) {
  if (!blocks.has(id)) {
    const holder = document.getElementById(id);
    blocks.set(id, holder ? JSON.parse(holder.textContent) : null);
  }
  return blocks.get(id);
}

const report = block("report");
const quantities = block("quantities");
const columns = block("columns");

// A field by its path: at(balance, "cg.x"); undefined where there is none and where it is null.
function at(record, path) {
  let value = record;
  for (const key of path.split(".")) value = value === null || value === undefined ? undefined : value[key];
  return value === null ? undefined : value;
}

// What a car has that the table of quantities does not list is the load of an axle or a wheel, named by its file.
function quantity(name) {
  return quantities[name] || {label: name, unit: "kg", decimals: 1, change: 2, meaning: "load, by the name in the file"};
}

// ---- elements -----------------------------------------------------------------------------------------------------------------

// el("p", {class: "note"}, "text", node): functions among the attributes are listeners; all words are set as text.
function made(node, attributes, inside) {
  for (const [key, value] of Object.entries(attributes || {})) {
    if (value === undefined || value === null || value === false) continue;
    if (typeof value === "function") node.addEventListener(key, value);
    else node.setAttribute(key, value === true ? "" : String(value));
  }
  node.append(...inside.filter((one) => one !== undefined && one !== null && one !== ""));
  return node;
}

function el(kind, attributes, ...inside) { return made(document.createElement(kind), attributes, inside); }

const SVG = "http://www.w3.org/2000/svg";

function drawn(kind, attributes, ...inside) { return made(document.createElementNS(SVG, kind), attributes, inside); }

// A name of the file: it may run the other way, and must not turn what stands beside it.
function named(words) { return el("bdi", null, words); }

// Sentences come as a terminal has them.
function typeset(words) { return words.replace(/ \+- /g, "\u00a0±\u00a0").replace(/\+-/g, "±"); }

function sentence(plainWords) {
  const words = typeset(plainWords);
  const first = words.charAt(0).toUpperCase() + words.slice(1);
  return /[.!?:]$/.test(first) ? first : first + ".";
}

function notes(list) {
  if (!list || list.length === 0) return null;
  return el("ul", {class: "notes"}, ...list.map((words) => el("li", null, named(sentence(words)))));
}

// "twayblade.lua 506cfb78 + 2 changes"
function fileWords(file) {
  if (!file) return null;
  const changes = file.changes ? ` + ${file.changes} change${file.changes === 1 ? "" : "s"}` : "";
  return `${file.name} ${file.sha256.slice(0, 8)}${changes}`;
}

// ---- announcements ----------------------------------------------------------------------------------------------------------------

// One place for what happened, which a screen reader says and nobody else needs to look for.
const heard = el("p", {class: "heard", role: "status", "aria-live": "polite"});

function say(words) { heard.textContent = words; }
