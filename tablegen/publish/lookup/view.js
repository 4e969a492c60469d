"use strict";

// The page: what is asked, the answer in words, and what it holds for.

const tables = unpacked(JSON.parse(document.getElementById("tables").textContent));
const field = (id) => document.getElementById(id);
const SYSTEMS = ["IP", "SI"];
const REMEMBERED = "look-up units";

/** Family and size as people call them. */
function called(one) {
  return `${tables.families[one.family].title.split(" ")[0]} ${one.size}`;
}

function spelt(names, last = "and") {
  return names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} ${last} ${names[names.length - 1]}`;
}

function lowered(text) {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

/** A figure as it was typed, with a true minus sign and its unit. */
function typed(id, unit) {
  return `${field(id).value.trim().replace(/-/g, "\u2212")}\u00a0${unit}`;
}

function chosen(id) {
  return document.querySelector(`#${id} input:checked`).value;
}

/** What the fields ask; `told` says what is missing or wrong, by field. */
function asked() {
  const name = field("refrigerant").value;
  const envelope = field("envelope").value;
  const degreeSystem = chosen("degrees");
  const loadSystem = chosen("loads");
  const sst = numberOf(field("sst").value);
  const load = numberOf(field("load").value);
  const told = { sst: sst.told || "", load: load.told || "" };
  const suction = tables.envelopes[envelope].suction[degreeSystem];
  if (sst.value !== undefined && rowsOf(suction, sst.value).length === 0) {
    told.sst = `The tables of this envelope run ${spanOf(suction, degreeSystem)}. Nothing may be read beyond them; ` +
      "choose another envelope, or ask the maker.";
  }
  if (load.value !== undefined && !(load.value > 0)) told.load = "A capacity is above zero.";
  return {
    name, envelope, degreeSystem, loadSystem, family: field("family").value,
    degrees: sst.value, load: load.value, told, isWhole: !sst.empty && !load.empty,
  };
}

function spanOf(suction, system) {
  const [first, last] = [suction[0], suction[suction.length - 1]].map((row) => String(row).replace("-", "\u2212"));
  return `from ${first} to ${last}\u00a0${tables.degrees[system]}`;
}

/** Why there is no table for what is asked, or nothing. */
function missing(wanted) {
  const all = familiesFor(tables, wanted.name, wanted.envelope);
  const misled = misledFamilies(tables, wanted.envelope);
  if (misled.includes(wanted.family)) {
    return "The internal equalizer of this family would feel the loss of the distributor. Choose another family.";
  }
  if (all.length > 0 && (!wanted.family || all.includes(wanted.family))) return "";
  if (all.length > 0) {
    const names = all.map((family) => tables.families[family].title);
    return `This family has no table for ${subject(wanted.name)} there. With one: ${spelt(names)}.`;
  }
  const others = Object.keys(tables.envelopes).filter((e) => familiesFor(tables, wanted.name, e).length > 0);
  const titles = others.map((e) => lowered(tables.envelopes[e].title));
  return `There is no table for ${subject(wanted.name)} in this envelope. ` +
    (titles.length ? `With one: ${titles.join("; ")}.` : "There is none in any other either; ask the maker.");
}

function figureWith(figure, wanted) {
  return `${figure}\u00a0${tables.loads[wanted.loadSystem]}`;
}

/** Why a size does not do, with whose limit it is. */
function whyNot(one, wanted) {
  const of = (limit) => `${limit.why} (${limit.member})`;
  if (one.verdict === "no_window") return `no window: ${of(one)}.`;
  return one.verdict === "too_small"
    ? `too small, greatest load ${figureWith(one.greatest.figure, wanted)}: ${of(one.greatest)}.`
    : `too large, least load ${figureWith(one.least.figure, wanted)}: ${of(one.least)}.`;
}

/** What to do where nothing fits. */
function advice(answer, wanted) {
  const open = answer.sizes.filter((one) => one.least !== null);
  if (open.length === 0) return "No size has a window here. Choose another suction temperature or envelope, or ask the maker.";
  const least = open.reduce((a, b) => (Number(b.least.figure) < Number(a.least.figure) ? b : a));
  const most = open.reduce((a, b) => (Number(b.greatest.figure) > Number(a.greatest.figure) ? b : a));
  if (wanted.load > Number(most.greatest.figure)) {
    return `The greatest load held here is ${figureWith(most.greatest.figure, wanted)} (${called(most)}). ` +
      "Share the capacity among several evaporators or valves and look up each, or ask the maker.";
  }
  if (wanted.load < Number(least.least.figure)) {
    return `The least load held here is ${figureWith(least.least.figure, wanted)} (${called(least)}); ` +
      "any valve of these tables would hunt. Ask the maker for a smaller one.";
  }
  return "The load falls between the windows of neighbouring sizes" +
    (wanted.family ? "; look at the other families, or ask the maker." : "; ask the maker.");
}

/** A size with its window and strip. */
function rowOf(one, wanted, scale, note, isFirst = false) {
  const title = made("span", { class: "name" }, called(one));
  const window = `: ${one.least.figure} to ${figureWith(one.greatest.figure, wanted)}`;
  return made("li", isFirst ? { class: "first" } : {}, made("p", {}, title, `${window}. ${note}`),
    stripOf(one, scale, wanted.load));
}

function answerParts(answer, wanted) {
  const neighbours = answer.families.map((family) => neighboursOf(answer, family));
  const near = neighbours.flatMap(({ small, large }) => [small, large]).filter((one) => one !== undefined);
  const none = neighbours.flatMap((one) => one.none);
  const drawn = [...answer.fitting, ...near];
  const parts = [];
  const load = typed("load", tables.loads[wanted.loadSystem]);
  const scale = drawn.length ? scaleOf(drawn, wanted.load) : null;
  const axis = () => made("div", { class: "axis" }, axisOf(scale, wanted.load, `load ${load}`));
  if (answer.fitting.length) {
    const rows = answer.fitting.map((one, i) => {
      const room = `Room ${cut(one.room)}`;
      return rowOf(one, wanted, scale, i === 0 ? `${room}; first choice.` : `${room}.`, i === 0);
    });
    parts.push(made("h3", {}, "Sizes that fit, most room first"), made("ol", { class: "rows" }, ...rows), axis(),
      made("p", { class: "hint" }, "Room: the smaller of load over least load and greatest load over load."),
      ...specification(answer.fitting[0], wanted));
  }
  if (near.length || none.length) {
    const rows = near.map((one) => rowOf(one, wanted, scale, capital(whyNot(one, wanted))));
    parts.push(made("h3", {}, "Neighbours, and why not"), made("ul", { class: "rows" }, ...rows,
      ...none.map((one) => made("li", {}, made("span", { class: "name" }, called(one)), `: ${whyNot(one, wanted)}`))));
    if (near.length && !answer.fitting.length) parts.push(axis());
  }
  return parts;
}

/** A ratio to two decimals, never above itself. */
function cut(ratio) {
  return (Math.floor(ratio * 100 + 1e-9) / 100).toFixed(2);
}

function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A refrigerant, or a group as one that holds for each member. */
function subject(name) {
  return Object.hasOwn(tables.refrigerants, name) ? name : `each of ${tables.groups[name].title}`;
}

/** What was asked, in one line. */
function caseLine(wanted) {
  return `${subject(wanted.name)}, ${lowered(tables.envelopes[wanted.envelope].title)}; SST ` +
    `${typed("sst", tables.degrees[wanted.degreeSystem])} (dew point); capacity ` +
    `${typed("load", tables.loads[wanted.loadSystem])} at the rating point`;
}

/** The line for an order, and a button that copies it. */
function specification(first, wanted) {
  const own = tables.families[first.family];
  const [member] = membersOf(tables, wanted.name);
  const charge = tables.texts[tables.windows[first.family][wanted.envelope][member].charge];
  const trim = [charge && lowered(charge), own.equalizer && `${own.equalizer} equalizer`].filter(Boolean);
  const text = `${own.title}, size ${first.size}${trim.length ? ` (${trim.join("; ")})` : ""}, for ` +
    `${caseLine(wanted)}; window ${first.least.figure} to ${figureWith(first.greatest.figure, wanted)}, ` +
    `${tables.limits} limits. ${originText()} ${tables.notice}`;
  const line = made("p", { class: "specification", id: "specification" }, text);
  const button = made("button", { type: "button", id: "copy" }, "Copy this line");
  const done = made("p", { role: "status", id: "copied", class: "no-print" });
  button.addEventListener("click", async () => {
    done.textContent = (await copied(line)) ? "Copied." : "Not copied: the browser refuses. The line is marked; copy it by hand.";
  });
  return [made("h3", {}, "Specification"), line, button, done];
}

/** Whether the text of an element is on the clipboard now; it is left marked. */
async function copied(element) {
  const range = document.createRange();
  range.selectNodeContents(element);
  const selection = window.getSelection();
  selection.removeAllRanges();
  selection.addRange(range);
  try {
    await navigator.clipboard.writeText(element.textContent);
    return true;
  } catch {
    return document.execCommand("copy");
  }
}

function originText() {
  return `${tables.house}, revision ${tables.revision} of ${tables.date}, data ${tables.data}.`;
}

/** What the answer holds for, and what to beware of. */
function terms(wanted) {
  const lines = (tables.envelopes[wanted.envelope].conditions[wanted.name] || {})[wanted.degreeSystem] || [];
  const list = made("dl", {}, ...lines.map(([label, place]) =>
    made("div", {}, made("dt", {}, label), made("dd", {}, tables.texts[place]))));
  const warned = membersOf(tables, wanted.name).map((member) => {
    const { safety, warned: what } = tables.refrigerants[member];
    return `${member}: safety group ${safety} (ASHRAE 34)${what ? `, it ${what}` : ""}.`;
  });
  return [
    ...(lines.length ? [made("h2", {}, "What it holds for"), list] : []),
    made("h2", {}, "Cautions"),
    made("ul", { class: "cautions" }, ...[...warned, ...tables.cautions].map((text) => made("li", {}, text))),
  ];
}

/** What stands in the page for what is asked. */
function show() {
  const wanted = asked();
  for (const id of ["sst", "load"]) {
    field(`${id}-told`).textContent = wanted.told[id];
    if (wanted.told[id]) field(id).setAttribute("aria-invalid", "true");
    else field(id).removeAttribute("aria-invalid");
  }
  const suction = tables.envelopes[wanted.envelope].suction[wanted.degreeSystem];
  field("sst-rows").textContent = `Tables run ${spanOf(suction, wanted.degreeSystem)}.`;
  const gap = missing(wanted);
  let verdict = gap;
  let parts = [];
  if (!gap && (wanted.told.sst || wanted.told.load)) verdict = wanted.told.sst || wanted.told.load;
  else if (!gap && !wanted.isWhole) {
    verdict = "Write a suction temperature and a capacity; the sizes that hold the load at every head then stand here.";
  } else if (!gap) {
    const answer = answerOf(tables, wanted);
    [verdict, parts] = [verdictOf(answer, wanted), answerParts(answer, wanted)];
    if (answer.rows.length > 1) {
      const rows = answer.rows.map((row) => String(suction[row]).replace("-", "\u2212"));
      parts.unshift(made("p", {}, `Between the rows at ${spelt(rows)}\u00a0${tables.degrees[wanted.degreeSystem]}: ` +
        "of each limit the stricter of the two."));
    }
    parts.unshift(made("p", { id: "asked" }, `${capital(caseLine(wanted))}.`));
  }
  if (field("verdict").textContent !== verdict) field("verdict").textContent = verdict;
  field("found").replaceChildren(...parts);
  field("terms").replaceChildren(...terms(wanted));
}

function verdictOf(answer, wanted) {
  const [first] = answer.fitting;
  if (!first) return `No size fits. ${advice(answer, wanted)}`;
  const under = cut(wanted.load / Number(first.least.figure));
  const over = cut(Number(first.greatest.figure) / wanted.load);
  const count = answer.fitting.length === 1 ? "One size fits" : `${answer.fitting.length} sizes fit`;
  return `${count}. First choice: ${called(first)}, the most room: the load is ${under} times its least load, its ` +
    `greatest load ${over} times the load.`;
}
