"use strict";

// The windows drawn as strips over one logarithmic scale, the load across them.

const SVG = "http://www.w3.org/2000/svg";

/** An element with attributes and children; text is put in as text. */
function made(tag, attributes = {}, ...children) {
  const isDrawing = ["svg", "line", "rect", "text"].includes(tag);
  const element = isDrawing ? document.createElementNS(SVG, tag) : document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

/** A scale that holds all windows and the load, and its round figures. */
function scaleOf(windows, load) {
  const figures = windows.flatMap((one) => [Number(one.minimum.figure), Number(one.maximum.figure)]).concat(load);
  const low = Math.log10(Math.min(...figures)) - 0.02;
  const high = Math.log10(Math.max(...figures)) + 0.02;
  const place = (figure) => (100 * (Math.log10(figure) - low)) / (high - low);
  const ticks = [];
  for (let decade = Math.floor(low); decade <= high; decade += 1) {
    for (const step of [1, 2, 5]) {
      const figure = Number(`${step}e${decade}`);
      if (place(figure) >= 0 && place(figure) <= 100) ticks.push(figure);
    }
  }
  // Labels that stand apart on a narrow screen too.
  const kept = [];
  for (const tick of ticks) {
    if (kept.length === 0 || place(tick) - place(kept[kept.length - 1]) > 14) kept.push(tick);
  }
  return { place, ticks: kept };
}

function percent(value) {
  return `${value.toFixed(2)}%`;
}

/** One window: a bar where it fits, an outline where it does not. */
function stripOf(one, scale, load) {
  const [from, to, at] = [one.minimum.figure, one.maximum.figure, load].map((figure) => scale.place(Number(figure)));
  const bar = { x: percent(from), width: percent(Math.max(to - from, 0.5)), y: 4, height: 12 };
  return made("svg", { class: "strip", "aria-hidden": "true" },
    made("line", { class: "track", x1: "0%", x2: "100%", y1: 10, y2: 10 }),
    made("rect", { class: one.verdict === "fits" ? "window" : "missed", ...bar }),
    made("line", { class: "halo", x1: percent(at), x2: percent(at), y1: 0, y2: 20 }),
    // The ends stay in sight where the load stands on one.
    ...[from, to].map((end) => made("line", { class: "end", x1: percent(end), x2: percent(end), y1: 3, y2: 17 })),
    made("line", { class: "load", x1: percent(at), x2: percent(at), y1: 0, y2: 20 }));
}

/** The figures under the strips, and the load above them. */
function axisOf(scale, load, said) {
  const anchor = (at) => (at < 15 ? "start" : at > 85 ? "end" : "middle");
  const axis = made("svg", { class: "scale", "aria-hidden": "true" });
  for (const tick of scale.ticks) {
    const at = scale.place(tick);
    axis.append(made("line", { x1: percent(at), x2: percent(at), y1: 0, y2: 4 }));
    const label = made("text", { x: percent(at), y: "1.4em" }, String(tick));
    label.style.textAnchor = at < 3 ? "start" : at > 97 ? "end" : "middle";
    axis.append(label);
  }
  const own = made("text", { class: "load", x: percent(scale.place(load)), y: "2.7em" }, said);
  own.style.textAnchor = anchor(scale.place(load));
  axis.append(own);
  return axis;
}
