"use strict";

// Reads a figure and its unit as a person writes them. What can be read two ways is not guessed.

// Longer texts and larger figures are slips, and are refused before anything is drawn from them.
const MOST_SIGNS = 40;
const MOST = 1e9;

/** A spelling of a unit without case, spaces, points and degree signs. */
function folded(unit) {
  return unit.toLowerCase().replace(/[\s_.°\u0394\u03b4]/g, "").replace(/^(deg|delta)(?=[a-z]$)/, "");
}

/**
 * The number that a text states with the unit after it, or else `own`; or what is wrong with it.
 *
 * `digits` is the figure with a point and nothing between its digits.
 */
function numberOf(text, units, own, example) {
  const written = text.trim();
  if (written === "") return { empty: true };
  if (written.length > MOST_SIGNS) return { error: say("too_long", { most: MOST_SIGNS }) };
  const [, figure, name] = /^([+\-\u2212]?[\d.,\s]*)(.*)$/.exec(withoutFraction(written));
  if (!/\d/.test(figure) || /^e[+-]?\d/i.test(name)) return { error: say("not_a_number", { text: written, example }) };
  const named = name && units.find((unit) => unit.spellings.includes(folded(name)));
  const read = digitsOf(figure.trim().replace(/\u2212/g, "-").replace(/^\+/, ""), (named || own).is_small);
  if (!read) return { error: say("not_a_number", { text: written, example }) };
  if (read.second) return { error: say("two_readings", { text: written, first: read.first, second: figureText(Number(read.second)) }) };
  if (read.decimal) return { error: say("decimal_point", { text: written, figure: read.decimal }) };
  if (name && !named) {
    const isMotor = /hp|horsepower/.test(folded(name));
    const labels = [...new Set(units.map((unit) => unit.label))];
    return { error: isMotor ? say("motor_rating") : say("unknown_unit", { text: written, units: listed(labels, "or") }) };
  }
  if (!(Math.abs(Number(read.digits)) < MOST)) return { error: say("too_much_digits", { text: written }) };
  return { value: Number(read.digits), digits: read.digits, unit: named || own, isNamed: Boolean(named) };
}

/** A text whose number is written as "3/4" or "1 1/2", with the same number in decimals. */
function withoutFraction(text) {
  const pattern = /^(?:(\d{1,3})[\s-]+)?(\d{1,2})\/(2|3|4|8|16|32)(?!\d)/;
  return text.replace(pattern, (_, whole, above, below) => (
    `${Number(whole || 0) + above / below}`.replace(".", tables.figures.decimal)));
}

/** The digits of a figure, or how else it could be read; nothing where it is none. */
function digitsOf(figure, isSmall) {
  const { decimal } = tables.figures;
  const [D, O] = decimal === "," ? [",", "\\."] : ["\\.", ","];
  const test = (pattern, text) => new RegExp(pattern).test(text);
  const pointed = (text) => {
    const [, sign, whole, rest] = /^(-?)(\d*)\.?(\d*)$/.exec(text);
    return `${sign}${whole || "0"}${rest && `.${rest}`}`;
  };
  const dotted = (text) => pointed(text.replace(",", "."));
  // Spaces may separate thousands and nothing else.
  const isSpaced = /^-?\d{1,3}(\s\d{3})+([.,]\d*)?$/.test(figure);
  const text = isSpaced ? figure.replace(/\s/g, "") : figure;
  const twoWays = () => ({ first: text.replace(/[.,]/g, ""), second: dotted(text) });
  if (test(`^-?(\\d+(${D}\\d*)?|${D}\\d+)$`, text)) {
    // Nobody writes thousandths of a small unit.
    return isSmall && test(`^-?[1-9]\\d{0,2}${D}\\d{3}$`, text) ? twoWays() : { digits: dotted(text) };
  }
  if (!isSpaced && test(`^-?[1-9]\\d{0,2}(${O}\\d{3})+(${D}\\d*)?$`, text)) {
    const isOne = test(`^-?\\d+${O}\\d{3}$`, text);
    if (isOne && decimal === "," && !isSmall) return twoWays();
    return { digits: dotted(text.replace(new RegExp(O, "g"), "")) };
  }
  if (test(`^-?(\\d+${O}\\d*|${O}\\d+)$`, text)) {
    return decimal === "," ? { digits: pointed(text) } : { decimal: dotted(text) };
  }
  return null;
}
