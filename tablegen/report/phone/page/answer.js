"use strict";

// Compares a load with printed limits; calculates no property and no flow.

/**
 * The number that a text states, or what is wrong with it.
 *
 * A unit after it must be one of those that `spellings` has for the system of the buttons.
 */
function numberOf(text, spellings, system, example) {
  const written = text.trim();
  const known = Object.entries(spellings).flatMap(([of, names]) => names.map((name) => [of, name]));
  // The system's own first, for both may have a unit in common.
  known.sort(([a], [b]) => (b === system) - (a === system));
  const unit = known.find(([, name]) => written.toLowerCase().endsWith(name) &&
    /[\d.\s\u00a0]$/.test(written.slice(0, -name.length)));
  if (unit && unit[0] !== system) return { error: say("other_unit", { text: written }) };
  const figure = (unit ? written.slice(0, -unit[1].length) : written).trim().replace(/\u2212/g, "-");
  if (figure === "") return { empty: true };
  // Spaces may separate thousands and nothing else.
  const isGrouped = /^[+-]?\d{1,3}([\s\u00a0\u202f]\d{3})+(\.\d*)?$/.test(figure);
  const digits = isGrouped ? figure.replace(/[\s\u00a0\u202f]/g, "") : figure;
  if (/^[+-]?\d{1,3}(,\d{3})+$/.test(digits)) {
    const first = digits.replace(/,/g, "");
    const error = digits.split(",").length === 2
      ? say("two_readings", { text: written, first, second: Number(digits.replace(",", ".")) })
      : say("commas", { text: written, figure: first });
    return { error };
  }
  const dotted = /^[^.,]*,[^.,]*$/.test(digits) ? digits.replace(",", ".") : digits;
  if (!/^[+-]?(\d+(\.\d*)?|\.\d+)$/.test(dotted)) return { error: say("not_a_number", { text: written, example }) };
  return { value: Number(dotted) };
}

/** The refrigerants that a name means: itself, or the members of a group. */
function membersOf(name) {
  return Object.hasOwn(tables.refrigerants, name) ? [name] : tables.groups[name].members;
}

/** Families that the catalogue offers for a case, by its own rules. */
function familiesFor(name, application) {
  return tables.offered[application][name].families;
}

/** Families that it does not offer, each with the reason. */
function refusedFor(name, application) {
  return tables.offered[application][name].refused.map(([family, at]) => [family, tables.notes[at]]);
}

/** The rows that a suction temperature reads: its own, or those on either side; none outside the ends. */
function rowsOf(suction, degrees) {
  const at = Math.round(degrees * 100) / 100;
  const own = suction.findIndex((row) => Math.abs(row - at) < 1e-9);
  if (own >= 0) return [own];
  const above = suction.findIndex((row) => row > at);
  return above > 0 ? [above - 1, above] : [];
}

/** The limits of one size: the strictest of rows and members, with the member that sets each. */
function limitsOf(of, system, rows, members) {
  let minimum = null;
  let maximum = null;
  for (const row of rows) {
    for (const member of members) {
      const own = of[member];
      const [from, to] = own[system][row];
      const because = (side) => tables.reasons[own.setBy[2 * row + side]];
      if (from === null) return { minimum: null, maximum: null, why: because(1), member };
      if (minimum === null || Number(from) > Number(minimum.figure)) minimum = { figure: from, why: because(0), member };
      if (maximum === null || Number(to) < Number(maximum.figure)) maximum = { figure: to, why: because(1), member };
    }
  }
  if (Number(minimum.figure) >= Number(maximum.figure)) {
    return { minimum: null, maximum: null, why: say("no_common_load"), member: maximum.member };
  }
  return { minimum, maximum };
}

/** Every size for a case, and those that fit, largest margin first; sizes of equal margin in the catalogue's order. */
function answerOf(wanted) {
  const { name, application, family, degreeSystem, degrees, loadSystem, load } = wanted;
  const members = membersOf(name);
  const rows = rowsOf(tables.applications[application].suction[degreeSystem], degrees);
  const families = familiesFor(name, application).filter((own) => !family || own === family);
  const sizes = [];
  for (const own of families) {
    const windows = tables.windows[own][application];
    for (const size of tables.families[own].sizes) {
      const of = Object.fromEntries(members.map((member) => [member, windows[member].sizes[size]]));
      sizes.push({ family: own, size, ...judged(limitsOf(of, loadSystem, rows, members), load) });
    }
  }
  const fitting = sizes.filter((one) => one.verdict === "fits").sort((a, b) => b.margin - a.margin);
  return { rows, families, sizes, fitting };
}

/** Limits with what they mean to a load. */
function judged(limits, load) {
  if (limits.minimum === null) return { ...limits, verdict: "no_window", margin: NaN };
  const under = load / Number(limits.minimum.figure);
  const over = Number(limits.maximum.figure) / load;
  const verdict = under < 1 ? "too_large" : over < 1 ? "too_small" : "fits";
  return { ...limits, verdict, margin: Math.min(under, over) };
}

/** Of one family the largest size that is too small, and the smallest that is too large. */
function neighborsOf(answer, family) {
  const own = answer.sizes.filter((one) => one.family === family);
  return {
    small: own.filter((one) => one.verdict === "too_small").pop(),
    large: own.find((one) => one.verdict === "too_large"),
  };
}
