"use strict";

// The line for an order, and the button that copies it.

/** Family and size as people call them. */
function called(one) {
  const own = tables.families[one.family];
  return `${own.name} ${own.size_names[own.sizes.indexOf(one.size)]}`;
}

/** What was asked, in one line. */
function caseLine(wanted) {
  return `${subject(wanted.name)}, ${tables.applications[wanted.application].title}; SST ` +
    `${plainly(wanted.degrees)}\u00a0${tables.degrees[wanted.degreeSystem]} (dew point); load ` +
    `${figureWith(plainly(wanted.load), wanted)} at the rating point`;
}

/** The rows that a temperature between two of them was read from. */
function betweenRows(answer, wanted) {
  const rows = answer.rows.map((row) => plainly(tables.applications[wanted.application].suction[wanted.degreeSystem][row]));
  return `between the rows at ${spelt(rows)}\u00a0${tables.degrees[wanted.degreeSystem]}`;
}

function originText() {
  return `${tables.company}, revision ${tables.revision} of ${tables.date}, data ${tables.data}.`;
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

/** What is taken of an offer: what is stated, or the only one there is; nothing where a choice is left. */
function takenOf(offered, value) {
  return offered.length === 1 ? offered[0] : offered.find((choice) => choice.value === value);
}

/** The number of the first article that says nothing else than the order; nothing where none does. */
function articleOf(one, charge, connections, capillary) {
  const { equalizer } = tables.families[one.family];
  const order = { family: one.family, size: one.size, charge, equalizer, connections: connections && connections.text };
  const found = tables.articles.find((article) => Object.entries(order).every(([key, value]) =>
    !Object.hasOwn(article, key) || article[key] === value) && (!Object.hasOwn(article, "capillary_m") ||
    (capillary && Math.abs(article.capillary_m - Number(capillary.value)) < NEAR_M)));
  return found && found.number;
}

/** Why an order has no number; one may hang on what is still to be chosen. */
function noArticle(isChosen) {
  return isChosen ? "none in the list for this valve" : "none in the list until the choices above are made";
}

/** The line for one size, with what is still to be chosen or stated. */
function specificationText(one, answer, wanted) {
  const own = tables.families[one.family];
  const [member] = membersOf(tables, wanted.name);
  const { charge } = tables.windows[one.family][wanted.application][member];
  const offered = offeredOf(one, wanted);
  const taken = Object.fromEntries(Object.entries(offered).map(([key, all]) => [key, takenOf(all, stated[key])]));
  const choice = (key) => taken[key] ? `${key} ${taken[key].text}`
    : offered[key].length && `${key}: choose ${offered[key].map(({ text }) => text).join(" or ")}`;
  const article = articleOf(one, charge, taken.connections, taken.capillary);
  const isChosen = Object.keys(offered).every((key) => taken[key] || !offered[key].length);
  const rows = answer.rows.length > 1 ? `, the stricter limits ${betweenRows(answer, wanted)}` : "";
  const parts = [
    `${tables.company} ${own.name} size ${own.size_names[own.sizes.indexOf(one.size)]}`,
    charge && own.charges[charge][wanted.loadSystem],
    own.equalizer && `${own.equalizer} equalizer`,
    choice("connections"),
    choice("capillary"),
    own.driver !== null && `driver: ${own.driver || "not described in the catalogue; ask the maker"}`,
    tables.articles.length > 0 && (article ? `article ${article}` : `article: ${noArticle(isChosen)}`),
    quantityOf(stated.quantity) ? `quantity ${quantityOf(stated.quantity)}` : "quantity: state how many",
    stated.job ? `job ${stated.job}` : "job: none stated",
    `for ${caseLine(wanted)}`,
    `window ${one.minimum.figure} to ${figureWith(one.maximum.figure, wanted)}, ${tables.limits} limits${rows}`,
    `revision ${tables.revision} of ${tables.date}, data ${tables.data}`,
  ];
  return `${parts.filter(Boolean).join("; ")}. ${tables.notice}`;
}

/** A whole number of valves, or nothing. */
function quantityOf(text) {
  return /^[1-9]\d{0,3}$/.test(text) ? Number(text) : undefined;
}

/** A field of the order: a choice of what is offered, or a text; every change of it goes into the line. */
function orderField(id, label, offered, changed) {
  const input = offered
    ? made("select", { id: `order-${id}` }, made("option", { value: "" }, "Choose"),
      ...offered.map(({ text, value }) => made("option", { value }, text)))
    : made("input", { id: `order-${id}`, type: "text", maxlength: 60, autocomplete: "off" });
  input.value = stated[id];
  // What another size was chosen with may not be offered here.
  if (input.value !== stated[id]) input.value = "";
  input.addEventListener("input", (event) => {
    // What the form above asks for has not changed.
    event.stopPropagation();
    stated[id] = input.value.trim().replace(/\s+/g, " ");
    changed();
  });
  return made("div", { class: "field no-print" }, made("label", { for: input.id }, label), input);
}

/** The specification of one size on the page. */
function specification(one, answer, wanted) {
  const line = made("p", { class: "specification", id: "specification" }, specificationText(one, answer, wanted));
  const button = made("button", { type: "button", id: "copy" }, "Copy this line");
  const done = made("p", { role: "status", id: "copied", class: "no-print" });
  const told = made("p", { role: "status", id: "order-told", class: "told no-print" });
  const changed = () => {
    line.textContent = specificationText(one, answer, wanted);
    done.textContent = "";
    told.textContent = stated.quantity && !quantityOf(stated.quantity)
      ? "Quantity: it must be a whole number from 1 to 9999." : "";
  };
  const offered = Object.entries(offeredOf(one, wanted)).filter(([, all]) => all.length > 1);
  const labels = { connections: "Connections", capillary: "Length of the capillary" };
  const fields = [
    ...offered.map(([id, all]) => orderField(id, labels[id], all, changed)),
    orderField("quantity", "Quantity", null, changed),
    orderField("job", "Job reference", null, changed),
  ];
  changed();
  button.addEventListener("click", async () => {
    done.textContent = (await copied(line))
      ? "Copied." : "Not copied: the browser refuses. The line is marked; copy it by hand.";
  });
  return [made("h3", { id: "specified" }, `Specification: ${called(one)}`), made("div", { class: "order" }, ...fields),
    told, line, button, done];
}

/** Whether the text of an element is on the clipboard now; it is left marked. */
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
