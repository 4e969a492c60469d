"use strict";

// The line for an order, and the button that copies it.

/** Family and size as people call them. */
function called(one) {
  const own = tables.families[one.family];
  return `${own.name} ${own.size_names[own.sizes.indexOf(one.size)]}`;
}

/** What was asked, in one line. */
function caseLine(wanted) {
  return `${subject(wanted.name)}, ${tables.envelopes[wanted.envelope].title}; SST ` +
    `${plainly(wanted.degrees)}\u00a0${tables.degrees[wanted.degreeSystem]} (dew point); load ` +
    `${figureWith(plainly(wanted.load), wanted)} at the rating point`;
}

/** The rows that a temperature between two of them was read from. */
function betweenRows(answer, wanted) {
  const rows = answer.rows.map((row) => plainly(tables.envelopes[wanted.envelope].suction[wanted.degreeSystem][row]));
  return `between the rows at ${spelt(rows)}\u00a0${tables.degrees[wanted.degreeSystem]}`;
}

function originText() {
  return `${tables.house}, revision ${tables.revision} of ${tables.date}, data ${tables.data}.`;
}

/** The line for one size. */
function specificationText(one, answer, wanted) {
  const own = tables.families[one.family];
  const [member] = membersOf(tables, wanted.name);
  const charge = tables.texts[tables.windows[one.family][wanted.envelope][member].charge];
  const trim = [own.title, charge, own.equalizer && `${own.equalizer} equalizer`].filter(Boolean);
  const toSay = own.kind === "thermostatic" ? "connections and length of capillary" : "connections and driver";
  const rows = answer.rows.length > 1 ? `, the stricter limits ${betweenRows(answer, wanted)}` : "";
  return `${called(one)} (${trim.join("; ")}), for ${caseLine(wanted)}; window ${one.least.figure} to ` +
    `${figureWith(one.greatest.figure, wanted)}, ${tables.limits} limits${rows}. To be stated: ${toSay}. ` +
    `${originText()} ${tables.notice}`;
}

/** The specification of one size on the page. */
function specification(one, answer, wanted) {
  const line = made("p", { class: "specification", id: "specification" }, specificationText(one, answer, wanted));
  const button = made("button", { type: "button", id: "copy" }, "Copy this line");
  const done = made("p", { role: "status", id: "copied", class: "no-print" });
  button.addEventListener("click", async () => {
    done.textContent = (await copied(line))
      ? "Copied." : "Not copied: the browser refuses. The line is marked; copy it by hand.";
  });
  return [made("h3", { id: "specified" }, `Specification: ${called(one)}`), line, button, done];
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
