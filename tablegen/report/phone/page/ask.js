"use strict";

// What is asked, and what is wrong with it.

const tables = unpacked(JSON.parse(document.getElementById("tables").textContent));
const field = (id) => document.getElementById(id);
const SYSTEMS = ["IP", "SI"];
// Units as people write them behind a figure, by system.
const SPELLINGS = {
  degrees: { IP: ["°f", "f", "degf"], SI: ["°c", "c", "degc"] },
  loads: Object.fromEntries(SYSTEMS.map((system) => {
    const unit = tables.loads[system].toLowerCase();
    return [system, [unit, unit.replace("/h", "")]];
  })),
};
const EXAMPLE = { sst: "24 or \u221210.5", load: "20 or 5.9" };

function spelt(names, last = "and") {
  return names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} ${last} ${names[names.length - 1]}`;
}

function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A number as it is understood, with a true minus sign. */
function plainly(value) {
  return String(value).replace("-", "\u2212");
}

function chosen(id) {
  return document.querySelector(`#${id} input:checked`).value;
}

/** A refrigerant, or a group as one that holds for each member. */
function subject(name) {
  return Object.hasOwn(tables.refrigerants, name) ? name : `each of ${tables.groups[name].title}`;
}

/** What the fields ask; `told` says what is wrong with a figure, `next` what is still to be said. */
function asked() {
  const wanted = {
    name: field("refrigerant").value, application: field("application").value, family: field("family").value,
    degreeSystem: chosen("degrees"), loadSystem: chosen("loads"), told: { sst: "", load: "" }, next: [],
  };
  if (!wanted.application) wanted.next.push("an application");
  if (!wanted.name) wanted.next.push("a refrigerant");
  const sst = numberOf(field("sst").value, SPELLINGS.degrees, wanted.degreeSystem, EXAMPLE.sst);
  const load = numberOf(field("load").value, SPELLINGS.loads, wanted.loadSystem, EXAMPLE.load);
  [wanted.degrees, wanted.load] = [sst.value, load.value];
  if (sst.told) wanted.told.sst = `Suction temperature: ${sst.told}`;
  if (load.told) wanted.told.load = `Load: ${load.told}`;
  if (sst.empty) wanted.next.push("a suction temperature");
  if (load.empty) wanted.next.push("a load");
  if (load.value !== undefined && !(load.value > 0)) wanted.told.load = "Load: it must be above zero.";
  if (sst.value !== undefined && wanted.application) wanted.told.sst = beyond(wanted);
  return wanted;
}

function spanOf(application, system) {
  const { suction } = tables.applications[application];
  const [first, last] = [suction[system][0], suction[system][suction[system].length - 1]].map(plainly);
  return `${first} to ${last}\u00a0${tables.degrees[system]}`;
}

/** Applications of the same temperature range that have windows for the case. */
function alike(wanted, suits) {
  const { temperature_range } = tables.applications[wanted.application];
  return Object.keys(tables.applications).filter((name) => name !== wanted.application &&
    tables.applications[name].temperature_range === temperature_range && suits(name));
}

/** Why a suction temperature is outside the tables, or nothing. */
function beyond(wanted) {
  const reads = (name) => rowsOf(tables.applications[name].suction[wanted.degreeSystem], wanted.degrees).length > 0;
  if (reads(wanted.application)) return "";
  const others = Object.keys(tables.applications).filter((name) => reads(name) &&
    (!wanted.name || familiesFor(tables, wanted.name, name).length > 0)).map((name) => tables.applications[name].title);
  const whom = wanted.name ? ` with a valve for ${subject(wanted.name)}` : "";
  const next = others.length
    ? `${wanted.name ? `For ${subject(wanted.name)} this` : "This"} temperature is covered by: ${others.join("; ")}.`
    : `No application${whom} covers it.`;
  return `Suction temperature: this application covers ${spanOf(wanted.application, wanted.degreeSystem)}; ` +
    `do not extrapolate. ${next}`;
}

/** Why there is no table for what is asked, or nothing. */
function missing(wanted) {
  const all = familiesFor(tables, wanted.name, wanted.application);
  if (all.length > 0 && (!wanted.family || all.includes(wanted.family))) return "";
  const refused = refusedFor(tables, wanted.name, wanted.application);
  if (all.length > 0) {
    const names = all.map((family) => tables.families[family].title);
    const [, why] = refused.find(([family]) => family === wanted.family);
    return `This family is not offered for ${subject(wanted.name)} there. ${why} Offered: ${spelt(names)}.`;
  }
  const whys = [...new Set(refused.map(([, why]) => why))].join(" ");
  const others = alike(wanted, (name) => familiesFor(tables, wanted.name, name).length > 0);
  const titles = others.map((name) => tables.applications[name].title);
  return `No valve is offered for ${subject(wanted.name)} in this application. ${whys} ` +
    (titles.length ? `Offered in: ${titles.join("; ")}.` : "Ask the maker.");
}

function figureWith(figure, wanted) {
  return `${figure}\u00a0${tables.loads[wanted.loadSystem]}`;
}

/** What to do where nothing fits. */
function advice(answer, wanted) {
  const open = answer.sizes.filter((one) => one.minimum !== null);
  if (open.length === 0) return "No size has a window here, for the reasons below. Ask the maker.";
  const minimum = open.reduce((a, b) => (Number(b.minimum.figure) < Number(a.minimum.figure) ? b : a));
  const most = open.reduce((a, b) => (Number(b.maximum.figure) > Number(a.maximum.figure) ? b : a));
  const [low, high] = [Number(minimum.minimum.figure), Number(most.maximum.figure)];
  if (wanted.load > high) {
    const thousandth = wanted.load / 1000;
    const unit = tables.loads[wanted.loadSystem];
    const slip = unit.startsWith("k") && thousandth >= low && thousandth <= high
      ? `Was it meant in ${unit.slice(1)}? Then write ${plainly(thousandth)}. ` : "";
    return `${slip}The maximum load held here is ${figureWith(most.maximum.figure, wanted)} (${called(most)}). ` +
      "Share the load among several evaporators or valves and look up each, or ask the maker.";
  }
  if (wanted.load < low) {
    return `The minimum load held here is ${figureWith(minimum.minimum.figure, wanted)} (${called(minimum)}); ` +
      "below it these valves are not steady. Ask the maker for a smaller one.";
  }
  return "The load falls between the windows of neighboring sizes" +
    (wanted.family ? "; look at the other families, or ask the maker." : "; ask the maker.");
}
