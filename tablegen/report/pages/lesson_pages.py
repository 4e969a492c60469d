"""The handout's lesson, its first two pages: words and lines before they are used, then why a valve has two limits."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

import numpy as np
import pandas as pd
from reportlab.platypus import Flowable, PageBreak

from tablegen.report.exercise_figures import ExerciseFigures, StepFigure
from tablegen.report.formatter import percent, ratio
from tablegen.report.graphs.balance_graph import BalanceCurves, balance_graph
from tablegen.report.graphs.superheat_in_time import superheat_in_time
from tablegen.report.limit_calculation import LimitCalculation
from tablegen.report.pages.lesson_example import Lesson
from tablegen.report.pages.opening_graph import hunting_heads, load_at, opening_graph
from tablegen.report.pages.two_limits_page import BothLimits
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.rounding import round_between, round_half_even, without_zeros
from tablegen.report.rows import ExampleRow
from tablegen.unit_table import CV_PER_KV
from tablegen.units import print_unit
from tablegen.wording import handout as handout_wording
from tablegen.wording import lesson as wording
from tablegen.wording import terms
from tablegen.wording.language import number
from tablegen.wording.message import Message

# Heights of the balance graph, of opening against load, and of superheat in time [pt].
_BALANCE, _OPENING, _TIME = 150.0, 146.0, 57.0
# Operating conditions as sentences call their figures.
_HEADS = {"low": "low_head", "rating": "rating", "high": "high_head"}
# Digits of the required Kv where no limit is calculated with it.
_KV_DIGITS = 3
# Digits of a load, and the most that show two near ones as different.
_LOAD_DIGITS, _MOST_DIGITS = 3, 6


def words_and_lines(lesson: Lesson, width: float) -> list[Flowable]:
    """The first page: every word of the lesson, then the lines of the balance graph, then the graph."""
    figures, case = lesson.figures, lesson.case
    publication, formatter, part = figures.publication, figures.formatter, figures.part
    curve = publication.rows(publication.data.balance, part)
    curves = BalanceCurves.of(curve, formatter, publication.catalogue.applications[part.application].site_pressure_pa)
    graph = balance_graph(curves, publication.named_heads(part.application, case), (design.FIGURE_WIDTH, _BALANCE))
    return [
        Heading(wording.TITLE()),
        paragraph(wording.WORDS(), "caption"),
        facts(_words(lesson), width),
        paragraph(wording.LINES(), "caption"),
        facts(_lines(lesson), width),
        DrawingFlowable(graph, handout_wording.BALANCE_GRAPH(size=case.size)),
        PageBreak(),
    ]


def _words(lesson: Lesson) -> list[tuple[str, str]]:
    """Terms in the order in which one needs the other."""
    figures, case = lesson.figures, lesson.case
    is_floated = figures.publication.is_floated(figures.part.application, case.refrigerant)
    low, rating, high = (
        figures.gauge(lesson.heads[name].head_pressure_pa) for name in ("low_head", "rating", "high_head")
    )
    return [
        (wording.BOX(), wording.BOX_MEANING(refrigerant=case.refrigerant)),
        (wording.UNIT(), wording.UNIT_MEANING()),
        (
            wording.SST[lesson.is_constant](),
            wording.SST_MEANING[lesson.is_constant](sst=figures.formatter.degrees(case.sst_k)),
        ),
        (wording.HEAD(), wording.HEAD_MEANING[is_floated](low=low, high=high, gauge=figures.formatter.gauge_label)),
        (
            wording.LOAD(),
            wording.LOAD_MEANING(rating=rating, load=figures.load(case.load_w), unit=figures.formatter.load_label),
        ),
        (wording.VALVE(), _valve(lesson)),
        (wording.DROP(), wording.DROP_MEANING(unit=figures.unit("pressure difference"))),
        (wording.SUPERHEAT(), wording.SUPERHEAT_MEANING()),
    ]


def _lines(lesson: Lesson) -> list[tuple[str, str]]:
    """What each line of the balance graph is, with its figures."""
    figures = lesson.figures
    capacities = {name: figures.load(lesson.heads[key].capacity_w) for name, key in _HEADS.items()}
    curve, is_constant = lesson.curve, lesson.is_constant
    evaporator = curve["evaporator_capacity_w"]
    rating_pa = lesson.heads["rating"].head_pressure_pa
    at_rating = float(np.interp(rating_pa, curve["head_pressure_pa"], evaporator))
    evaporated = {"rating": figures.load(at_rating)}
    if not is_constant:
        evaporated |= {"low": figures.load(evaporator.iloc[0]), "high": figures.load(evaporator.iloc[-1])}
    else:
        evaporated["sst"] = figures.formatter.degrees(lesson.case.sst_k)
    system = {**capacities, "mass": figures.mass} if lesson.is_richer else capacities
    at_sst = wording.AT_SST[is_constant]()
    pairs = [
        (
            wording.SYSTEM_LINE(),
            wording.SYSTEM_LINE_MEANING[lesson.is_richer](**system, at_sst=at_sst),
        ),
        (wording.EVAPORATOR_LINE(), wording.EVAPORATOR_LINE_MEANING[is_constant](**evaporated)),
        (wording.VALVE_LINES(), _valve_lines(lesson, curve)),
    ]
    smaller = _smaller(lesson, curve["smaller_max_w"].tolist(), curve["compressor_capacity_w"].tolist())
    return [*pairs, smaller] if smaller else pairs


def _valve_lines(lesson: Lesson, curve: pd.DataFrame) -> str:
    """What the valve's lines are, and why they fall where they do."""
    meaning = wording.VALVE_LINES_MEANING(size=lesson.case.size)
    rating, high = lesson.heads["rating"], lesson.high
    heads, lines = curve["head_pressure_pa"], (curve["valve_max_w"], curve["valve_min_w"])
    falls = [
        number(lesson.figures.formatter.load(float(own.iloc[-1])))
        < number(lesson.figures.formatter.load(float(np.interp(rating.head_pressure_pa, heads, own))))
        for own in lines
    ]
    is_warmer = high.liquid_temperature_k > rating.liquid_temperature_k
    return wording.VALVE_LINES_FALL(meaning=meaning) if is_warmer and all(falls) else meaning


def _valve(lesson: Lesson) -> str:
    """What valve and opening are, and which opening the page calls fully open."""
    reserve = _reserve(lesson)
    opening = {"opening": reserve} if reserve else {}
    return wording.VALVE_MEANING[bool(reserve)](stop=percent(lesson.characteristic.stop), **opening)


def _reserve(lesson: Lesson) -> str:
    """The opening at which the maximum load ends although the valve opens further; empty where there is no such reserve."""
    row = lesson.both.high if lesson.both else None
    is_reserve = row is not None and row.limit_reason == "rated_stroke" and row.opening < lesson.characteristic.stop
    return percent(row.opening) if row is not None and is_reserve else ""


def _smaller(lesson: Lesson, passed_w: list[float], system_w: list[float]) -> tuple[str, str] | None:
    """Where the next smaller size is too small, by printed figures; None where those are equal however many digits."""
    size, load = lesson.case.smaller_size, lesson.figures.formatter.with_load_unit
    if not size:
        return None
    pairs = [_apart(lesson, passed_w[end], system_w[end]) for end in (0, -1)]
    if any(passed == system for passed, system in pairs):
        return None
    low_is_short, high_is_short = (number(passed) < number(system) for passed, system in pairs)
    stated = {
        "low": load(pairs[0][0]),
        "high": load(pairs[1][0]),
        "low_system": load(pairs[0][1]),
        "high_system": load(pairs[1][1]),
    }
    if not (low_is_short or high_is_short):
        stated["refrigerant"] = lesson.case.refrigerant
    if low_is_short or high_is_short:
        crossing_pa = lesson.case.smaller_crossing_pa
        is_crossed = not math.isnan(crossing_pa)
        crossing = {"crossing": lesson.figures.gauge(crossing_pa)} if is_crossed else {}
        stated["hatched"] = wording.HATCHED[is_crossed](**crossing)
    return wording.SMALLER(size=size), wording.SMALLER_MEANING[low_is_short, high_is_short](**stated)


def _apart(lesson: Lesson, first_w: float, second_w: float) -> tuple[str, str]:
    """Two loads to three figures, or to as many more as show that they differ."""
    load = print_unit("load", lesson.figures.formatter.system, lesson.figures.formatter.load_unit)
    for digits in range(_LOAD_DIGITS, _MOST_DIGITS):
        texts = round_half_even(load.of(first_w), digits), round_half_even(load.of(second_w), digits)
        if texts[0] != texts[1]:
            break
    return texts


def two_limits_of_opening(lesson: Lesson, width: float) -> list[Flowable]:
    """The second page: the system in both seasons, opening against load, what each limit is, hunting, the calculation."""
    figures, case, both = lesson.figures, lesson.case, lesson.both
    calculations = lesson.calculations
    digits = next(iter(calculations.values())).digits if calculations else _KV_DIGITS
    load = print_unit("load", figures.formatter.system, figures.formatter.load_unit)
    exact, rounded = round_half_even(load.of(case.load_w), digits), figures.formatter.load(case.load_w)
    stated = {
        "load": figures.formatter.with_load_unit(exact),
        "size": case.size,
        "name": _exercise(lesson).name,
        "kv": _kv(lesson, lesson.low.kv_rated_m3h, digits, is_exact=True),
    }
    is_rounded = number(exact) != number(rounded)
    caption = wording.TABLE_ROUNDED(**stated, rounded=rounded) if is_rounded else wording.TABLE(**stated)
    story: list[Flowable] = [
        Heading(wording.LIMITS_TITLE()),
        paragraph(caption, "caption"),
        _table(lesson, digits, width),
        facts(_seasons(lesson), width),
    ]
    pairs: list[tuple[str, str]] = []
    if both is not None:
        story += [
            paragraph(wording.OPENING_GRAPH(size=case.size), "caption"),
            opening_graph(lesson, both, _OPENING),
        ]
        pairs = [
            (wording.MAXIMUM(), _limit(lesson, both, "max")),
            (wording.MINIMUM(), _limit(lesson, both, "min")),
        ]
    pairs.append((wording.HUNTING(), _hunting(lesson)))
    is_by_loop = both is not None and bool(hunting_heads(lesson, both.low))
    drawing = superheat_in_time((design.FIGURE_WIDTH, _TIME), is_by_loop=is_by_loop)
    sketch = DrawingFlowable(drawing, wording.SKETCH_ALT[is_by_loop]())
    story += [facts(pairs, width), paragraph(wording.SKETCH(), "caption"), sketch]
    if calculations:
        story += [paragraph(wording.CALCULATION(), "caption"), facts(_calculated(lesson, calculations), width)]
    return [*story, PageBreak()]


def _kv(lesson: Lesson, m3h: float, digits: int, is_exact: bool = False) -> str:
    """A flow coefficient with its unit, which a Cv has not; what is given in the catalogue without zeros at its end."""
    found = _exercise(lesson).coefficient(m3h, digits)
    return StepFigure(without_zeros(found.figure), found.unit).text if is_exact else found.text


def _exercise(lesson: Lesson) -> ExerciseFigures:
    """What prints flow coefficients, as in the exercises."""
    return ExerciseFigures(lesson.figures)


def _table(lesson: Lesson, digits: int, width: float) -> Flowable:
    """The system at its operating conditions."""
    figures, formatter = lesson.figures, lesson.figures.formatter
    rows = [lesson.heads[name] for name in _HEADS.values()]
    table: list[tuple[str, Callable[[ExampleRow], str]]] = [
        (wording.PRESSURE_DROP(), lambda r: formatter.drop(r.pressure_drop_pa)),
        (wording.MASS_FLOW(), lambda r: figures.figure("mass flow", r.mass_flow_kg_s, 3)),
        (wording.REQUIRED_KV(name=_exercise(lesson).name), lambda r: _kv(lesson, r.required_kv_m3h, digits)),
        (wording.OPENING(size=lesson.case.size), lambda r: percent(r.opening)),
    ]
    header = ["", *(terms.condition_title(row.condition) for row in rows)]
    return data_table(header, [[label, *map(text, rows)] for label, text in table], width, numeric=(1, 2, 3))


def _seasons(lesson: Lesson) -> list[tuple[str, str]]:
    """Kv, and why winter needs more opening, as far as the printed figures say so."""
    figures, low, high = lesson.figures, lesson.low, lesson.high
    flows = [figures.figure("mass flow", row.mass_flow_kg_s, 3) for row in (low, high)]
    drops = [figures.formatter.drop(row.pressure_drop_pa) for row in (low, high)]
    openings = [percent(row.opening) for row in (low, high)]
    first, second = (number(text.split("\N{NO-BREAK SPACE}")[0]) for text in openings)
    if not (low.pressure_drop_pa < high.pressure_drop_pa and drops[0] != drops[1] and first > second):
        return [_about_kv(lesson)]
    seasons = wording.SEASONS[lesson.is_richer](
        **({"mass": figures.mass} if lesson.is_richer else {}),
        low_flow=flows[0],
        high_flow=flows[1],
        low_drop=drops[0],
        high_drop=drops[1],
        low_opening=openings[0],
        high_opening=openings[1],
    )
    return [_about_kv(lesson), (wording.OPENING_NEEDED(), seasons)]


def _about_kv(lesson: Lesson) -> tuple[str, str]:
    """What Kv is, and whether the size is called by it."""
    size, kv = lesson.case.size, round_half_even(lesson.low.kv_rated_m3h, _KV_DIGITS)
    is_named = _figures(size) == _figures(kv)
    name = _exercise(lesson).name
    if not is_named:
        called = wording.SIZE_IS_A_NAME()
    elif lesson.figures.formatter.system == "IP":
        m3h = f"{without_zeros(kv)}\N{NO-BREAK SPACE}{print_unit('flow coefficient', 'SI').label}"
        called = wording.SIZE_NAMED_BY_KV(size=size, kv=m3h, cv=f"{CV_PER_KV:g}")
    else:
        called = wording.SIZE_NAMED(size=size)
    return wording.REQUIRED_KV(name=name), wording.KV(name=name, size_name=called)


def _figures(text: str) -> str:
    """A figure without its decimal sign and the zeros at its ends."""
    return "".join(own for own in text if own.isalnum()).strip("0")


# The head that the lesson expects a limit at, the other one, what may set it there, and how it is then taught.
_EXPECTED: Mapping[str, tuple[str, str, Mapping[str, Message]]] = {
    "max": ("low_head", "high_head", {"stop": wording.AT_STOP, "rated_stroke": wording.AT_RATED_STROKE}),
    "min": ("high_head", "low_head", {"stability": wording.AT_MINIMUM_OPENING}),
}


def _limit(lesson: Lesson, both: BothLimits, limit: str) -> str:
    """Why a limit is where it is."""
    figures, formatter = lesson.figures, lesson.figures.formatter
    row = both.high if limit == "max" else both.low
    here, there, taught = _EXPECTED[limit]
    load, other = both.loads[limit], load_at(lesson, row, there)
    lower, higher = sorted((number(load), number(other)))
    drops = [formatter.drop(head.pressure_drop_pa, 0) for head in (lesson.low, lesson.high)]
    is_as_expected = row.condition == here and row.limit_reason in taught and lower < higher
    is_as_expected &= (number(load) < number(other)) == (limit == "max")
    if is_as_expected and lesson.low.pressure_drop_pa < lesson.high.pressure_drop_pa and drops[0] != drops[1]:
        stated = {"other_drop": drops[1]} if limit == "max" else {}
        text = taught[row.limit_reason](
            opening=percent(row.opening),
            drop=drops[limit == "min"],
            load=formatter.with_load_unit(load),
            other_load=formatter.with_load_unit(other),
            example=formatter.with_load_unit(round_between(lower, higher)),
            **stated,
        )
        shown = figures.load(float(lesson.curve["valve_min_w"].iloc[-1]))
        own = figures.load(row.load_w * lesson.high.capacity_w / lesson.high.load_w)
        if limit == "max":
            return text
        return wording.ON_FIRST_PAGE(meaning=text, capacity=own) if own == shown else text
    if heads := hunting_heads(lesson, row):
        return wording.BY_LOOP(
            load=formatter.with_load_unit(load),
            at_condition=terms.at_condition(row.condition),
            **{name: percent(heads[key].opening) for name, key in _HEADS.items()},
            **{f"{name}_load": formatter.with_load_unit(heads[key].load) for name, key in _HEADS.items()},
        )
    return wording.OTHER_LIMIT[limit](
        load=formatter.with_load_unit(load),
        at_condition=terms.at_condition(row.condition),
        opening=percent(row.opening),
        reason=terms.reason(row.limit_reason),
    )


def _hunting(lesson: Lesson) -> str:
    """Why a valve near its seat hunts, with what its own port passes there, or below the openings of the loop."""
    if lesson.both is not None and (heads := hunting_heads(lesson, lesson.both.low)):
        openings = {name: percent(heads[key].opening) for name, key in _HEADS.items() if name != "rating"}
        return wording.HUNTING_BY_LOOP(**openings)
    shares = lesson.characteristic.share(np.array([0.1, 0.2, 0.7, 0.8]))
    near, far = (without_zeros(ratio(float(shares[i + 1] / shares[i]))) for i in (0, 2))
    if number(near) > number(far):
        return wording.HUNTING_MEANING[True](near=near, far=far)
    return wording.HUNTING_MEANING[False]()


def _calculated(lesson: Lesson, calculations: Mapping[str, LimitCalculation]) -> list[tuple[str, str]]:
    """Both calculations, each after the name of its limit."""
    unit = lesson.figures.formatter.with_load_unit
    return [
        (
            name,
            wording.CALCULATED[limit](
                name=_exercise(lesson).name,
                share_name=_share_name(lesson, own),
                at_condition=terms.at_condition(own.condition),
                load=unit(own.load),
                share=own.share,
                kv=own.rated_kv,
                required=own.required_kv,
                result=unit(own.result),
                printed=own.printed,
            ),
        )
        for limit, name, own in (
            ("max", wording.MAXIMUM(), calculations["max"]),
            ("min", wording.MINIMUM(), calculations["min"]),
        )
    ]


def _share_name(lesson: Lesson, own: LimitCalculation) -> str:
    """What the share in a calculation is."""
    if not own.is_share_opening:
        return wording.SHARE_NAME[False](name=_exercise(lesson).name)
    return wording.SHARE_NAME[True](opening=percent(number(own.share), None), share=own.share)
