"use strict";

// Below the verdict: all sizes with their windows as strips over one logarithmic scale, conditions and cautions.

// Of a long list, what is shown before all of it is asked for.
const SHOWN = 24;
// The size whose specification is shown where it is not the first choice, as family and size.
let picked = "";
// What a link asked for that the tables do not have; shown until a choice is made.
let unknownAsked = "";
// Whether all of a long list was asked for.
let isAllShown = false;
// What the conditions were last written for.
let termsOf = null;

/** A scale that contains all windows and the load, and its round figures. */
function scaleOf(windows, load) {
  const figures = windows.flatMap((one) => [one.minimum.value, one.maximum.value]).concat(load);
  const low = Math.log10(Math.min(...figures)) - 0.02;
  const high = Math.log10(Math.max(...figures)) + 0.02;
  const position = (figure) => (100 * (Math.log10(figure) - low)) / (high - low);
  const ticks = [];
  for (let decade = Math.floor(low); decade <= high; decade += 1) {
    for (const step of [1, 2, 5]) {
      const figure = Number(`${step}e${decade}`);
      if (position(figure) >= 0 && position(figure) <= 100) ticks.push(figure);
    }
  }
  // Labels that do not touch on a narrow screen either.
  const labels = [];
  for (const tick of ticks) {
    if (labels.length === 0 || position(tick) - position(labels[labels.length - 1]) > 14) labels.push(tick);
  }
  return { position, ticks: labels };
}

function percent(value) {
  return `${value.toFixed(2)}%`;
}

/** One window: a bar where it fits, an outline where it does not or is not in stock. */
function stripOf(one, scale, wanted) {
  const [from, to, at] = [one.minimum.value, one.maximum.value, wanted.load].map(scale.position);
  const bar = { x: percent(from), width: percent(Math.max(to - from, 0.5)), y: 4, height: 12 };
  const kind = one.verdict !== "fits" ? "missed" : isRecommended(one, wanted) ? "window" : "elsewhere";
  return made("svg", { class: "strip", "aria-hidden": "true" },
    made("line", { class: "track", x1: "0%", x2: "100%", y1: 10, y2: 10 }),
    made("rect", { class: kind, ...bar }),
    made("line", { class: "halo", x1: percent(at), x2: percent(at), y1: 0, y2: 20 }),
    // The ends stay in sight where the load is on one.
    ...[from, to].map((end) => made("line", { class: "end", x1: percent(end), x2: percent(end), y1: 3, y2: 17 })),
    made("line", { class: "load", x1: percent(at), x2: percent(at), y1: 0, y2: 20 }));
}

/** The figures under the strips, and the load below them. */
function axisOf(scale, wanted) {
  const axis = made("svg", { class: "scale", "aria-hidden": "true" });
  for (const tick of scale.ticks) {
    const at = scale.position(tick);
    axis.append(made("line", { x1: percent(at), x2: percent(at), y1: 0, y2: 4 }));
    const figure = made("text", { x: percent(at), y: "1.4em" }, figureText(tick));
    figure.style.textAnchor = at < 3 ? "start" : at > 97 ? "end" : "middle";
    axis.append(figure);
  }
  return made("div", { class: "axis", "aria-hidden": "true" }, axis, loadMark(scale, wanted));
}

/** Why a size with a window does not fit. */
function whyNot(one, wanted) {
  const isSmall = one.verdict === "too_small";
  const { figure, why, member } = isSmall ? one.maximum : one.minimum;
  const values = { limit: loadText(figure, wanted), why, refrigerant: member };
  return isSmall ? say("too_small", values) : say("too_large", values);
}

/** A size with its window and strip. */
function rowOf(one, wanted, scale, note, more = {}) {
  const title = made("span", { class: "name" }, called(one));
  const window = say("window", { minimum: figureText(one.minimum.figure), maximum: loadText(one.maximum.figure, wanted), note });
  const text = made("p", {}, title, window);
  const head = more.button ? made("div", { class: "row" }, text, more.button) : text;
  return made("li", more.isFirst ? { class: "first" } : {}, head, stripOf(one, scale, wanted));
}

/** What is said of a size that fits. */
function fittingNote(one, answer, wanted) {
  const isBest = answer.fitting.find((other) => other.family === one.family) === one;
  const family = tables.families[one.family];
  const margin = { margin: cut(one.margin) };
  const notes = [
    one.margin < SMALL_MARGIN ? say("margin_at_limit", margin) : say("margin", margin),
    one === answer.first ? say("first_choice") : isBest && say("best_of_family", { family: family.name }),
    stockText(one, wanted),
    isBest && family.kind,
  ];
  return say("notes", { notes: inClauses(notes) });
}

/** The button that puts a size into the specification. */
function specifier(one, isShown) {
  const button = made("button", { type: "button", class: "no-print", "aria-pressed": String(isShown) }, say("specify"));
  button.setAttribute("aria-label", say("specify_valve", { valve: called(one) }));
  button.addEventListener("click", () => {
    picked = called(one);
    show();
    document.querySelector("#found button[aria-pressed=true]").focus();
  });
  return button;
}

function answerParts(answer, wanted) {
  const { fitting, first } = answer;
  const near = [...answer.byFamily.keys()].flatMap((family) => {
    const { small, large } = neighborsOf(answer, family);
    return [small, large];
  }).filter((one) => one !== undefined);
  const drawn = [...fitting, ...near];
  const scale = drawn.length ? scaleOf(drawn, wanted.load) : null;
  const axis = () => axisOf(scale, wanted);
  const parts = [];
  if (fitting.length) {
    const shown = fitting.find((one) => called(one) === picked) || first;
    const rows = beginning(fitting).map((one) => rowOf(one, wanted, scale, fittingNote(one, answer, wanted),
      { isFirst: one === first, button: specifier(one, one === shown) }));
    const heading = tables.stock && !wanted.allSizes ? say("fitting_in_stock") : say("fitting");
    parts.push(made("h3", {}, heading), made("p", { class: "hint" }, say("margin_hint")),
      ...notesOf(fitting).map((note) => made("p", { class: "hint" }, note)),
      made("ol", { class: "rows" }, ...rows), ...allButton(fitting), axis(),
      ...(shown ? specification(shown, answer, wanted) : []));
  }
  const none = noWindows(answer, wanted);
  if (near.length || none.length) {
    const rows = beginning(near).map((one) => rowOf(one, wanted, scale, whyNot(one, wanted)));
    parts.push(made("h3", { id: "why", tabindex: "-1" }, say("neighbors")),
      made("ul", { class: "rows" }, ...rows, ...none), ...allButton(near));
    if (near.length) parts.push(axis());
  }
  return parts;
}

/** What is shown of a list. */
function beginning(list) {
  return isAllShown ? list : list.slice(0, SHOWN);
}

/** The button that shows the rest of a long list. */
function allButton(list) {
  if (beginning(list).length === list.length) return [];
  const button = made("button", { type: "button", class: "no-print" }, count("show_all", list.length));
  button.addEventListener("click", () => {
    isAllShown = true;
    show();
  });
  return [button];
}

/** What the catalogue says of each family with a size that fits, such as what its sizes are called by. */
function notesOf(sizes) {
  const families = [...new Set(sizes.map((one) => one.family))].map((name) => tables.families[name]);
  return families.map((family) => say("family_note", { family: family.name, note: family.note }));
}

/** Sizes without a window, and families that are not offered here; each reason once. */
function noWindows(answer, wanted) {
  const by = new Map();
  const add = (text, name) => (by.has(text) ? by.get(text).push(name) : by.set(text, [name]));
  for (const one of answer.sizes.filter((size) => size.verdict === "no_window")) {
    add(say("no_window", { why: one.why, refrigerant: one.member }), called(one));
  }
  const refused = wanted.family ? [] : refusedFor(wanted.name, wanted.application);
  for (const [family, why] of refused) add(say("not_offered", { why }), tables.families[family].name);
  return [...by].map(([text, names]) => made("li", {}, made("span", { class: "name" }, names.join(", ")), text));
}

/** What the answer is valid for, and what to be careful of; written anew only where it changes. */
function showTerms(wanted) {
  const key = JSON.stringify([wanted.application, wanted.name, wanted.degreeSystem]);
  if (key === termsOf) return;
  termsOf = key;
  field("terms").replaceChildren(...terms(wanted));
}

function terms(wanted) {
  const title = made("h2", {}, say("cautions"));
  if (!wanted.application || !wanted.name) return [title, cautions([])];
  const list = made("dl", {}, ...conditionsOf(wanted).map(([label, text]) =>
    made("div", {}, made("dt", {}, label), made("dd", {}, text))));
  const { title: application } = tables.applications[wanted.application];
  const safety = membersOf(wanted.name).map((member) => tables.refrigerants[member]);
  return [made("h2", {}, say("conditions", { refrigerant: subject(wanted.name), application })), list, title,
    cautions(safety)];
}

function conditionsOf(wanted) {
  const lines = (tables.applications[wanted.application].conditions[wanted.name] || {})[wanted.degreeSystem] || [];
  return lines.map(([label, at]) => [label, tables.notes[at]]);
}

function cautions(first) {
  return made("ul", { class: "cautions" }, ...[...first, ...tables.cautions].map((text) => made("li", {}, text)));
}

/** Show the answer to what is asked. */
function show() {
  const wanted = asked();
  showFields(wanted);
  const { lines, bars = [], parts = [], isFitting = false } = shownOf(wanted);
  const verdict = made("div", {}, ...lines);
  // Said once, and not again where nothing changes.
  if (field("verdict").textContent !== verdict.textContent) field("verdict").replaceChildren(...verdict.childNodes);
  field("answer").classList.toggle("fits", isFitting);
  field("bars").replaceChildren(...barsOf(bars, wanted));
  field("found").replaceChildren(...parts);
  showTerms(wanted);
  field("to-order").hidden = !field("specified");
  field("to-why").hidden = !field("why");
}

/** The same, around a field of the order that is being typed into. */
function showAround(input) {
  const [id, at] = [input.id, input.selectionStart];
  show();
  const again = field(id);
  if (!again || again === document.activeElement) return;
  again.focus();
  again.setSelectionRange(at, at);
}

function shownOf(wanted) {
  if (unknownAsked) return { lines: lineOf(unknownAsked) };
  if (wanted.application && wanted.name) {
    const gap = missing(wanted);
    if (gap) return { lines: lineOf(gap) };
  }
  const { load, difference, box, sst } = wanted.errors;
  const error = load || difference || box || sst;
  if (error) return { lines: lineOf(error, { class: "error" }) };
  if (wanted.next.length) return { lines: lineOf(say("still_needed", { fields: listed(wanted.next) })) };
  const answer = answerOf(wanted);
  const parts = [made("p", { id: "asked" }, say("for_case", { case: caseLine(wanted) }))];
  const side = differenceSide(wanted);
  // What no table is made for is not recommended; at a larger TD what fits by the tables fits.
  if (side && !(side === "larger" && answer.fitting.length)) return { lines: otherDifference(wanted), parts };
  if (side) parts.push(made("p", {}, say("larger_difference", tablesDifference(wanted))));
  if (answer.rows.length > 1) parts.push(made("p", {}, say("between_rows", { rows: rowsText(answer, wanted) })));
  return { ...verdictOf(answer, wanted), parts: [...parts, ...answerParts(answer, wanted)] };
}
