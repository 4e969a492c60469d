"use strict";

// Holds a load against printed limits; computes no property and no flow.

/**
 * The number that a text says, or why it says none.
 *
 * A unit behind it must be one of those that `spellings` has for the system of the buttons.
 */
function numberOf(text, spellings, system, example) {
  const written = text.trim();
  const known = Object.entries(spellings).flatMap(([of, names]) => names.map((name) => [of, name]));
  // The system's own first, for both may have a unit in common.
  known.sort(([a], [b]) => (b === system) - (a === system));
  const unit = known.find(([, name]) => written.toLowerCase().endsWith(name) &&
    /[\d.\s\u00a0]$/.test(written.slice(0, -name.length)));
  if (unit && unit[0] !== system) {
    return { told: `“${written}” is in the other unit; choose the unit beside the field.` };
  }
  const figure = (unit ? written.slice(0, -unit[1].length) : written).trim().replace(/\u2212/g, "-");
  if (figure === "") return { empty: true };
  // Spaces may part thousands and nothing else.
  const isParted = /^[+-]?\d{1,3}([\s\u00a0\u202f]\d{3})+(\.\d*)?$/.test(figure);
  const plain = isParted ? figure.replace(/[\s\u00a0\u202f]/g, "") : figure;
  if (/^[+-]?\d{1,3}(,\d{3})+$/.test(plain)) {
    const parted = plain.split(",").length === 2 ? ` or ${Number(plain.replace(",", "."))}` : "";
    return { told: `“${written}” can be read in two ways; write ${plain.replace(/,/g, "")}${parted}.` };
  }
  const dotted = /^[^.,]*,[^.,]*$/.test(plain) ? plain.replace(",", ".") : plain;
  if (!/^[+-]?(\d+(\.\d*)?|\.\d+)$/.test(dotted)) {
    return { told: `“${written}” is not a number; write one such as ${example}.` };
  }
  return { value: Number(dotted) };
}

/** The refrigerants that a name stands for. */
function membersOf(tables, name) {
  return Object.hasOwn(tables.refrigerants, name) ? [name] : tables.groups[name].members;
}

/** Families that the catalogue offers for a case, by its own rules. */
function familiesFor(tables, name, application) {
  return tables.offered[application][name].families;
}

/** Families that it does not offer, each with the reason. */
function refusedFor(tables, name, application) {
  return tables.offered[application][name].refused.map(([family, place]) => [family, tables.texts[place]]);
}

/** The rows that a suction temperature reads: its own, or those on either side; none beyond the ends. */
function rowsOf(suction, degrees) {
  const at = Math.round(degrees * 100) / 100;
  const own = suction.findIndex((row) => Math.abs(row - at) < 1e-9);
  if (own >= 0) return [own];
  const above = suction.findIndex((row) => row > at);
  return above > 0 ? [above - 1, above] : [];
}

/** The limits of one size: the strictest of rows and members, with who sets them. */
function limitsOf(tables, of, system, rows, members) {
  let minimum = null;
  let maximum = null;
  for (const row of rows) {
    for (const member of members) {
      const own = of[member];
      const [from, to] = own[system][row];
      const because = (side) => tables.reasons[own.setBy[2 * row + side]];
      if (from === null) {
        return { minimum: null, maximum: null, why: because(1), member };
      }
      if (minimum === null || Number(from) > Number(minimum.figure)) minimum = { figure: from, why: because(0), member };
      if (maximum === null || Number(to) < Number(maximum.figure)) maximum = { figure: to, why: because(1), member };
    }
  }
  if (Number(minimum.figure) >= Number(maximum.figure)) {
    return { minimum: null, maximum: null, why: "no one load suits all that it must hold for", member: maximum.member };
  }
  return { minimum, maximum };
}

/** Every size for a case, and those that fit, most room first; sizes of equal room as the catalogue names them. */
function answerOf(tables, wanted) {
  const { name, application, family, degreeSystem, degrees, loadSystem, load } = wanted;
  const members = membersOf(tables, name);
  const rows = rowsOf(tables.applications[application].suction[degreeSystem], degrees);
  const families = familiesFor(tables, name, application).filter((own) => !family || own === family);
  const sizes = [];
  for (const own of families) {
    const windows = tables.windows[own][application];
    for (const size of tables.families[own].sizes) {
      const of = Object.fromEntries(members.map((member) => [member, windows[member].sizes[size]]));
      sizes.push({ family: own, size, ...held(limitsOf(tables, of, loadSystem, rows, members), load) });
    }
  }
  const fitting = sizes.filter((one) => one.verdict === "fits").sort((a, b) => b.room - a.room);
  return { rows, families, sizes, fitting };
}

/** What a window says to a load. */
function held(limits, load) {
  if (limits.minimum === null) return { ...limits, verdict: "no_window", room: NaN };
  const under = load / Number(limits.minimum.figure);
  const over = Number(limits.maximum.figure) / load;
  const verdict = under < 1 ? "too_large" : over < 1 ? "too_small" : "fits";
  return { ...limits, verdict, room: Math.min(under, over) };
}

/** Of one family the largest size that is too small, and the smallest that is too large. */
function neighboursOf(answer, family) {
  const own = answer.sizes.filter((one) => one.family === family);
  return {
    small: own.filter((one) => one.verdict === "too_small").pop(),
    large: own.find((one) => one.verdict === "too_large"),
    none: own.filter((one) => one.verdict === "no_window"),
  };
}

/** The tables with their rows of figures taken apart. */
function unpacked(tables) {
  const signs = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";
  const pairs = (text) => {
    const parts = text.split(" ");
    const found = [];
    for (let i = 0; i < parts.length; i += 1) {
      if (parts[i] === "-") found.push([null, null]);
      else found.push([parts[i], parts[(i += 1)]]);
    }
    return found;
  };
  for (const applications of Object.values(tables.windows)) {
    for (const refrigerants of Object.values(applications)) {
      for (const { sizes } of Object.values(refrigerants)) {
        for (const [size, own] of Object.entries(sizes)) {
          sizes[size] = {
            IP: pairs(own.IP), SI: pairs(own.SI), setBy: [...own.set_by].map((sign) => signs.indexOf(sign)),
          };
        }
      }
    }
  }
  return tables;
}
