"use strict";

// The answer on the page, and what it holds for.

// Below this much room the load stands at a limit for any purpose.
const LITTLE_ROOM = 1.05;
// The size whose specification is shown where it is not the first choice, as family and size.
let picked = "";
// What an address asked for that the tables do not have; told until a choice is made.
let unknownAsked = "";

/** A ratio to two decimals, never above itself. */
function cut(ratio) {
  return (Math.floor(ratio * 100 + 1e-9) / 100).toFixed(2);
}

/** Why a size does not do, in plain words and then by its limit. */
function whyNot(one, wanted) {
  const of = (limit) => `${limit.why} (set by ${limit.member})`;
  if (one.verdict === "no_window") return `no window: ${of(one)}.`;
  return one.verdict === "too_small"
    ? `too small, it would starve above ${figureWith(one.maximum.figure, wanted)}: ${of(one.maximum)}.`
    : `too large, it would not be steady below ${figureWith(one.minimum.figure, wanted)}: ${of(one.minimum)}.`;
}

/** A size with its window and strip. */
function rowOf(one, wanted, scale, note, more = {}) {
  const title = made("span", { class: "name" }, called(one));
  const window = `: ${one.minimum.figure} to ${figureWith(one.maximum.figure, wanted)}`;
  const text = made("p", {}, title, `${window}. ${note}`);
  const head = more.button ? made("div", { class: "row" }, text, more.button) : text;
  return made("li", more.isFirst ? { class: "first" } : {}, head, stripOf(one, scale, wanted.load));
}

/** What is said of a size that fits. */
function praise(one, index, fitting) {
  const isBest = fitting.findIndex((other) => other.family === one.family) === index;
  const family = tables.families[one.family].name;
  const notes = [
    `Room ${cut(one.room)}${one.room < LITTLE_ROOM ? ", at its limit" : ""}`,
    index === 0 ? "first choice" : isBest ? `best of ${family}` : "",
    isBest ? tables.families[one.family].kind : "",
  ];
  return `${notes.filter(Boolean).join("; ")}.`;
}

/** The button that puts a size into the specification. */
function specifier(one, isShown) {
  const button = made("button", { type: "button", class: "no-print", "aria-pressed": String(isShown) }, "Specify");
  button.setAttribute("aria-label", `Specify ${called(one)}`);
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
    const { small, large } = neighboursOf(answer, family);
    return [small, large];
  }).filter((one) => one !== undefined);
  const drawn = [...fitting, ...near];
  const scale = drawn.length ? scaleOf(drawn, wanted.load) : null;
  const said = `load ${figureWith(plainly(wanted.load), wanted)}`;
  const axis = () => made("div", { class: "axis" }, axisOf(scale, wanted.load, said));
  const parts = [];
  if (fitting.length) {
    const shown = fitting.find((one) => called(one) === picked) || fitting[0];
    const rows = fitting.map((one, i) => rowOf(one, wanted, scale, praise(one, i, fitting),
      { isFirst: i === 0, button: specifier(one, one === shown) }));
    parts.push(made("h3", {}, "Sizes that fit, most room first"),
      made("p", { class: "hint" }, "Room is how far the load stands from the nearer limit, as a factor: 1.00 is " +
        "right at it."),
      ...notesOf(fitting).map((note) => made("p", { class: "hint" }, note)),
      made("ol", { class: "rows" }, ...rows), axis(), ...specification(shown, answer, wanted));
  }
  const none = noWindows(answer, wanted);
  if (near.length || none.length) {
    const rows = near.map((one) => rowOf(one, wanted, scale, capital(whyNot(one, wanted))));
    parts.push(made("h3", {}, "Neighbors, and why not"), made("ul", { class: "rows" }, ...rows, ...none));
    if (near.length) parts.push(axis());
  }
  return parts;
}

/** What the catalogue says of each family with a size that fits, such as what its sizes are called by. */
function notesOf(sizes) {
  const families = [...new Set(sizes.map((one) => one.family))].map((name) => tables.families[name]);
  return families.map((family) => `${family.name}: ${family.note}`);
}

/** Sizes without a window, and families that cannot serve here; each reason once. */
function noWindows(answer, wanted) {
  const by = new Map();
  for (const one of answer.sizes.filter((size) => size.verdict === "no_window")) {
    const why = whyNot(one, wanted);
    by.set(why, [...(by.get(why) || []), called(one)]);
  }
  const refused = wanted.family ? [] : refusedFor(tables, wanted.name, wanted.application);
  for (const [family, text] of refused) {
    const why = `not offered here. ${text}`;
    by.set(why, [...(by.get(why) || []), tables.families[family].name]);
  }
  return [...by].map(([why, names]) =>
    made("li", {}, made("span", { class: "name" }, names.join(", ")), `: ${why}`));
}

/** What the answer holds for, and what to beware of. */
function terms(wanted) {
  if (!wanted.application || !wanted.name) return [made("h2", {}, "Cautions"), cautions([])];
  const list = made("dl", {}, ...conditionsOf(wanted).map(([label, text]) =>
    made("div", {}, made("dt", {}, label), made("dd", {}, text))));
  const warned = membersOf(tables, wanted.name).map((member) => {
    const { safety, warned: what } = tables.refrigerants[member];
    return `${member}: safety group ${safety} (ASHRAE 34)${what ? `, it ${what}` : ""}.`;
  });
  const title = `What it holds for: ${subject(wanted.name)}, ${tables.applications[wanted.application].title}`;
  return [made("h2", {}, title), list, made("h2", {}, "Cautions"), cautions(warned)];
}

function conditionsOf(wanted) {
  const lines = (tables.applications[wanted.application].conditions[wanted.name] || {})[wanted.degreeSystem] || [];
  return lines.map(([label, place]) => [label, tables.texts[place]]);
}

function cautions(first) {
  return made("ul", { class: "cautions" }, ...[...first, ...tables.cautions].map((text) => made("li", {}, text)));
}

/** The chosen application in full where its field is too narrow for it. */
function tellWhole() {
  const box = field("application"), style = getComputedStyle(box), pen = document.createElement("canvas").getContext("2d");
  const title = box.selectedOptions.length && box.value ? box.selectedOptions[0].textContent : "";
  pen.font = `${style.fontSize} ${style.fontFamily}`;
  // The arrow takes the rest.
  const room = box.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight) - 24;
  field("application-note").textContent = pen.measureText(title).width > room ? title : "";
}

window.addEventListener("resize", tellWhole);

/** Hints and errors beside the fields. */
function showFields(wanted) {
  for (const id of ["sst", "load"]) {
    field(`${id}-told`).textContent = wanted.told[id];
    if (wanted.told[id]) field(id).setAttribute("aria-invalid", "true");
    else field(id).removeAttribute("aria-invalid");
  }
  const isGroup = wanted.name && !Object.hasOwn(tables.refrigerants, wanted.name);
  tellWhole();
  field("refrigerant-note").textContent = isGroup
    ? `For ${subject(wanted.name)}: the common part of their windows.` : "";
  field("sst-note").textContent = wanted.application ? `This application covers ${spanOf(wanted.application, wanted.degreeSystem)}.` : "";
  const rating = wanted.application && wanted.name ? conditionsOf(wanted)[0] : undefined;
  const unit = { "kBtu/h": "1 kBtu/h is 1000 Btu/h. " }[tables.loads[wanted.loadSystem]] || "";
  field("load-note").textContent = unit +
    (rating ? `Rating point: ${rating[1]}. A capacity stated at other temperatures must first be converted to it.` : "");
}

/** What stands in the page for what is asked. */
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
  const wrong = wanted.told.sst || wanted.told.load;
  if (wrong) return [wrong, []];
  if (wanted.next.length) {
    return [`Give ${spelt(wanted.next)}; the sizes that hold the load at low head, rating point and high head are then listed here.`, []];
  }
  const answer = answerOf(tables, wanted);
  const parts = [made("p", { id: "asked" }, `For ${caseLine(wanted)}.`)];
  if (answer.rows.length > 1) {
    parts.push(made("p", {}, `The temperature lies ${betweenRows(answer, wanted)}; of each limit the stricter of the ` +
      "two is taken, which is on the safe side."));
  }
  return [verdictOf(answer, wanted), [...parts, ...answerParts(answer, wanted)]];
}

function verdictOf(answer, wanted) {
  const [first] = answer.fitting;
  if (!first) return `No size fits. ${advice(answer, wanted)}`;
  const count = answer.fitting.length;
  const upTo = figureWith(first.maximum.figure, wanted);
  const works = `${called(first)}, which works from ${first.minimum.figure} to ${upTo}`;
  const room = first.room < LITTLE_ROOM ? "; the load stands at its limit, with no room to speak of"
    : count > 1 ? `; its limits lie farthest from the load, by a factor of ${cut(first.room)} or more` : "";
  return `${count === 1 ? "One size fits" : `${count} sizes fit`}. First choice: ${works}${room}.`;
}
