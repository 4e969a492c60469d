"use strict";

// Fields filled, units remembered, the case written into the address.

const REMEMBERED = "look-up units";
const CHOICES = ["application", "refrigerant", "family"];
const KINDS = { sst: "degrees", load: "loads" };
// A figure as it was written, and in which unit; from it the field is converted to the other unit.
const written = {};

/** Radio buttons for the units of a figure. */
function unitChoice(id, labels) {
  for (const system of SYSTEMS) {
    const input = made("input", { type: "radio", name: id, id: `${id}-${system}`, value: system });
    field(id).append(made("label", { for: input.id }, input, labels[system]));
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
  unitChoice("degrees", tables.degrees);
  unitChoice("loads", tables.loads);
  const { confidence } = tables;
  const limits = confidence ? say("limits_at_confidence", { confidence }) : say("limits_nominal");
  field("origin").textContent = `${tables.origin} ${limits}`;
}

function check(id, system) {
  field(`${id}-${SYSTEMS.includes(system) ? system : tables.units}`).checked = true;
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

/** Every field from the address; what it does not name is blank, and its units are the tables' own. */
function recall() {
  const given = new URLSearchParams(location.hash.slice(1));
  const units = [...given].length ? {} : remembered();
  const unknown = [];
  for (const id of CHOICES) {
    const value = given.get(id) || "";
    const found = [...field(id).options].find((option) => option.value.toLowerCase() === value.toLowerCase());
    field(id).value = found ? found.value : "";
    if (!found) unknown.push(say("quoted", { text: value }));
  }
  for (const id of ["sst", "load"]) field(id).value = given.get(id) || "";
  check("degrees", given.get("degrees") || units.degrees);
  check("loads", given.get("loads") || units.loads);
  unknownAsked = unknown.length ? count("unknown_link", unknown.length, { names: listed(unknown) }) : "";
  picked = "";
  Object.keys(KINDS).forEach(note);
  show();
}

/** Write the case into the address, so that the address can be sent. */
function writeAddress() {
  const state = new URLSearchParams();
  for (const id of [...CHOICES, "sst", "load"]) if (field(id).value) state.set(id, field(id).value);
  state.set("degrees", chosen("degrees"));
  state.set("loads", chosen("loads"));
  try {
    history.replaceState(null, "", `#${state}`);
  } catch {
    location.replace(`#${state}`);
  }
}

/** Remember a figure as it is written now. */
function note(id) {
  written[id] = { text: field(id).value, system: chosen(KINDS[id]) };
}

/** The case in the unit chosen: as it was written in its own, else to two decimals of a degree or four figures. */
function convert() {
  const converted = {
    sst: (value, to) => Math.round((to === "SI" ? (value - 32) / 1.8 : value * 1.8 + 32) * 100) / 100,
    load: (value, to, from) => Number(((value * tables.watts[from]) / tables.watts[to]).toPrecision(4)),
  };
  for (const [id, kind] of Object.entries(KINDS)) {
    const { text, system } = written[id];
    const number = numberOf(text, SPELLINGS[kind], system, EXAMPLE[id]);
    const to = chosen(kind);
    if (to === system || number.value === undefined) field(id).value = text;
    else field(id).value = String(converted[id](number.value, to, system));
  }
}

fillFields();
recall();
field("case").addEventListener("submit", (event) => event.preventDefault());
field("case").addEventListener("input", (event) => {
  if (event.target.type === "radio") {
    convert();
    remember();
  } else {
    if (CHOICES.includes(event.target.id)) unknownAsked = "";
    if (Object.hasOwn(KINDS, event.target.id)) note(event.target.id);
  }
  picked = "";
  writeAddress();
  show();
});
window.addEventListener("hashchange", recall);
