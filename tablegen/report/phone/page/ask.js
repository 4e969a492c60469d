"use strict";

// What the fields ask, and what is wrong with it.

const EXAMPLE = { temperature: say("temperature_example"), load: say("load_example"), difference: say("difference_example") };
const SPELLED = { IP: ["f", "fahrenheit"], SI: ["c", "celsius"] };
// Of temperatures, and of differences between them.
const DEGREES = SYSTEMS.map((system) => ({ system, label: tables.degrees[system], spellings: SPELLED[system] }));
const DIFFERENCES = SYSTEMS.map((system) => ({
  system, label: tables.differences[system], spellings: system === "SI" ? [...SPELLED.SI, "k", "kelvin"] : SPELLED.IP,
}));
const LOADS = tables.load_units.map((unit) => ({ ...unit, spellings: unit.spellings.map(folded) }));
// A load so many times beyond any window is a slip.
const FAR_BEYOND = 20;
// Which of box temperature and SST is typed; the other follows.
let typed = "box";

const unitIn = (units, system) => units.find((unit) => unit.system === system);
const hundredths = (degrees) => Math.round(degrees * 100) / 100;
// A figure without what is left of a conversion.
const clean = (figure) => Number(figure.toPrecision(12));

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
  const unit = LOADS.find((own) => own.name === chosen("loads"));
  const wanted = {
    name: field("refrigerant").value, application: field("application").value, family: field("family").value,
    degreeSystem: chosen("degrees"), unit, loadSystem: unit.system, allSizes: Boolean(tables.stock) && chosen("sizes") === "all",
    errors: {}, next: [],
  };
  if (!wanted.application) wanted.next.push(say("needs_application"));
  if (!wanted.name) wanted.next.push(say("needs_refrigerant"));
  askLoad(wanted);
  askTemperature(wanted);
  return wanted;
}

/** A temperature or a difference in the system that is chosen: a unit after the figure is that of this figure alone. */
function inSystem(id, { value, unit }, wanted) {
  const { degreeSystem: system, application } = wanted;
  if (unit.system === system) return value;
  // A row of the tables is the same row in both systems.
  const suction = id === "sst" && application ? tables.applications[application].suction : null;
  const row = suction ? suction[unit.system].findIndex((own) => Math.abs(own - value) < 0.0101) : -1;
  return row < 0 ? converted(id, value, system) : suction[system][row];
}

/** The load as it is written, and in the unit of the tables. */
function askLoad(wanted) {
  const load = numberOf(field("load").value, LOADS, wanted.unit, EXAMPLE.load);
  if (load.empty) wanted.next.push(say("needs_load"));
  const isTooLow = load.value !== undefined && !(load.value > 0);
  const error = isTooLow ? say("above_zero") : load.error;
  if (error) wanted.errors.load = say("load_error", { error });
  if (load.empty || error) return;
  wanted.loadUnit = load.unit;
  const { watts } = load.unit;
  const label = Number(load.digits) === 1 ? load.unit.one : load.unit.label;
  wanted.load = clean((load.value * watts) / tables.watts[wanted.loadSystem]);
  const own = say("load_figure", { figure: figureText(load.digits), unit: label });
  const same = loadText(String(Number(wanted.load.toPrecision(4))), wanted);
  wanted.loadText = watts === tables.watts[wanted.loadSystem] ? loadText(load.digits, wanted) : say("load_both", { own, same });
}

/** SST, box temperature and the coil temperature difference between them, as far as they are known. */
function askTemperature(wanted) {
  const { degreeSystem: system, errors } = wanted;
  const difference = differenceOf(wanted);
  if (difference.error) errors.difference = say("difference_error", { error: difference.error });
  const figure = numberOf(field(typed).value, DEGREES, unitIn(DEGREES, system), EXAMPLE.temperature);
  if (figure.empty) wanted.next.push(say("needs_temperature"));
  const { error: unread } = figure;
  if (unread) errors[typed] = typed === "box" ? say("box_error", { error: unread }) : say("sst_error", { error: unread });
  if (figure.value === undefined) return;
  const value = inSystem(typed, figure, wanted);
  wanted.difference = difference.value;
  if (typed === "sst") wanted.degrees = value;
  else if (difference.value !== undefined) wanted.degrees = atRow(value - difference.value, wanted);
  else if (wanted.application && !difference.error) wanted.next.push(say("needs_difference"));
  if (typed === "box") wanted.box = value;
  else if (difference.value !== undefined) wanted.box = hundredths(clean(value + difference.value));
  const isKnown = wanted.degrees !== undefined && wanted.application && !errors.difference;
  const error = isKnown ? outside(wanted, system) : "";
  if (error) errors[typed] = say("sst_error", { error });
}

/** The SST of a box to hundredths; a row's own where it is that but for the hundredths of both in another unit. */
function atRow(degrees, wanted) {
  const suction = wanted.application ? tables.applications[wanted.application].suction[wanted.degreeSystem] : [];
  const row = suction.find((own) => Math.abs(own - degrees) < 0.0101);
  return row === undefined ? hundredths(clean(degrees)) : row;
}

/** The coil temperature difference: what is typed, else what the application states. */
function differenceOf(wanted) {
  const { degreeSystem: system } = wanted;
  const stated = wanted.application ? tables.applications[wanted.application].coil_difference : null;
  const given = numberOf(field("difference").value, DIFFERENCES, unitIn(DIFFERENCES, system), EXAMPLE.difference);
  if (given.empty) return stated ? { value: stated[system] } : {};
  if (given.error) return given;
  const value = inSystem("difference", given, wanted);
  const [minimum, maximum] = tables.difference_range[system];
  const text = (own) => say("temperature", { figure: figureText(own), unit: tables.differences[system] });
  if (!(value >= minimum && value <= maximum)) {
    return { error: say("difference_range", { minimum: figureText(minimum), maximum: text(maximum) }) };
  }
  if (stated && stated.is_balanced && Math.abs(value - stated[system]) > 0.0101) {
    return { error: say("other_balance", { difference: text(hundredths(stated[system])) }) };
  }
  return { value, isOwn: true };
}

/** What the TD is to that of the tables: "smaller" or "larger" where limits depend on it, else nothing. */
function differenceSide({ application, difference, degreeSystem: system }) {
  const stated = tables.applications[application].coil_difference;
  if (!stated || stated.changes === "nothing" || difference === undefined) return "";
  const more = difference - stated[system];
  if (Math.abs(more) < 0.0101) return "";
  return more > 0 && stated.changes === "maximum" ? "larger" : "smaller";
}

/** The TD that the tables are made with. */
function tablesDifference({ application, degreeSystem: system }) {
  const figure = figureText(hundredths(tables.applications[application].coil_difference[system]));
  return { difference: say("temperature", { figure, unit: tables.differences[system] }) };
}

function spanOf(application, system) {
  const { suction } = tables.applications[application];
  const [first, last] = [suction[system][0], suction[system][suction[system].length - 1]].map(figureText);
  return say("span", { first, last, unit: tables.degrees[system] });
}

/** Why a suction temperature is outside the tables, or nothing. */
function outside(wanted, system) {
  const reads = (name) => rowsOf(tables.applications[name].suction[system], wanted.degrees).length > 0;
  if (reads(wanted.application)) return "";
  const applications = titlesOf(Object.keys(tables.applications).filter((name) => reads(name) &&
    (!wanted.name || familiesFor(wanted.name, name).length > 0)));
  const refrigerant = wanted.name && subject(wanted.name);
  const span = say("outside_sst", { span: spanOf(wanted.application, system) });
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

/** That a load so many times beyond all windows may have another unit; nothing where it is near them. */
function unitCheck(beyond) {
  return beyond > FAR_BEYOND ? `${say("check_unit")} ` : "";
}

/** What to do where nothing fits. */
function advice(answer, wanted) {
  const open = answer.sizes.filter((one) => one.minimum !== null);
  if (open.length === 0) return say("no_window_at_all");
  const smallest = open.reduce((a, b) => (b.minimum.value < a.minimum.value ? b : a));
  const largest = open.reduce((a, b) => (b.maximum.value > a.maximum.value ? b : a));
  const [low, high] = [smallest.minimum.value, largest.maximum.value];
  const ofLimit = (one, limit) => ({ limit: loadText(limit.figure, wanted), valve: called(one) });
  if (wanted.load > high) {
    const thousandth = wanted.load / 1000;
    const small = LOADS.find((unit) => unit.is_small && unit.system === wanted.loadSystem);
    const isSlip = small && wanted.loadUnit.label === `k${small.label}` && thousandth >= low && thousandth <= high;
    const meant = isSlip && say("load_figure", { figure: figureText(String(wanted.load)), unit: small.label });
    const slip = isSlip ? `${say("thousandfold", { load: meant })} ` : "";
    return (slip || unitCheck(wanted.load / high)) + say("too_much", ofLimit(largest, largest.maximum));
  }
  if (wanted.load < low) return unitCheck(low / wanted.load) + say("too_little", ofLimit(smallest, smallest.minimum));
  return wanted.family ? say("between_sizes") : say("between_sizes_of_all");
}
