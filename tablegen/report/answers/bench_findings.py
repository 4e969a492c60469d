"""What a fit can and cannot determine, in words and printed figures."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from tablegen.bench.balance_model import MIN_CURVE_ROWS, MIN_TEMPERATURES
from tablegen.bench.parameters import Part, Quantity, Unusable, Why
from tablegen.bench.result import Reading
from tablegen.report.answer import BLANK
from tablegen.report.formatter import NBSP, percent
from tablegen.report.rounding import MINUS, decimals
from tablegen.units import print_unit
from tablegen.wording import bench as wording
from tablegen.wording import fit as fit_wording
from tablegen.wording.message import Plural, listed, placeholders

if TYPE_CHECKING:
    from tablegen.bench.balance_fit import BalanceFit
    from tablegen.bench.fit import BenchResult
    from tablegen.bench.flow_fit import FlowFit
    from tablegen.bench.parameters import LeftOut, Parameter, Shortfall
    from tablegen.bench.result import ConditionKey, Findings, LackOfFit
    from tablegen.model.inputs import Family
    from tablegen.physics.flow import FlowLaw
    from tablegen.report.formatter import Formatter
    from tablegen.wording.message import Message

# Line numbers that a sentence lists.
_MAX_LINES = 12


def parameter_text(parameter: Parameter) -> str:
    """A parameter as it is named within a sentence: "Kv of size 45"."""
    if parameter.quantity is Quantity.KV:
        return wording.KV(size=parameter.of) if parameter.of else wording.KV_OF_ANY()
    if parameter.opening is not None:
        return wording.SHARE(opening=short_percent(parameter.opening))
    if parameter.of:
        return wording.OF_CHARGE[parameter.quantity](charge=parameter.of)
    return wording.PARAMETERS[parameter.quantity]()


def capitalized(text: str) -> str:
    """A text as it begins a line."""
    return text[:1].upper() + text[1:]


def reason_text(reason: Shortfall, formatter: Formatter) -> str:
    """What decides the flow law, or why a parameter cannot be determined."""
    return _filled(wording.REASONS[reason.why], reason, formatter)


def missing_test(reason: Shortfall, formatter: Formatter) -> str:
    """The test that is missing; "" where nothing is."""
    message = wording.TESTS.get(reason.why)
    return "" if message is None else _filled(message, reason, formatter)


def _filled(message: Message | Plural, reason: Shortfall, formatter: Formatter) -> str:
    if isinstance(message, Plural):
        names = (placeholders(message.one) | placeholders(message.many)) - {"count"}
        return message(reason.rows, **{name: _figure(name, reason, formatter) for name in names})
    return message(**{name: _figure(name, reason, formatter) for name in placeholders(message.text)})


def _figure(name: str, reason: Shortfall, formatter: Formatter) -> str | int:
    """The figure of a reason that a placeholder is for."""
    counts = {"min_rows": MIN_CURVE_ROWS, "min_temperatures": MIN_TEMPERATURES}
    counts |= {"rows": reason.rows, "needed": reason.needed, "temperatures": reason.temperatures, "line": reason.line}
    if name in counts:
        return counts[name]
    if name == "law":
        return str(reason.law)
    if name == "parameters":
        return listed([parameter_text(parameter) for parameter in reason.parameters])
    if name == "sizes":
        return listed(reason.sizes)
    if name == "full":
        return percent(1.0)
    if name == "span":
        return span_text(_amount("low", reason, formatter), _amount("high", reason, formatter))
    return _amount(name, reason, formatter)


def _amount(name: str, reason: Shortfall, formatter: Formatter) -> str:
    """A measured figure of a reason in its unit."""
    value: float = getattr(reason, name)
    why = reason.why
    if why is Why.ONE_DROP:
        return formatter.drop(value)
    if why is Why.SETTING_FAR:
        return formatter.degrees(value, 1)
    if why is Why.SUPERHEAT_BOUND or (why is Why.NO_BALANCE and name == "scatter"):
        return formatter.step(value, 2)
    if name == "scatter":
        return two_figures(value)
    if why in (Why.SUBCOOLING_ALIKE, Why.DROPS_ALIKE):
        return f"{value:.2g}" if name in ("value", "wanted_high") else percent(value, 1)
    if why in (Why.EXPONENT_BOUND, Why.EXPONENT_BEYOND):
        return f"{value:.2g}".replace("-", MINUS)
    return BLANK if not math.isfinite(value) else percent(value, 1 if why is Why.UNBALANCE_BOUND else 0)


def span_text(low: str, high: str) -> str:
    """From one printed figure to another; the unit of the first is left out where both have it."""
    if low == high:
        return low
    bare, _, unit = low.partition(NBSP)
    return wording.SPAN(low=bare if unit and high.endswith(f"{NBSP}{unit}") else low, high=high)


def unusable_text(row: LeftOut, family: Family, law: FlowLaw | None) -> str:
    """Why a row cannot be used; `law` is that of the rows with an opening."""
    message = wording.UNUSABLE[row.why]
    places = 1 if row.why is Unusable.INFERRED_UNCERTAIN else 0
    values = {
        "size": row.size,
        "law": str(law),
        "family_law": str(family.flow_law),
        "stop": percent(family.characteristic.stop),
        "value": percent(row.value, places),
    }
    return message(**{name: values[name] for name in placeholders(message.text)})


def condition_text(key: ConditionKey) -> str:
    """What rows were taken under."""
    return wording.BULB_OF_CHARGE(charge=key.charge) if key.charge else wording.READINGS[key.reading]()


def suspect_text(lack: LackOfFit) -> str:
    """What is probably wrong where rows are off the law."""
    suspects = wording.FLOW_SUSPECTS if lack.part is Part.FLOW else wording.BALANCE_SUSPECTS
    return suspects[lack.condition.reading]()


def off_the_fit(findings: Findings) -> Iterator[str]:
    """Whether a law is wrong, by the condition that the rows follow, or single rows are."""
    for part in dict.fromkeys(lack.part for lack in findings.lack_of_fit):
        # The most certain first.
        lack = next(own for own in findings.lack_of_fit if own.part is part)
        what, condition = wording.OUTLIERS[part](), condition_text(lack.condition)
        yield wording.FOLLOWS(what=what, condition=condition, suspect=suspect_text(lack))
    if lines := sorted({outlier.line for outlier in findings.outliers}):
        yield wording.SINGLE_ROWS(len(lines), lines=lines_text(lines))


def lack_text(lack: LackOfFit, formatter: Formatter) -> str:
    """Which rows are off the law under a condition, and how far."""
    average, maximum = (residual_text(lack.part, abs(amount), formatter) for amount in (lack.residual, lack.farthest))
    if lack.residual * lack.farthest < 0.0:
        average = f"{MINUS}{average}"
    side = wording.ABOVE if lack.farthest > 0.0 else wording.BELOW
    return side[lack.part](rows=lack.rows, which=_which(lack, formatter), average=average, maximum=maximum)


def lack_remarks(lack: LackOfFit) -> list[str]:
    """What the rows do not separate it from, and which far rows stay in the fit."""
    found = []
    if lack.also:
        found.append(wording.NOT_SEPARATED(others=listed([condition_text(key) for key in lack.also])))
    if lack.lines:
        found.append(wording.STAY(len(lack.lines), lines=lines_text(lack.lines)))
    return found


def _which(lack: LackOfFit, formatter: Formatter) -> str:
    """The rows of a lack of fit, as "with low inlet subcooling (2.1 to 14.4 °F)"."""
    reading = lack.condition.reading
    if reading.is_name:
        return wording.OF_NAME[reading](name=lack.group)
    if reading is Reading.LINE:
        return wording.AT_LINES(span=span_text(f"{lack.low:.0f}", f"{lack.high:.0f}"))
    span = span_text(*(_reading_text(reading, value, formatter) for value in (lack.low, lack.high)))
    return wording.WITH_LEVEL[lack.group](reading=condition_text(lack.condition), span=span)


def _reading_text(reading: Reading, value: float, formatter: Formatter) -> str:
    if reading.dimension == "share":
        return percent(value)
    unit = print_unit(reading.dimension, formatter.system)
    return f"{decimals(unit.of(value), 0 if reading is Reading.PRESSURE_DROP else 1)}{NBSP}{unit.label}"


def residual_text(part: Part, amount: float, formatter: Formatter) -> str:
    """A residual without its sign, in the unit of its part."""
    return formatter.step(amount, 2) if part is Part.BALANCE else two_figures(amount)


def confidence_text(confidence: float) -> str:
    """A confidence, to a tenth of a percent where it is not whole."""
    return percent(confidence, 0 if abs(100.0 * confidence - round(100.0 * confidence)) < 1e-9 else 1)


def two_figures(share: float) -> str:
    """A small share in two figures."""
    if not math.isfinite(share):
        return BLANK
    places = max(0, 1 - math.floor(math.log10(max(abs(100.0 * share), 1e-4))))
    return percent(share, min(places, 3))


def short_percent(share: float) -> str:
    """A share in percent, in as many figures as it was written with, four at most."""
    return f"{100.0 * share:.4g}{NBSP}%"


def lines_text(lines: Sequence[int]) -> str:
    """Line numbers; a long list is cut."""
    more = len(lines) - _MAX_LINES
    shown = [str(line) for line in lines[:_MAX_LINES]]
    return listed([*shown, wording.MORE_LINES(count=more)] if more > 0 else shown)


def result_notes(result: BenchResult, formatter: Formatter) -> Iterator[str]:
    """Curves that were measured, openings that were inferred, what the rows say of law and characteristic."""
    yield from _measured_curves(result.balance, formatter)
    yield from _openings_inferred(result)
    if result.by_superheat:
        yield fit_wording.BY_SUPERHEAT(sizes=sizes_text(result.by_superheat))
    if result.flow is not None:
        yield from _flow_notes(result.flow)


def _measured_curves(balance: BalanceFit | None, formatter: Formatter) -> Iterator[str]:
    for charge, curve in {} if balance is None else balance.curves.items():
        low, high = (formatter.degrees(point.temperature_k, 1) for point in (curve.points[0], curve.points[-1]))
        yield fit_wording.CURVE(curve.rows, charge=charge, low=low, high=high, bound=two_figures(curve.widest))


def _openings_inferred(result: BenchResult) -> Iterator[str]:
    for inferred in result.inferred.sources:
        yield fit_wording.INFERRED[inferred.source](inferred.rows, sizes=sizes_text(inferred.sizes))
        if inferred.max_error > 0.0:
            yield fit_wording.INFERRED_ERROR(error=two_figures(inferred.max_error))
        if not inferred.is_flow_error_known:
            yield fit_wording.FLOW_ERROR_UNKNOWN()
        if inferred.exact_sizes:
            yield fit_wording.EXACT_KV(sizes=sizes_text(inferred.exact_sizes))


def sizes_text(sizes: Sequence[str]) -> str:
    """Sizes within a sentence: "sizes 45 and 90"."""
    return fit_wording.SIZES(len(sizes), sizes=listed(sizes))


def _flow_notes(flow: FlowFit) -> Iterator[str]:
    supported = flow.verdict.law
    if supported is not None and supported is not flow.law:
        yield fit_wording.OTHER_LAW(supported=str(supported), stated=str(flow.law))
    if flow.linear is not None:
        low, high = percent(flow.linear.low).removesuffix(f"{NBSP}%"), percent(flow.linear.high)
        if math.isnan(flow.linear.bend):
            yield fit_wording.LINEAR(low=low, high=high)
        else:
            yield fit_wording.LINEAR_WITHIN(low=low, high=high, bend=two_figures(flow.linear.bend))
    yield fit_wording.CHOKING_LIMIT()
