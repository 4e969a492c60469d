"use strict";

// What the fields ask, and what is wrong with it.

// Units as people write them after a figure, by system.
const SPELLINGS = {
  degrees: { IP: ["°f", "f", "degf"], SI: ["°c", "c", "degc"] },
  loads: Object.fromEntries(SYSTEMS.map((system) => {
    const unit = tables.loads[system].toLowerCase();
    return [system, [unit, unit.replace("/h", "")]];
  })),
};
const EXAMPLE = { sst: say("sst_example"), load: say("load_example") };

function chosen(id) {
  return document.querySelector(`#${id} input:checked`).value;
}

/** A refrigerant, or each refrigerant of a group. */
function subject(name) {
  return Object.hasOwn(tables.refrigerants, name) ? name : say("each_of", { group: tables.groups[name].title });
}

function titlesOf(applications) {
  return inClauses(applications.map((name) => tables.applications[name].title));
}

/** What the fields ask; `errors` are those of its figures, `next` what is still missing. */
function asked() {
  const wanted = {
    name: field("refrigerant").value, application: field("application").value, family: field("family").value,
    degreeSystem: chosen("degrees"), loadSystem: chosen("loads"), errors: { sst: "", load: "" }, next: [],
  };
  if (!wanted.application) wanted.next.push(say("needs_application"));
  if (!wanted.name) wanted.next.push(say("needs_refrigerant"));
  const sst = numberOf(field("sst").value, SPELLINGS.degrees, wanted.degreeSystem, EXAMPLE.sst);
  const load = numberOf(field("load").value, SPELLINGS.loads, wanted.loadSystem, EXAMPLE.load);
  [wanted.degrees, wanted.load] = [sst.value, load.value];
  if (sst.empty) wanted.next.push(say("needs_sst"));
  if (load.empty) wanted.next.push(say("needs_load"));
  const isTooLow = load.value !== undefined && !(load.value > 0);
  const errors = {
    sst: sst.value !== undefined && wanted.application ? outside(wanted) : sst.error,
    load: isTooLow ? say("above_zero") : load.error,
  };
  if (errors.sst) wanted.errors.sst = say("sst_error", { error: errors.sst });
  if (errors.load) wanted.errors.load = say("load_error", { error: errors.load });
  return wanted;
}

function spanOf(application, system) {
  const { suction } = tables.applications[application];
  const [first, last] = [suction[system][0], suction[system][suction[system].length - 1]].map(figureText);
  return say("span", { first, last, unit: tables.degrees[system] });
}

/** Why a suction temperature is outside the tables, or nothing. */
function outside(wanted) {
  const reads = (name) => rowsOf(tables.applications[name].suction[wanted.degreeSystem], wanted.degrees).length > 0;
  if (reads(wanted.application)) return "";
  const applications = titlesOf(Object.keys(tables.applications).filter((name) => reads(name) &&
    (!wanted.name || familiesFor(wanted.name, name).length > 0)));
  const refrigerant = wanted.name && subject(wanted.name);
  const span = say("outside_sst", { span: spanOf(wanted.application, wanted.degreeSystem) });
  if (!refrigerant) return `${span} ${applications ? say("sst_covered", { applications }) : say("sst_not_covered")}`;
  return `${span} ${applications ? say("sst_covered_for", { refrigerant, applications })
    : say("sst_not_covered_for", { refrigerant })}`;
}

/** Why there is no table for what is asked, or nothing. */
function missing(wanted) {
  const all = familiesFor(wanted.name, wanted.application);
  if (all.length > 0 && (!wanted.family || all.includes(wanted.family))) return "";
  const refused = refusedFor(wanted.name, wanted.application);
  const refrigerant = subject(wanted.name);
  if (all.length > 0) {
    const families = listed(all.map((family) => tables.families[family].title));
    const [, why] = refused.find(([family]) => family === wanted.family);
    return say("family_not_offered", { refrigerant, why, families });
  }
  const why = [...new Set(refused.map(([, text]) => text))].join(" ");
  const range = (name) => tables.applications[name].temperature_range;
  const applications = titlesOf(Object.keys(tables.applications).filter((name) => name !== wanted.application &&
    range(name) === range(wanted.application) && familiesFor(wanted.name, name).length > 0));
  return applications ? say("offered_elsewhere", { refrigerant, why, applications })
    : say("nothing_offered", { refrigerant, why });
}

function loadText(figure, wanted) {
  return say("load_figure", { figure: figureText(figure), unit: tables.loads[wanted.loadSystem] });
}

/** What to do where nothing fits. */
function advice(answer, wanted) {
  const open = answer.sizes.filter((one) => one.minimum !== null);
  if (open.length === 0) return say("no_window_at_all");
  const smallest = open.reduce((a, b) => (Number(b.minimum.figure) < Number(a.minimum.figure) ? b : a));
  const largest = open.reduce((a, b) => (Number(b.maximum.figure) > Number(a.maximum.figure) ? b : a));
  const [low, high] = [Number(smallest.minimum.figure), Number(largest.maximum.figure)];
  const ofLimit = (one, limit) => ({ limit: loadText(limit.figure, wanted), valve: called(one) });
  if (wanted.load > high) {
    const thousandth = wanted.load / 1000;
    const unit = tables.loads[wanted.loadSystem];
    const isSlip = unit.startsWith("k") && thousandth >= low && thousandth <= high;
    const slip = isSlip ? `${say("thousandfold", { unit: unit.slice(1), figure: figureText(thousandth) })} ` : "";
    return slip + say("too_much", ofLimit(largest, largest.maximum));
  }
  if (wanted.load < low) return say("too_little", ofLimit(smallest, smallest.minimum));
  return wanted.family ? say("between_sizes") : say("between_sizes_of_all");
}
