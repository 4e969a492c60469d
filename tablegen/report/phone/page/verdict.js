"use strict";

// What the first screen shows: the verdict, and the windows around the load as bars over one logarithmic scale.

// Below this margin the load is at a limit for any purpose.
const SMALL_MARGIN = 1.05;

/** A paragraph of the verdict; the space is for whoever reads its text alone. */
function lineOf(text, attributes = {}) {
  return text ? [made("p", attributes, text), " "] : [];
}

/** A paragraph that ends with the safety groups to be careful of, as "A2L: flammable". */
function marked(text, wanted) {
  const hazards = hazardsOf(wanted.name).map(([hazard]) => hazard);
  if (!hazards.length) return lineOf(text);
  return [made("p", {}, text, " ", made("strong", {}, inClauses(hazards))), " "];
}

/** A window in words, for a sentence. */
function windowValues(one, wanted) {
  return {
    valve: called(one), minimum: figureText(one.minimum.figure), maximum: loadText(one.maximum.figure, wanted),
    margin: cut(one.margin),
  };
}

/** The verdict on an answer: its lines, its bars, and whether a valve is recommended. */
function verdictOf(answer, wanted) {
  const { first } = answer;
  if (first) return fittingVerdict(first, answer, wanted);
  const [best] = answer.fitting;
  if (best) return unstockedVerdict(best, answer, wanted);
  const near = nearestOf(answer);
  return {
    lines: [...headed(say("no_size_fits")), ...lineOf(advice(answer, wanted))],
    bars: near ? barsAround(answer, near.family) : [],
  };
}

function headed(main, more = "") {
  return [made("p", { class: "main" }, made("strong", {}, main), more && " ", more), " "];
}

/** Limits at another TD are not in the tables. */
function otherDifference(wanted) {
  return [...headed(say("other_difference", tablesDifference(wanted))), ...lineOf(say("other_limits"))];
}

function fittingVerdict(first, answer, wanted) {
  const { minimum, maximum } = windowValues(first, wanted);
  const margin = { margin: cut(first.margin) };
  const fits = first.margin < SMALL_MARGIN ? say("fits_at_limit", margin) : say("fits_with_margin", margin);
  const { partNumber } = orderOf(first, wanted);
  const lines = [
    ...headed(called(first), fits),
    ...marked(say("covers", { minimum, maximum, sst: degreesText(wanted.degrees, wanted) }), wanted),
    ...lineOf(inClauses([partNumber && say("order_part_number", { number: partNumber }), stockText(first, wanted)])),
    ...lineOf(fewText(first, answer, wanted)),
  ];
  const counts = wanted.allSizes || !tables.stock ? undefined : (one) => isThere(one, wanted);
  return { isFitting: true, lines, bars: barsAround(answer, first.family, first, counts) };
}

/** A load that valves cover, none of which is in stock: nothing else is recommended. */
function unstockedVerdict(best, answer, wanted) {
  const counts = (one) => isThere(one, wanted);
  const { small, large } = neighborsOf(answer, best.family, counts);
  const ends = [
    small && say("ends_at", { valve: called(small), limit: loadText(small.maximum.figure, wanted) }),
    large && say("begins_at", { valve: called(large), limit: loadText(large.minimum.figure, wanted) }),
  ];
  return {
    lines: [
      ...headed(say("none_in_stock")),
      ...marked(say("no_stocked_size"), wanted),
      ...lineOf(say("not_in_stock_covers", windowValues(best, wanted))),
      ...lineOf(ends.some(Boolean) ? say("in_stock_limits", { limits: inClauses(ends) }) : ""),
    ],
    bars: barsAround(answer, best.family, best, counts),
  };
}

/** Of all sizes with a window the one whose limit is nearest to the load. */
function nearestOf(answer) {
  return answer.sizes.filter((one) => one.minimum !== null)
    .reduce((best, one) => (!best || one.margin > best.margin ? one : best), null);
}

/** A size, and the neighbors of its family that do not fit, in the order of size. */
function barsAround(answer, family, one, counts) {
  const { small, large } = neighborsOf(answer, family, counts);
  return [small, one, large].filter(Boolean);
}

/** Bars over one scale, each after the name of its size, with the mark of the load. */
function barsOf(bars, wanted) {
  if (!bars.length) return [];
  const scale = scaleOf(bars, wanted.load);
  return [made("div", { class: "bars" },
    ...bars.flatMap((one) => [made("span", {}, called(one)), stripOf(one, scale, wanted)]),
    loadMark(scale, wanted))];
}

/** What the mark of the load says, under it: as far into the text as the mark is into the scale, so that no end is cut. */
function loadMark(scale, wanted) {
  const text = made("span", {}, say("load_mark", { load: wanted.loadText }));
  const mark = made("div", { class: "under" }, made("i"), text, made("i"));
  const at = scale.position(wanted.load);
  [mark.firstChild.style.flexGrow, mark.lastChild.style.flexGrow] = [at, 100 - at];
  return mark;
}

/** A ratio to two decimals, never above itself. */
function cut(ratio) {
  return figureText((Math.floor(ratio * 100 + 1e-9) / 100).toFixed(2));
}
