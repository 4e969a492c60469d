"use strict";

// What is in stock, and what comes first of the valves that fit: the rule of every answer.

const onShelf = new Map();
for (const item of tables.stock ? tables.stock.items : []) {
  const key = `${item.family}\n${item.size}`;
  if (!onShelf.has(key)) onShelf.set(key, []);
  onShelf.get(key).push(item);
}

/** The bulb charge or drive of a family for what is asked. */
function chargeOf(family, wanted) {
  return tables.windows[family][wanted.application][membersOf(wanted.name)[0]].charge;
}

/** The rows of the stock sheet with a valve of which some are there. */
function itemsOf(one, wanted) {
  const charge = chargeOf(one.family, wanted);
  return (onShelf.get(`${one.family}\n${one.size}`) || []).filter((item) => !item.charge || item.charge === charge);
}

/** How many there are; nothing where nobody counted them. */
function countOf(items) {
  return items.some((item) => item.quantity === null) ? undefined : items.reduce((sum, item) => sum + item.quantity, 0);
}

/** Whether any of a size is there; without a stock sheet every one is. */
function isThere(one, wanted) {
  return !tables.stock || countOf(itemsOf(one, wanted)) !== 0;
}

/** Whether a size that fits may be the first choice: how many are ordered changes no valve. */
function isRecommended(one, wanted) {
  return wanted.allSizes || isThere(one, wanted);
}

/** Where there are too few of the first choice: how many, and the next that fits of which there are enough. */
function fewText(first, answer, wanted) {
  const ordered = quantityOf(stated.quantity) || 1;
  const there = tables.stock ? countOf(itemsOf(first, wanted)) : undefined;
  if (!there || there >= ordered) return "";
  const few = count("too_few", there, { wanted: ordered });
  const enough = answer.fitting.find((one) => countOf(itemsOf(one, wanted)) >= ordered);
  if (!enough) return few;
  const quantity = countOf(itemsOf(enough, wanted));
  return `${few} ${say("with_enough", { valve: called(enough), quantity, margin: cut(enough.margin) })}`;
}

/** One row of the stock sheet in words, or the same of all rows of a valve. */
function shelfText(items) {
  const count = countOf(items);
  const locations = [...new Set(items.map((item) => item.location).filter(Boolean))];
  const clauses = [
    count === undefined ? say("in_stock_uncounted") : say("in_stock_counted", { quantity: count }),
    locations.length > 0 && say("stock_location", { location: locations.join(", ") }),
  ];
  return clauses.filter(Boolean).join(", ");
}

/** How many of a size are in stock, and where; nothing without a stock sheet. */
function stockText(one, wanted) {
  if (!tables.stock) return "";
  const items = itemsOf(one, wanted);
  return items.length ? shelfText(items) : say("not_in_stock");
}
