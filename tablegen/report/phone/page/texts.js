"use strict";

// The tables that the page carries, its texts, and the elements that it is made of.

const tables = JSON.parse(document.getElementById("tables").textContent);
const field = (id) => document.getElementById(id);
const SYSTEMS = ["IP", "SI"];
const SVG = "http://www.w3.org/2000/svg";
const plurals = new Intl.PluralRules(document.documentElement.lang);

/** A text with its placeholders filled in. */
function say(key, values = {}) {
  return filled(tables.texts[key], values);
}

/** A text that changes with a count. */
function count(key, number, values = {}) {
  const { one, many } = tables.texts[key];
  return filled(plurals.select(number) === "one" ? one : many, { count: number, ...values });
}

function filled(text, values) {
  return text.replace(/\{(\w+)\}/g, (_, name) => {
    if (!(name in values)) throw new Error(`{${name}} of "${text}" has no value`);
    return values[name];
  });
}

/** Names in a sentence. */
function listed(names, last = "and") {
  if (names.length < 2) return names.join("");
  return say(last, { names: names.slice(0, -1).join(", "), last: names[names.length - 1] });
}

/** Clauses of one sentence, joined by semicolons; empty ones are left out. */
function inClauses(clauses) {
  return clauses.filter(Boolean).reduce((before, last) => (before ? say("clauses", { clauses: before, last }) : last), "");
}

/** A figure, with a point as its decimal sign, as the page's language writes it. */
function figureText(figure) {
  const [whole, rest] = String(figure).replace("-", "\u2212").split(".");
  const { decimal, group } = tables.figures;
  const isLong = whole.replace("\u2212", "").length > 4;
  const grouped = isLong ? whole.replace(/(\d)(?=(\d{3})+$)/g, `$1${group}`) : whole;
  return rest === undefined ? grouped : `${grouped}${decimal}${rest}`;
}

/** An element with attributes and children; text is put in as text. */
function made(tag, attributes = {}, ...children) {
  const isDrawing = ["svg", "line", "rect", "text"].includes(tag);
  const element = isDrawing ? document.createElementNS(SVG, tag) : document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}
