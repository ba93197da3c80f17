// Studies: sliders choose among the variants that were worked out; nothing is worked out here.

// The variant under the sliders: inputs in order, the last one changing fastest.
function variantAt(study) {
  return study.entry.sliders.reduce((i, slider, j) => i * slider.words.length + study.position[j], 0);
}

function inputOf(study, slider) { return study.of.inputs.find((input) => input.name === slider.name); }

function outputCells(study, out, i) {
  const of = study.of, value = at(of.columns[out.name], String(i)), sd = of.sd && of.sd[out.name] && of.sd[out.name][i];
  const asked = at(of.asked, out.name), own = at(of.asked_sd, out.name);
  const fixedCell = (v) => numberCell(v === null ? undefined : v, out.decimals);
  const words = value === undefined ? "unknown" : plusMinus(value, sd, out.decimals);
  const source = {name: out.name, words, of: study.about, rests: study.entry.rests,
    about: "The shares are of the car as it was asked about; what moves in the study keeps its uncertainty.",
    more_facts: [["variant", study.words(i)], ["study", el("code", null, of.hash)]]};
  const cells = [cell(out.label + (out.unit ? ", " + out.unit : "")), value === undefined ? cell("unknown", {number: true})
    : {text: words, node: number(source), sort: value, raw: String(value), number: true},
    asked === undefined ? cell("", {number: true}) : {text: plusMinus(asked, own, out.decimals), raw: String(asked), number: true},
    value === undefined || asked === undefined ? cell("", {number: true})
      : {text: signed(value - asked, quantity(out.name).change || out.decimals), raw: String(value - asked), number: true}];
  if (of.lowest) cells.push(fixedCell(at(of.lowest[out.name], String(i))), fixedCell(at(of.highest[out.name], String(i))));
  return {cells};
}

function showCharts(study) {
  const slider = study.entry.sliders[study.active], input = slider && inputOf(study, slider);
  const here = study.position[study.active];
  const numbers = input && slider.words.map((_, k) => (typeof input.values[k] === "number" ? input.values[k] : k));
  const list = !slider || slider.words.length < 2 || study.entry.loose ? [] : study.of.outputs.map((out) => {
    const picked = slider.words.map((_, k) => {
      const position = study.position.slice();
      position[study.active] = k;
      return variantAt({entry: study.entry, position});
    });
    const svg = chart({label: out.label, unit: out.unit, decimals: out.decimals, xs: numbers, names: slider.words, at: here,
      along: slider.label, ys: picked.map((i) => at(study.of.columns[out.name], String(i))),
      sds: study.of.sd && study.of.sd[out.name] && picked.map((i) => study.of.sd[out.name][i]),
      limits: (study.of.judged || []).filter((limit) => limit.quantity === out.name && !limit.state)});
    return svg && el("figure", null, el("figcaption", null, `${out.label}${out.unit ? ", " + out.unit : ""}`), svg);
  });
  study.charts.replaceChildren(...list.filter(Boolean));
}

function showVariant(study) {
  const i = variantAt(study), of = study.of, verdictOf = of.verdict && of.verdict[i];
  study.body.replaceChildren(...of.outputs.map((out) => {
    const tr = fillRow(outputCells(study, out, i));
    tr.dataset.quantity = out.name;
    return tr;
  }));
  const said = of.outputs.map((out) => {
    const value = at(of.columns[out.name], String(i));
    return `${out.label} ${value === undefined ? "unknown" : fixed(value, out.decimals)}${value === undefined ? "" : unitOf(out.unit)}`;
  }).join(", ");
  study.said.replaceChildren(`${study.words(i)}: ${said}${verdictOf ? ", limits: " : "."}`, verdictOf ? verdict(verdictOf) : "");
  showCharts(study);
}

function sliderOf(study, slider, j, id) {
  const shown = el("output", {for: id, class: "value"}, named(slider.words[study.position[j]]));
  const control = el("input", {type: "range", id, min: 0, max: slider.words.length - 1, step: 1, value: study.position[j],
    "aria-valuetext": slider.words[study.position[j]], "aria-describedby": `${id}-ends`, input: () => {
      study.position[j] = Number(control.value);
      study.active = j;
      control.setAttribute("aria-valuetext", slider.words[study.position[j]]);
      shown.replaceChildren(named(slider.words[study.position[j]]));
      showVariant(study);
    }});
  return el("div", {class: "slider"}, el("label", {for: id}, named(slider.label)), control, shown,
    el("span", {class: "ends", id: `${id}-ends`}, `${slider.words[0]} to ${slider.words[slider.words.length - 1]}, `
      + `${slider.words.length} values`));
}

function wordsOf(entry) {
  return (i) => {
    if (entry.loose) return entry.loose[i];
    const words = [];
    let rest = i;
    for (let j = entry.sliders.length - 1; j >= 0; j--) {
      const slider = entry.sliders[j];
      words.unshift(slider.beside[rest % slider.words.length]);
      rest = Math.floor(rest / slider.words.length);
    }
    return words.join(", ") || "the car";
  };
}

function viewStudy(place, entry, k) {
  const of = block(entry.block);
  const study = {entry, of, position: entry.sliders.map((slider) => slider.start), active: Math.max(0, entry.sliders.findIndex((s) =>
    s.words.length > 1)), words: wordsOf(entry), about: {heading: of.heading, aboard: of.aboard, file: of.file, version: of.version,
      limits: [], notes: of.notes}};
  const id = `study-${k + 1}`;
  study.body = el("tbody");
  study.said = el("output", {class: "said", for: entry.sliders.map((_, j) => `${id}-${j + 1}`).join(" "), "aria-live": "polite"});
  study.charts = el("div", {class: "charts"});
  const labels = ["quantity", "this variant", "the car itself", "difference", ...(of.lowest ? ["lowest", "highest"] : [])];
  const caption = of.lowest ? `Answers of the variant; lowest and highest over ${of.folded.join(" and ")}` : "Answers of the variant";
  place.append(el("section", {class: "study", "aria-labelledby": `${id}-title`},
    el("h3", {id: `${id}-title`}, report.studies.length > 1 ? `Study ${k + 1}: ` : "", named(of.heading)),
    el("p", {class: "state"}, sentence(entry.says)),
    el("div", {class: "sliders"}, ...entry.sliders.map((slider, j) => sliderOf(study, slider, j, `${id}-${j + 1}`))),
    study.said,
    el("div", {class: "scroll", role: "group", "aria-label": caption}, el("table", {class: "answers"}, el("caption", null, caption),
      el("thead", null, el("tr", null, ...labels.map((label, i) => el("th", {scope: "col", class: i > 0 ? "number" : null}, label)))),
      study.body)),
    study.charts, notes(of.notes) || ""));
  if (frames) frames.observe(study.body.parentNode);
  showVariant(study);
}

function viewStudies(place) { report.studies.forEach((entry, k) => viewStudy(place, entry, k)); }
