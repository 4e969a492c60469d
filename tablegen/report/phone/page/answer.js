"use strict";

// Compares a load with printed limits; calculates no property and no flow.

/** The refrigerants that a name means: itself, or the members of a group. */
function membersOf(name) {
  return Object.hasOwn(tables.refrigerants, name) ? [name] : tables.groups[name].members;
}

/** The refrigerants of a name that are flammable or toxic, by what they are. */
function hazardsOf(name) {
  const by = new Map();
  for (const member of membersOf(name)) {
    const hazard = tables.hazards[member];
    if (hazard) by.set(hazard, [...(by.get(hazard) || []), member]);
  }
  return [...by];
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

const SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";

/** A function whose results are cached by its arguments, a few at most. */
function remembering(make, most = 24) {
  const cached = new Map();
  return (...given) => {
    const key = JSON.stringify(given);
    if (!cached.has(key)) {
      if (cached.size >= most) cached.clear();
      cached.set(key, make(...given));
    }
    return cached.get(key);
  };
}

/** The limits of a size in one system, row by row in pairs; split where they are first asked for. */
function pairsOf(own, system) {
  if (typeof own[system] !== "string") return own[system];
  const parts = own[system].split(" ");
  const found = [];
  for (let i = 0; i < parts.length; i += 1) {
    if (parts[i] === "-") found.push([null, null]);
    else found.push([parts[i], parts[(i += 1)]]);
  }
  own[system] = found;
  return found;
}

/** The limits of one size: the strictest of rows and members, with the member that sets each. */
function limitsOf(of, system, rows, members) {
  let minimum = null;
  let maximum = null;
  for (const row of rows) {
    for (const member of members) {
      const own = of[member];
      const [from, to] = pairsOf(own, system)[row];
      const because = (side) => tables.reasons[SIGNS.indexOf(own.set_by[2 * row + side])];
      if (from === null) return { minimum: null, maximum: null, why: because(1), member };
      if (minimum === null || Number(from) > minimum.value) {
        minimum = { figure: from, value: Number(from), why: because(0), member };
      }
      if (maximum === null || Number(to) < maximum.value) {
        maximum = { figure: to, value: Number(to), why: because(1), member };
      }
    }
  }
  if (minimum.value >= maximum.value) {
    return { minimum: null, maximum: null, why: say("no_common_load"), member: maximum.member };
  }
  return { minimum, maximum };
}

/** By family the limits of every size at a temperature, whatever the load. */
const limitsAt = remembering((name, application, degreeSystem, degrees, loadSystem) => {
  const members = membersOf(name);
  const rows = rowsOf(tables.applications[application].suction[degreeSystem], degrees);
  const families = familiesFor(name, application).map((family) => {
    const windows = tables.windows[family][application];
    const sizes = tables.families[family].sizes.map((size) => {
      const of = Object.fromEntries(members.map((member) => [member, windows[member].sizes[size]]));
      return { family, size, ...limitsOf(of, loadSystem, rows, members) };
    });
    return [family, sizes];
  });
  return { rows, families };
});

/** Every size for a case by family, and those that fit: in stock first, then largest margin, then in the catalogue's order. */
function answerOf(wanted) {
  const { name, application, family, degreeSystem, degrees, loadSystem, load } = wanted;
  const { rows, families } = limitsAt(name, application, degreeSystem, degrees, loadSystem);
  const judgedFamilies = families.filter(([own]) => !family || own === family)
    .map(([own, sizes]) => [own, sizes.map((one) => judged(one, load))]);
  const sizes = judgedFamilies.flatMap(([, own]) => own);
  const fitting = sizes.filter((one) => one.verdict === "fits").map((one) => ({ ...one, isFirst: isRecommended(one, wanted) }));
  fitting.sort((a, b) => b.isFirst - a.isFirst || b.margin - a.margin);
  const [best] = fitting;
  return {
    rows, sizes, fitting, byFamily: new Map(judgedFamilies),
    first: best && best.isFirst ? best : null,
  };
}

/** Limits with what they mean to a load. */
function judged(limits, load) {
  if (limits.minimum === null) return { ...limits, verdict: "no_window", margin: NaN };
  const under = load / limits.minimum.value;
  const over = limits.maximum.value / load;
  const verdict = under < 1 ? "too_large" : over < 1 ? "too_small" : "fits";
  return { ...limits, verdict, margin: Math.min(under, over) };
}

/** Of one family the largest size that is too small, and the smallest that is too large; of those that `counts` says. */
function neighborsOf(answer, family, counts = () => true) {
  const own = answer.byFamily.get(family).filter(counts);
  return {
    small: own.filter((one) => one.verdict === "too_small").pop(),
    large: own.find((one) => one.verdict === "too_large"),
  };
}
