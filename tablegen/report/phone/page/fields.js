"use strict";

// The fields beside what is typed: labels with their units, the temperature that follows, hints and errors.

/** What is chosen of a list, whole, where the browser's own field would cut it. */
function showChoice(select) {
  const [option] = select.selectedOptions;
  select.previousElementSibling.textContent = option ? option.textContent : "";
}

function showLabels(wanted) {
  const [degrees, difference] = [tables.degrees, tables.differences].map((own) => own[wanted.degreeSystem]);
  field("load-label").textContent = say("load", { unit: wanted.unit.label });
  field("box-label").textContent = say("box", { unit: degrees });
  field("difference-label").textContent = say("difference", { unit: difference });
  field("sst-label").textContent = say("sst", { unit: degrees });
  const stated = wanted.application ? tables.applications[wanted.application].coil_difference : null;
  const figure = stated ? figureText(hundredths(stated[wanted.degreeSystem])) : "";
  field("difference").placeholder = figure;
  const clauses = [
    say("difference_hint"),
    stated && say("difference_default", { difference: say("temperature", { figure, unit: difference }) }),
  ];
  field("difference-note").textContent = clauses.filter(Boolean).join(" ");
}

/** The one of box temperature and SST that is not typed. */
function showOther(wanted) {
  const other = typed === "box" ? "sst" : "box";
  const value = typed === "box" ? wanted.degrees : wanted.box;
  field(other).value = value === undefined ? "" : figureText(value);
  note(other);
}

/** Labels, hints and errors of the fields. */
function showFields(wanted) {
  showLabels(wanted);
  showOther(wanted);
  for (const id of FIGURES) {
    if (wanted.errors[id]) field(id).setAttribute("aria-invalid", "true");
    else field(id).removeAttribute("aria-invalid");
  }
  CHOICES.forEach((id) => showChoice(field(id)));
  const isGroup = wanted.name && !Object.hasOwn(tables.refrigerants, wanted.name);
  field("refrigerant-note").textContent = isGroup ? say("group_hint", { refrigerants: subject(wanted.name) }) : "";
  field("sst-note").textContent = wanted.application
    ? say("sst_hint", { span: spanOf(wanted.application, wanted.degreeSystem) }) : "";
  const conditions = wanted.application && wanted.name ? conditionsOf(wanted) : [];
  const rating = conditions.find(([label]) => label === say("rating_point"));
  const hints = [
    say("load_hint"),
    tables.loads[wanted.loadSystem] === "kBtu/h" && say("kbtu_hint"),
    rating && say("rating_hint", { rating: rating[1] }),
  ];
  field("load-note").textContent = hints.filter(Boolean).join(" ");
}
