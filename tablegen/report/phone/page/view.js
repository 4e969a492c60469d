"use strict";

// The answer on the page: sizes with their windows as strips over one logarithmic scale, conditions and cautions.

// Below this margin the load is at a limit for any purpose.
const SMALL_MARGIN = 1.05;
// The size whose specification is shown where it is not the first choice, as family and size.
let picked = "";
// What a link asked for that the tables do not have; shown until a choice is made.
let unknownAsked = "";

/** A scale that contains all windows and the load, and its round figures. */
function scaleOf(windows, load) {
  const figures = windows.flatMap((one) => [Number(one.minimum.figure), Number(one.maximum.figure)]).concat(load);
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

/** One window: a bar where it fits, an outline where it does not. */
function stripOf(one, scale, load) {
  const [from, to, at] = [one.minimum.figure, one.maximum.figure, load].map((figure) => scale.position(Number(figure)));
  const bar = { x: percent(from), width: percent(Math.max(to - from, 0.5)), y: 4, height: 12 };
  return made("svg", { class: "strip", "aria-hidden": "true" },
    made("line", { class: "track", x1: "0%", x2: "100%", y1: 10, y2: 10 }),
    made("rect", { class: one.verdict === "fits" ? "window" : "missed", ...bar }),
    made("line", { class: "halo", x1: percent(at), x2: percent(at), y1: 0, y2: 20 }),
    // The ends stay in sight where the load is on one.
    ...[from, to].map((end) => made("line", { class: "end", x1: percent(end), x2: percent(end), y1: 3, y2: 17 })),
    made("line", { class: "load", x1: percent(at), x2: percent(at), y1: 0, y2: 20 }));
}

/** The figures under the strips, and the load above them. */
function axisOf(scale, load, label) {
  const anchor = (at) => (at < 15 ? "start" : at > 85 ? "end" : "middle");
  const axis = made("svg", { class: "scale", "aria-hidden": "true" });
  for (const tick of scale.ticks) {
    const at = scale.position(tick);
    axis.append(made("line", { x1: percent(at), x2: percent(at), y1: 0, y2: 4 }));
    const figure = made("text", { x: percent(at), y: "1.4em" }, figureText(tick));
    figure.style.textAnchor = at < 3 ? "start" : at > 97 ? "end" : "middle";
    axis.append(figure);
  }
  const own = made("text", { class: "load", x: percent(scale.position(load)), y: "2.7em" }, label);
  own.style.textAnchor = anchor(scale.position(load));
  axis.append(own);
  return axis;
}

/** A ratio to two decimals, never above itself. */
function cut(ratio) {
  return figureText((Math.floor(ratio * 100 + 1e-9) / 100).toFixed(2));
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
  return made("li", more.isFirst ? { class: "first" } : {}, head, stripOf(one, scale, wanted.load));
}

/** What is said of a size that fits. */
function fittingNote(one, index, fitting) {
  const isBest = fitting.findIndex((other) => other.family === one.family) === index;
  const family = tables.families[one.family];
  const margin = { margin: cut(one.margin) };
  const notes = [
    one.margin < SMALL_MARGIN ? say("margin_at_limit", margin) : say("margin", margin),
    index === 0 ? say("first_choice") : isBest && say("best_of_family", { family: family.name }),
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
  const { fitting } = answer;
  const near = answer.families.flatMap((family) => {
    const { small, large } = neighborsOf(answer, family);
    return [small, large];
  }).filter((one) => one !== undefined);
  const drawn = [...fitting, ...near];
  const scale = drawn.length ? scaleOf(drawn, wanted.load) : null;
  const label = say("load_mark", { load: loadText(wanted.load, wanted) });
  const axis = () => made("div", { class: "axis" }, axisOf(scale, wanted.load, label));
  const parts = [];
  if (fitting.length) {
    const shown = fitting.find((one) => called(one) === picked) || fitting[0];
    const rows = fitting.map((one, i) => rowOf(one, wanted, scale, fittingNote(one, i, fitting),
      { isFirst: i === 0, button: specifier(one, one === shown) }));
    parts.push(made("h3", {}, say("fitting")), made("p", { class: "hint" }, say("margin_hint")),
      ...notesOf(fitting).map((note) => made("p", { class: "hint" }, note)),
      made("ol", { class: "rows" }, ...rows), axis(), ...specification(shown, answer, wanted));
  }
  const none = noWindows(answer, wanted);
  if (near.length || none.length) {
    const rows = near.map((one) => rowOf(one, wanted, scale, whyNot(one, wanted)));
    parts.push(made("h3", {}, say("neighbors")), made("ul", { class: "rows" }, ...rows, ...none));
    if (near.length) parts.push(axis());
  }
  return parts;
}

/** What the catalogue says of each family with a size that fits, such as what its sizes are called by. */
function notesOf(sizes) {
  const families = [...new Set(sizes.map((one) => one.family))].map((name) => tables.families[name]);
  return families.map((family) => say("family_note", { family: family.name, note: family.note }));
}

/** Sizes without a window, and families that are not offered here; each reason once. */
function noWindows(answer, wanted) {
  const by = new Map();
  const add = (text, name) => by.set(text, [...(by.get(text) || []), name]);
  for (const one of answer.sizes.filter((size) => size.verdict === "no_window")) {
    add(say("no_window", { why: one.why, refrigerant: one.member }), called(one));
  }
  const refused = wanted.family ? [] : refusedFor(wanted.name, wanted.application);
  for (const [family, why] of refused) add(say("not_offered", { why }), tables.families[family].name);
  return [...by].map(([text, names]) => made("li", {}, made("span", { class: "name" }, names.join(", ")), text));
}

/** What the answer is valid for, and what to be careful of. */
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

/** The chosen application in full where its field is too narrow for it. */
function showWhole() {
  const box = field("application"), style = getComputedStyle(box), pen = document.createElement("canvas").getContext("2d");
  const title = box.selectedOptions.length && box.value ? box.selectedOptions[0].textContent : "";
  pen.font = `${style.fontSize} ${style.fontFamily}`;
  // The arrow takes the rest.
  const width = box.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight) - 24;
  field("application-note").textContent = pen.measureText(title).width > width ? title : "";
}

window.addEventListener("resize", showWhole);

/** Hints and errors beside the fields. */
function showFields(wanted) {
  for (const id of ["sst", "load"]) {
    field(`${id}-error`).textContent = wanted.errors[id];
    if (wanted.errors[id]) field(id).setAttribute("aria-invalid", "true");
    else field(id).removeAttribute("aria-invalid");
  }
  const isGroup = wanted.name && !Object.hasOwn(tables.refrigerants, wanted.name);
  showWhole();
  field("refrigerant-note").textContent = isGroup ? say("group_hint", { refrigerants: subject(wanted.name) }) : "";
  field("sst-note").textContent = wanted.application
    ? say("sst_hint", { span: spanOf(wanted.application, wanted.degreeSystem) }) : "";
  const conditions = wanted.application && wanted.name ? conditionsOf(wanted) : [];
  const rating = conditions.find(([label]) => label === say("rating_point"));
  const hints = [
    tables.loads[wanted.loadSystem] === "kBtu/h" && say("kbtu_hint"),
    rating && say("rating_hint", { rating: rating[1] }),
  ];
  field("load-note").textContent = hints.filter(Boolean).join(" ");
}

/** Show the answer to what is asked. */
function show() {
  const wanted = asked();
  showFields(wanted);
  const [verdict, parts] = verdictAndParts(wanted);
  if (field("verdict").textContent !== verdict) field("verdict").textContent = verdict;
  field("found").replaceChildren(...parts);
  field("terms").replaceChildren(...terms(wanted));
}

function verdictAndParts(wanted) {
  if (unknownAsked) return [unknownAsked, []];
  if (wanted.application && wanted.name) {
    const gap = missing(wanted);
    if (gap) return [gap, []];
  }
  const error = wanted.errors.sst || wanted.errors.load;
  if (error) return [error, []];
  if (wanted.next.length) return [say("still_needed", { fields: listed(wanted.next) }), []];
  const answer = answerOf(wanted);
  const parts = [made("p", { id: "asked" }, say("for_case", { case: caseLine(wanted) }))];
  if (answer.rows.length > 1) parts.push(made("p", {}, say("between_rows", { rows: rowsText(answer, wanted) })));
  return [verdictOf(answer, wanted), [...parts, ...answerParts(answer, wanted)]];
}

function verdictOf(answer, wanted) {
  const [first] = answer.fitting;
  if (!first) return say("none_fits", { advice: advice(answer, wanted) });
  const key = first.margin < SMALL_MARGIN ? "first_at_limit"
    : answer.fitting.length > 1 ? "first_of_many" : "first_alone";
  const choice = say(key, {
    valve: called(first), minimum: figureText(first.minimum.figure), maximum: loadText(first.maximum.figure, wanted),
    margin: cut(first.margin),
  });
  return `${count("fits", answer.fitting.length)} ${choice}`;
}
