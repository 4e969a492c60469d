"use strict";

// Fields filled, units remembered, the case kept in the address.

/** Radio buttons for the units of a figure. */
function unitChoice(id, labels) {
  for (const system of SYSTEMS) {
    const input = made("input", { type: "radio", name: id, id: `${id}-${system}`, value: system });
    field(id).append(made("label", { for: input.id }, input, labels[system]));
  }
}

function fillFields() {
  const options = (names) => names.map(([value, text]) => made("option", { value }, text));
  const groups = Object.entries(tables.groups).filter(([name]) => !Object.hasOwn(tables.refrigerants, name));
  const alone = made("optgroup", { label: "Refrigerant" });
  alone.append(...options(Object.keys(tables.refrigerants).map((name) => [name, name])));
  field("refrigerant").append(alone);
  if (groups.length) {
    const together = made("optgroup", { label: "Any of a group" });
    together.append(...options(groups.map(([name, group]) => [name, group.title])));
    field("refrigerant").append(together);
  }
  field("envelope").append(...options(Object.entries(tables.envelopes).map(([name, own]) => [name, own.title])));
  field("family").append(...options([["", "All families"],
    ...Object.entries(tables.families).map(([name, own]) => [name, own.title])]));
  unitChoice("degrees", tables.degrees);
  unitChoice("loads", tables.loads);
  field("origin").textContent = `${originText()} Limits: ${tables.limits}, least up and greatest down to three figures. ` +
    "This page compares printed limits; it computes none.";
}

function check(id, system) {
  field(`${id}-${SYSTEMS.includes(system) ? system : tables.units}`).checked = true;
}

/** Units of the last visit; none where the browser keeps nothing. */
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
    // Nothing is kept in private windows and in some mail readers; the address still holds the units.
  }
}

/** Fields from the address, and units from it or from the last visit. */
function recall() {
  const asked = new URLSearchParams(location.hash.slice(1));
  const units = remembered();
  for (const id of ["refrigerant", "envelope", "family"]) {
    const wanted = asked.get(id);
    if (wanted !== null && [...field(id).options].some((option) => option.value === wanted)) field(id).value = wanted;
  }
  for (const id of ["sst", "load"]) if (asked.has(id)) field(id).value = asked.get(id);
  check("degrees", asked.get("degrees") || units.degrees);
  check("loads", asked.get("loads") || units.loads);
  convertFrom = { degrees: chosen("degrees"), loads: chosen("loads") };
  const unknown = ["refrigerant", "envelope", "family"].filter((id) => asked.get(id) && field(id).value !== asked.get(id));
  show();
  if (unknown.length) {
    const names = unknown.map((id) => `“${asked.get(id)}”`);
    field("verdict").textContent = `The address asks for ${spelt(names)}, which these tables do not have. Choose anew.`;
    field("found").replaceChildren();
  }
}

/** The case in the address, so that the address can be sent. */
function keep() {
  const state = new URLSearchParams();
  for (const id of ["refrigerant", "sst", "load", "envelope", "family"]) {
    if (field(id).value) state.set(id, field(id).value);
  }
  state.set("degrees", chosen("degrees"));
  state.set("loads", chosen("loads"));
  try {
    history.replaceState(null, "", `#${state}`);
  } catch {
    location.replace(`#${state}`);
  }
}

let convertFrom = {};

/** The same case in the other unit, to two decimals of a degree and four figures of a load. */
function convert() {
  const [degrees, loads] = [chosen("degrees"), chosen("loads")];
  const sst = numberOf(field("sst").value);
  if (degrees !== convertFrom.degrees && sst.value !== undefined) {
    const other = degrees === "SI" ? (sst.value - 32) / 1.8 : sst.value * 1.8 + 32;
    field("sst").value = String(Math.round(other * 100) / 100);
  }
  const load = numberOf(field("load").value);
  if (loads !== convertFrom.loads && load.value !== undefined) {
    const other = (load.value * tables.watts[convertFrom.loads]) / tables.watts[loads];
    field("load").value = String(Number(other.toPrecision(4)));
  }
  convertFrom = { degrees, loads };
}

fillFields();
recall();
field("case").addEventListener("submit", (event) => event.preventDefault());
field("case").addEventListener("input", (event) => {
  if (event.target.type === "radio") {
    convert();
    remember();
  }
  keep();
  show();
});
window.addEventListener("hashchange", recall);
