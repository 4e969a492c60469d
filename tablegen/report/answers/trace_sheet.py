"""A trace as a sheet: every equation once, with its figure in each state; one page without the figures of the config files."""

from __future__ import annotations

import string
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, TableLayout, Value
from tablegen.report.answers.cases import box_facts, imprint_of
from tablegen.report.answers.trace import (
    COEFFICIENTS,
    FULL,
    SUMMARY,
    calculated_load,
    loads_beside,
    obstacle_texts,
    reason_text,
    refrigerants_text,
    rounded_load,
    row_text,
    size_name,
    window_text,
)
from tablegen.report.answers.trace_lines import (
    HEAD,
    RATED_KV,
    RATING,
    SETTING,
    SIDES,
    SIZE,
    VALVE,
    Block,
    LimitLines,
    TraceLines,
    lines_of_trace,
)
from tablegen.report.formatter import NBSP
from tablegen.report.pages.calculation_sheet import in_order
from tablegen.wording import terms
from tablegen.wording import trace as wording

if TYPE_CHECKING:
    from tablegen.answers.trace import Trace
    from tablegen.model.box_temperature import BoxTemperature
    from tablegen.model.inputs import Catalogue
    from tablegen.report.answers.calculation_lines import Line, WrittenFigures
    from tablegen.report.formatter import Formatter

_ALL_COEFFICIENTS = "C1 to C10"
_OF_VALVE = (VALVE, *(part for part in wording.OBSTACLE_PARTS if part not in (RATING, SETTING)))
# Parts whose rows are together.
_GROUPS = ((RATING, HEAD), (SETTING,), _OF_VALVE, (SIZE,))


def sheet_of_trace(
    catalogue: Catalogue,
    found: Trace,
    origins: Mapping[str, WrittenFigures],
    formatter: Formatter,
    library: str,
    sides: Sequence[str] = SIDES,
    box: BoxTemperature | None = None,
    detail: str = FULL,
) -> Answer:
    """The sheet of a trace; parameters as `answer_of_trace`."""
    lines = lines_of_trace(found, size_name(catalogue, found), origins, formatter, sides, has_curves=False)
    letters: dict[str, str] = {}
    columns, blocks = _columns(lines)
    table = _equations(columns, blocks, letters)
    valve = catalogue.valve_name(found.family, found.size)
    window = wording.SHEET_HEADING(valve=valve, window=window_text(found, formatter))
    sources = "; ".join(f"[{letter}]{NBSP}{source}" for source, letter in letters.items())
    return Answer(
        key="trace",
        heading=window if found.obstacle is None else wording.NO_WINDOW_SHEET(valve=valve),
        summary=tuple(_case(catalogue, found, formatter)),
        # The summary has the SST.
        facts=box_facts(found.case.sst_k, box, formatter)[:1],
        tables=(
            *([_given(lines.given)] if detail == FULL else []),
            *([table] if table.rows and detail != SUMMARY else []),
        ),
        notes=(
            *obstacle_texts(found, lines.figures),
            *_nominal(lines.limits),
            *(text for limit in lines.limits for text in _result(limit, found, formatter)),
            *((*_coefficients(lines.given), *_files(lines.given)) if detail == FULL else ()),
            *([wording.SHEET_SOURCES(sources=sources)] if sources and detail != SUMMARY else []),
            *(
                [wording.SHEET_NOTE(library=library, constants=_constants(lines.constants))]
                if detail != SUMMARY
                else []
            ),
        ),
        imprint=imprint_of(catalogue, found.case.refrigerant, subject=wording.SUBJECT()),
    )


def _case(catalogue: Catalogue, found: Trace, formatter: Formatter) -> list[str]:
    case = wording.SHEET_CASE(
        refrigerants=refrigerants_text(catalogue, found),
        sst=formatter.degrees(found.case.sst_k),
        row=row_text(catalogue, found),
        application=catalogue.applications[found.case.application].title,
    )
    return [case, *([wording.NOT_PRINTED_CASE(reason=found.not_printed)] if found.not_printed else [])]


def _columns(lines: TraceLines) -> tuple[list[str], list[dict[str, Block]]]:
    """The heads of the columns, and the blocks by part that each shows."""
    if not lines.limits:
        return _columns_of_obstacle(lines.obstacle)
    columns: list[str] = []
    shown: list[dict[str, Block]] = []
    ratings: list[Block] = []
    for own in lines.limits:
        blocks = {block.part: block for block in own.blocks}
        rating, member = blocks.pop(RATING), own.limit.limit.member
        if rating not in ratings:
            ratings.append(rating)
            rating_point = terms.condition("rating").replace(" ", NBSP)
            columns.append(wording.COLUMN_RATING(refrigerant=member, condition=rating_point))
            shown.append({RATING: rating})
        condition = terms.condition(own.limit.binding[0]).replace(" ", NBSP)
        columns.append(wording.COLUMN_LIMIT[own.side](refrigerant=member, condition=condition))
        shown.append(blocks)
    return columns, shown


def _columns_of_obstacle(blocks: Sequence[Block]) -> tuple[list[str], list[dict[str, Block]]]:
    """The rating point, the head that fails with what the valve does there, and a second opening if there is one."""
    columns: list[str] = []
    shown: list[dict[str, Block]] = []
    for block in blocks:
        is_second = any(part in _OF_VALVE for part in (shown[-1] if shown else ())) and block.part in _OF_VALVE
        if not shown or block.part == HEAD or is_second:
            columns.append(block.title)
            shown.append({})
        shown[-1][block.part] = block
    return columns, shown


def _equations(columns: Sequence[str], shown: Sequence[Mapping[str, Block]], letters: dict[str, str]) -> AnswerTable:
    """One row for each quantity; the rating point and the heads share theirs."""
    rows: list[tuple[Value, ...]] = []
    breaks = []
    for parts in _GROUPS:
        own = [[line for part in parts if part in blocks for line in blocks[part].lines] for blocks in shown]
        breaks.append(len(rows))
        for name in in_order([[line.name for line in column] for column in own]):
            found = [next((line for line in column if line.name == name), None) for column in own]
            lines = [line for line in found if line is not None]
            # A head's equation says more than the rating point's, its special case; either limit has its own.
            heads = [line for line, blocks in zip(found, shown, strict=True) if line is not None and HEAD in blocks]
            equations = list(dict.fromkeys(line.equation for line in heads or lines))
            letter = letters.setdefault(lines[-1].source, string.ascii_lowercase[len(letters)])
            texts = (
                f"{lines[0].sign} = {_either(equations)}",
                f"{lines[-1].meaning} [{letter}]",
                lines[0].short[1],
                *(line.short[0] if line else "" for line in found),
            )
            rows.append(tuple(map(Value, texts)))
    heads_of = (
        AnswerColumn((), wording.EQUATION(), ColumnStyle.FORMULA),
        AnswerColumn((), wording.MEANING_SOURCE()),
        AnswerColumn((), wording.UNIT()),
        *(AnswerColumn((), column, ColumnStyle.FIGURES) for column in columns),
    )
    return AnswerTable(key="equations", columns=heads_of, rows=tuple(rows), breaks=tuple(breaks))


def _either(equations: Sequence[str]) -> str:
    first, *others = equations
    return wording.OR(first=first, second=others[0]) if others else first


def _letters(given: Sequence[Line]) -> dict[str, str]:
    """A letter for each config file."""
    files = dict.fromkeys(o.file for line in given if line.name != "SST" for o in line.origins if o.line)
    return dict(zip(files, string.ascii_uppercase, strict=False))


def _files(given: Sequence[Line]) -> list[str]:
    """Which file each letter means."""
    files = "; ".join(f"{letter}{NBSP}{file}" for file, letter in _letters(given).items())
    return [wording.SHEET_FILES(files=files)] if files else []


def _coefficients(given: Sequence[Line]) -> list[str]:
    """The coefficients of each polynomial, which its line of the table has no room for."""
    own = [f"{line.sign} = {NBSP.join(filter(None, line.short))}" for line in given if line.name in COEFFICIENTS]
    return [wording.SHEET_COEFFICIENTS(coefficients=", ".join(own))] if own else []


def _given(given: Sequence[Line]) -> AnswerTable:
    """The figures of the config files; coefficients of a polynomial in one line."""
    letters = _letters(given)
    cells: dict[str, tuple[str, str, str]] = {}
    for line in given:
        if line.name == "SST":
            continue
        places = (
            "; ".join(
                f"{o.key}, {letters.get(o.file, o.file)}{NBSP}{o.line}" if o.line else f"{o.key}, {o.file}"
                for o in line.origins
            )
            or wording.DEFAULT()
        )
        is_coefficient = line.name in COEFFICIENTS
        figure = NBSP.join(filter(None, line.short))
        cell = (_ALL_COEFFICIENTS, "", places) if is_coefficient else (line.sign, figure, places)
        cells.setdefault(places if is_coefficient else f"{line.name} {places}", cell)
    columns = (
        AnswerColumn((), wording.SYMBOL(), ColumnStyle.FORMULA),
        AnswerColumn((), wording.FIGURE()),
        AnswerColumn((), wording.KEY_AND_LINE()),
    )
    rows = tuple(tuple(map(Value, cell)) for cell in cells.values())
    return AnswerTable(key="given", columns=columns, rows=rows, layout=TableLayout.HALVES)


def _constants(lines: Sequence[Line]) -> str:
    return ", ".join(f"{line.sign} = {line.value}" for line in lines)


def _nominal(limits: Sequence[LimitLines]) -> list[str]:
    """How Kv follows from a nominal capacity, which both limits share."""
    blocks = [block for own in limits for block in own.blocks if block.part == RATED_KV]
    if not blocks:
        return []
    steps = (f"{line.sign} = {line.equation} = {NBSP.join(line.short)}" for line in blocks[0].lines)
    return [wording.KV_STEPS(title=blocks[0].title, steps="; ".join(steps))]


def _result(own: LimitLines, found: Trace, formatter: Formatter) -> list[str]:
    """What each operating condition and refrigerant allows, and the rounding."""
    limit, side = own.limit, own.side
    by_condition, by_refrigerant = loads_beside(own, formatter)
    loads = ", ".join(f"{name} {text}" for name, _, text, _ in by_condition)
    condition, reason = terms.at_condition(limit.binding[0]), reason_text(limit)
    unit = formatter.load_label
    if reason:
        texts = [wording.LOADS_WITH_REASON[side](unit=unit, loads=loads, condition=condition, reason=reason)]
    else:
        texts = [wording.LOADS_BY_CONDITION[side](unit=unit, loads=loads, condition=condition)]
    if len(limit.members) > 1:
        members = ", ".join(f"{name} {text}" for name, _, text, _ in by_refrigerant)
        texts.append(wording.LOADS_BY_REFRIGERANT(loads=members, refrigerant=limit.limit.member))
    exact = formatter.with_load_unit(calculated_load(own, formatter))
    rounding = wording.ROUNDS_TO if found.not_printed else wording.IS_PRINTED_AS
    texts.append(rounding(exact=exact, printed=rounded_load(limit, formatter)))
    return [" ".join(texts)]
