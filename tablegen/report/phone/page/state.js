"use strict";

// Fields filled, units remembered, the case written into the address.

const REMEMBERED = "look-up units";
const CHOICES = ["application", "refrigerant", "family"];
const TEMPERATURES = ["box", "difference", "sst"];
const FIGURES = ["load", ...TEMPERATURES];
// A figure as it was written, and in which unit; from it the field is converted to another unit.
const written = {};
// The address as this page wrote it, which says nothing new.
let ownHash = null;

/** Buttons of which one is chosen. */
function switchOf(id, choices) {
  for (const [value, text] of choices) {
    const input = made("input", { type: "radio", name: id, id: `${id}-${value}`, value });
    field(id).append(made("label", { for: input.id }, input, made("span", {}, text)));
  }
}

function fillFields() {
  const options = (names) => names.map(([value, text]) => made("option", { value }, text));
  const titles = (all) => Object.entries(all).map(([name, own]) => [name, own.title]);
  const groups = Object.entries(tables.groups).filter(([name]) => !Object.hasOwn(tables.refrigerants, name));
  field("application").append(...options([["", say("choose_application")], ...titles(tables.applications)]));
  field("refrigerant").append(...options([["", say("choose_refrigerant")],
    ...Object.keys(tables.refrigerants).map((name) => [name, name])]));
  if (groups.length) {
    const together = made("optgroup", { label: say("groups") });
    together.append(...options(titles(Object.fromEntries(groups))));
    field("refrigerant").append(together);
  }
  field("family").append(...options([["", say("all_families")], ...titles(tables.families)]));
  switchOf("loads", LOADS.map((unit) => [unit.name, unit.label]));
  switchOf("degrees", Object.entries(tables.degrees));
  switchOf("sizes", [["stock", say("in_stock_only")], ["all", say("all_sizes")]]);
  field("sizes").hidden = !tables.stock;
  const { file, date } = tables.stock || {};
  field("stock-note").textContent = !file ? "" : date ? say("stock_hint_dated", { file, date }) : say("stock_hint", { file });
  const { confidence } = tables;
  const limits = confidence ? say("limits_at_confidence", { confidence }) : say("limits_nominal");
  field("origin").textContent = `${tables.origin} ${limits}`;
}

/** The unit of loads that a name means; the tables' own of a system, as older addresses have it, and by default. */
function loadUnit(name) {
  const own = (system) => LOADS.find((unit) => unit.watts === tables.watts[system]);
  return LOADS.find((unit) => unit.name === name) || own(SYSTEMS.includes(name) ? name : tables.units);
}

function checkUnits(degrees, loads) {
  field(`degrees-${SYSTEMS.includes(degrees) ? degrees : tables.units}`).checked = true;
  field(`loads-${loadUnit(loads).name}`).checked = true;
}

/** Units of the last visit; none where the browser stores nothing. */
function remembered() {
  try {
    return JSON.parse(localStorage.getItem(REMEMBERED)) || {};
  } catch {
    return {};
  }
}

function remember() {
  try {
    localStorage.setItem(REMEMBERED, JSON.stringify({ degrees: chosen("degrees"), loads: chosen("loads") }));
  } catch {
    // Private windows and some mail readers store nothing; the address still has the units.
  }
}

/** A figure of an address, which has a point, as the page's language writes it; another text as it is. */
function localFigure(text) {
  return /^-?\d+\.\d+(?=$|[^\d.,])/.test(text) ? text.replace(".", tables.figures.decimal) : text;
}

/** The text of a field for an address, the same in every language. */
function addressFigure(id) {
  const [units, own] = unitsOf(id);
  const { digits, unit, isNamed } = numberOf(field(id).value, units, own, "");
  if (digits === undefined) return field(id).value.trim().slice(0, MOST_SIGNS);
  return isNamed ? `${digits} ${unit.label}` : digits;
}

/** Every field from the address; what it does not name is blank, and its units are the tables' own. */
function recall() {
  if (location.hash === ownHash) return;
  const given = new URLSearchParams(location.hash.slice(1));
  const units = [...given].length ? {} : remembered();
  const unknown = [];
  for (const id of CHOICES) {
    const value = given.get(id) || "";
    const found = [...field(id).options].find((option) => option.value.toLowerCase() === value.toLowerCase());
    field(id).value = found ? found.value : "";
    if (!found) unknown.push(say("quoted", { text: value }));
  }
  for (const id of FIGURES) field(id).value = localFigure((given.get(id) || "").slice(0, MOST_SIGNS + 1));
  typed = given.get("sst") && !given.get("box") ? "sst" : "box";
  checkUnits(given.get("degrees") || units.degrees, given.get("loads") || units.loads);
  field(`sizes-${given.get("sizes") === "all" ? "all" : "stock"}`).checked = true;
  unknownAsked = unknown.length ? count("unknown_link", unknown.length, { names: listed(unknown) }) : "";
  picked = "";
  FIGURES.forEach(note);
  show();
}

/** Write the case into the address, so that the address can be sent. */
function writeAddress() {
  const state = new URLSearchParams();
  for (const id of CHOICES) if (field(id).value) state.set(id, field(id).value);
  for (const id of [typed, "difference", "load"]) if (field(id).value) state.set(id, addressFigure(id));
  state.set("degrees", chosen("degrees"));
  state.set("loads", chosen("loads"));
  if (tables.stock && chosen("sizes") === "all") state.set("sizes", "all");
  ownHash = `#${state}`;
  try {
    history.replaceState(null, "", ownHash);
  } catch {
    location.replace(ownHash);
  }
}

/** The units of a field, and which of them is chosen. */
function unitsOf(id) {
  if (id === "load") return [LOADS, loadUnit(chosen("loads"))];
  const units = id === "difference" ? DIFFERENCES : DEGREES;
  return [units, unitIn(units, chosen("degrees"))];
}

/** Remember a figure as it is written now. */
function note(id) {
  written[id] = { text: field(id).value, unit: unitsOf(id)[1] };
}

/** A temperature or a difference of the other system, to two decimals of a degree. */
function converted(id, value, system) {
  const toCelsius = system === "SI";
  if (id === "difference") return hundredths(toCelsius ? value / 1.8 : value * 1.8);
  return hundredths(toCelsius ? (value - 32) / 1.8 : value * 1.8 + 32);
}

/** A field in the unit chosen: as it was written in its own, else to two decimals of a degree or four figures. */
function convert(id) {
  const { text, unit } = written[id];
  const [units, to] = unitsOf(id);
  const number = numberOf(text, units, unit, "");
  if (number.value === undefined || number.unit === to) {
    field(id).value = text;
    return;
  }
  const figure = id === "load" ? Number(((number.value * number.unit.watts) / to.watts).toPrecision(4))
    : converted(id, number.value, to.system);
  field(id).value = localFigure(String(figure));
}

/** Bring a part of the page into sight, and the keyboard to it. */
function goTo(id) {
  field(id).scrollIntoView({ block: "start" });
  field(id).focus({ preventScroll: true });
}

fillFields();
recall();
field("case").addEventListener("submit", (event) => event.preventDefault());
field("case").addEventListener("input", (event) => {
  const { id, name } = event.target;
  if (name === "degrees") TEMPERATURES.forEach(convert);
  if (name === "loads") convert("load");
  if (name === "degrees" || name === "loads") remember();
  if (CHOICES.includes(id)) unknownAsked = "";
  if (id === "box" || id === "sst") typed = id;
  if (FIGURES.includes(id)) note(id);
  picked = "";
  isAllShown = false;
  writeAddress();
  show();
});
field("to-order").addEventListener("click", () => goTo("specified"));
field("to-why").addEventListener("click", () => goTo("why"));
window.addEventListener("hashchange", recall);
