"use strict";

// The line for an order, and the button that copies it.

/** Family and size as people call them. */
function called(one) {
  return `${tables.families[one.family].name} ${sizeName(one)}`;
}

function sizeName(one) {
  const own = tables.families[one.family];
  return own.size_names[own.sizes.indexOf(one.size)];
}

/** What was asked, in one line. */
function caseLine(wanted) {
  const { title: application } = tables.applications[wanted.application];
  return say("case", { refrigerant: subject(wanted.name), application, temperature: sstText(wanted), load: wanted.loadText });
}

function degreesText(degrees, wanted) {
  return say("temperature", { figure: figureText(degrees), unit: tables.degrees[wanted.degreeSystem] });
}

/** The SST, and the box at its coil temperature difference where that is known. */
function sstText(wanted) {
  const sst = degreesText(wanted.degrees, wanted);
  if (wanted.box === undefined) return say("sst_alone", { sst });
  const difference = say("temperature", {
    figure: figureText(hundredths(wanted.difference)), unit: tables.differences[wanted.degreeSystem],
  });
  return say("sst_and_box", { sst, box: degreesText(wanted.box, wanted), difference });
}

/** The rows that a temperature between two of them was read from. */
function rowsText(answer, wanted) {
  const { suction } = tables.applications[wanted.application];
  const figure = listed(answer.rows.map((row) => figureText(suction[wanted.degreeSystem][row])));
  return say("temperature", { figure, unit: tables.degrees[wanted.degreeSystem] });
}

// What a buyer states beside the case, for whichever size is shown; a choice by its value.
const stated = { connections: "", capillary: "", quantity: "", job: "" };
// Lengths that were written in another unit are rounded.
const NEAR_M = 0.005;

/** What is offered of a size: its connections, and capillaries, each as text with a value in any unit system. */
function offeredOf(one, wanted) {
  const own = tables.families[one.family];
  return {
    connections: own.connections[own.sizes.indexOf(one.size)].map((text) => ({ text, value: text })),
    capillary: own.capillaries.map((length) => ({ text: length[wanted.loadSystem], value: String(length.m) })),
  };
}

/** What is taken of an offer: what is stated, or the only one there is; nothing where a choice is open. */
function takenOf(offered, value) {
  return offered.length === 1 ? offered[0] : offered.find((choice) => choice.value === value);
}

/** Whether a part number asks for nothing else than the order; with `isOpen` also what is still to be chosen. */
function isFor(partNumber, order, isOpen = false) {
  const { capillary_m: asked } = order;
  return ["family", "size", "charge", "equalizer", "connections"].every((key) => !Object.hasOwn(partNumber, key) ||
    partNumber[key] === order[key] || (isOpen && !order[key])) && (!Object.hasOwn(partNumber, "capillary_m") ||
    (asked === undefined ? isOpen : Math.abs(partNumber.capillary_m - asked) < NEAR_M));
}

/** The clauses of what can be chosen: what is taken, or what it must be chosen from. */
function choices(offered, taken) {
  const named = (key) => offered[key].map(({ text }) => text);
  const clauses = [];
  if (taken.connections) clauses.push(say("order_connections", { connections: taken.connections.text }));
  else if (offered.connections.length) {
    clauses.push(say("order_choose_connections", { choices: listed(named("connections"), "or") }));
  }
  if (taken.capillary) clauses.push(say("order_capillary", { length: taken.capillary.text }));
  else if (offered.capillary.length) {
    clauses.push(say("order_choose_capillary", { choices: listed(named("capillary"), "or") }));
  }
  return clauses;
}

/** A size as it is ordered: what is offered and taken of it, its rows of the stock sheet, and its part number, if any. */
function orderOf(one, wanted) {
  const own = tables.families[one.family];
  const charge = chargeOf(one.family, wanted);
  const offered = offeredOf(one, wanted);
  const taken = Object.fromEntries(Object.entries(offered).map(([key, all]) => [key, takenOf(all, stated[key])]));
  const order = {
    family: one.family, size: one.size, charge, equalizer: own.equalizer,
    connections: taken.connections && taken.connections.text, capillary_m: taken.capillary && Number(taken.capillary.value),
  };
  const items = itemsOf(one, wanted).filter((item) => isFor(item, order, true));
  const numbers = [...items.filter((item) => item.number), ...tables.part_numbers];
  const { number: partNumber } = numbers.find((row) => isFor(row, order)) || {};
  return { charge, offered, taken, items, partNumber, hasNumbers: numbers.length > 0 };
}

/** The line for one size, with what is still to be chosen or stated, and where it is on the shelf. */
function specificationOf(one, answer, wanted) {
  const own = tables.families[one.family];
  const { charge, offered, taken, items, partNumber, hasNumbers } = orderOf(one, wanted);
  const isChosen = Object.keys(offered).every((key) => taken[key] || !offered[key].length);
  const none = isChosen ? say("order_no_part_number") : say("order_part_number_open");
  const quantity = quantityOf(stated.quantity);
  const limits = { minimum: figureText(one.minimum.figure), maximum: loadText(one.maximum.figure, wanted) };
  const clauses = [
    say("order_valve", { company: tables.company, family: own.name, size: sizeName(one) }),
    ...hazardsOf(wanted.name).map(([hazard, names]) => say("order_caution", { refrigerants: listed(names), hazard })),
    charge && own.charges[charge][wanted.loadSystem],
    own.equalizer_text,
    ...choices(offered, taken),
    own.driver !== null && (own.driver ? say("order_driver", { driver: own.driver }) : say("order_unknown_driver")),
    hasNumbers && (partNumber ? say("order_part_number", { number: partNumber }) : none),
    quantity ? say("order_quantity", { quantity }) : say("order_no_quantity"),
    stated.job ? say("order_job", { job: stated.job }) : say("order_no_job"),
    say("order_case", { case: caseLine(wanted) }),
    tables.confidence ? say("order_window_at_confidence", { ...limits, confidence: tables.confidence })
      : say("order_window", limits),
    answer.rows.length > 1 && say("order_rows", { rows: rowsText(answer, wanted) }),
    say("order_data", { revision: tables.revision, date: tables.date, data: tables.data }),
  ];
  return {
    line: say("order", { clauses: inClauses(clauses), notice: tables.notice }),
    shelf: !tables.stock ? "" : items.length ? say("on_the_shelf", { items: shelfText(items) }) : say("not_on_the_shelf"),
  };
}

// How a link spells what a key may contain but not begin with.
const ESCAPES = { ".": "._", "(": ".-", ")": ".." };

/** The booklet that prints the table of a size: its file, and a link to the table; nothing where none does. */
function tableOf(one, wanted) {
  const { name, application } = wanted;
  const groups = Object.keys(tables.groups);
  const indices = tables.printed[one.family][application];
  const isMeant = (group) => (Object.hasOwn(tables.groups, name) ? group === name
    : tables.groups[group].members.includes(name));
  const at = groups.findIndex((group, i) => indices[i] !== null && isMeant(group));
  if (at < 0) return null;
  const file = tables.booklets[indices[at]][wanted.loadSystem];
  const names = [one.family, groups[at], application].map((key) => key.replace(/[.()]/g, (sign) => ESCAPES[sign]));
  return { file, link: `${file}#nameddest=table.${names.join(".")}` };
}

/** The link to the table in a booklet, which lies beside the page; paper shows which file it is. */
function tableLink(one, wanted) {
  const table = tableOf(one, wanted);
  if (!table) return [];
  const link = made("a", { id: "table", href: table.link }, say("window_table"));
  return [made("p", {}, link, " ", made("span", { class: "hint" }, say("booklet_file", { file: table.file })))];
}

/** A whole number of valves, or nothing. */
function quantityOf(text) {
  return /^[1-9]\d{0,3}$/.test(text) ? Number(text) : undefined;
}

/** A field of the order: a choice of what is offered, or a text; every change of it goes into the line. */
function orderField(id, label, offered, changed) {
  const input = offered
    ? made("select", { id: `order-${id}` }, made("option", { value: "" }, say("choose")),
      ...offered.map(({ text, value }) => made("option", { value }, text)))
    : made("input", { id: `order-${id}`, type: "text", maxlength: 60, autocomplete: "off" });
  const shown = offered ? made("div", { class: "choice" }, made("span", { "aria-hidden": "true" }), input) : input;
  input.value = stated[id];
  // What another size was chosen with may not be offered here.
  if (input.value !== stated[id]) input.value = "";
  input.addEventListener("input", (event) => {
    // What the form above asks for has not changed.
    event.stopPropagation();
    stated[id] = input.value.trim().replace(/\s+/g, " ");
    if (offered) showChoice(input);
    changed();
    // Whether there are enough depends on how many are wanted.
    if (id === "quantity" && tables.stock) showAround(input);
  });
  if (offered) showChoice(input);
  return made("div", { class: "field no-print" }, made("label", { for: input.id }, label), shown);
}

/** The specification of one size on the page. */
function specification(one, answer, wanted) {
  const line = made("p", { class: "specification", id: "specification" });
  const shelf = made("p", { id: "shelf" });
  const button = made("button", { type: "button", id: "copy" }, say("copy"));
  const done = made("p", { role: "status", id: "copied", class: "no-print" });
  const error = made("p", { role: "status", id: "order-error", class: "error no-print" });
  const changed = () => {
    const found = specificationOf(one, answer, wanted);
    [line.textContent, shelf.textContent] = [found.line, found.shelf];
    done.textContent = "";
    error.textContent = stated.quantity && !quantityOf(stated.quantity) ? say("quantity_error") : "";
  };
  const { connections, capillary } = offeredOf(one, wanted);
  const fields = [
    connections.length > 1 && orderField("connections", say("connections"), connections, changed),
    capillary.length > 1 && orderField("capillary", say("capillary"), capillary, changed),
    orderField("quantity", say("quantity"), null, changed),
    orderField("job", say("job"), null, changed),
  ].filter(Boolean);
  changed();
  button.addEventListener("click", async () => {
    done.textContent = (await copied(line)) ? say("copied") : say("not_copied");
  });
  return [made("h3", { id: "specified", tabindex: "-1" }, say("specification", { valve: called(one) })),
    made("div", { class: "order" }, ...fields), error, line, shelf, button, done, ...tableLink(one, wanted)];
}

/** Whether the text of an element is on the clipboard now; it stays selected. */
async function copied(element) {
  const range = document.createRange();
  range.selectNodeContents(element);
  const selection = window.getSelection();
  selection.removeAllRanges();
  selection.addRange(range);
  try {
    await navigator.clipboard.writeText(element.textContent);
    return true;
  } catch {
    return document.execCommand("copy");
  }
}
