// All views, each into the section that stands for it.

const views = {statement: viewStatement, limits: viewLimits, states: viewStates, cars: viewCars, records: viewRecords, studies: viewStudies,
  rests: viewRests, ledger: viewLedger};

document.body.append(heard, sheet);
for (const place of document.querySelectorAll("[data-view]")) {
  try {
    views[place.dataset.view](place);
  } catch (error) {
    place.append(el("p", {class: "failed", role: "alert"}, `This section could not be shown: ${error.message}`));
    console.error(error); // the other sections are shown all the same
  }
}
document.documentElement.dataset.ready = "yes";
