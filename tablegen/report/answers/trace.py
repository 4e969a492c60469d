"""The answer to "where does this window come from": figures of the config files, every step, what sets each limit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, TableLayout, Value
from tablegen.report.answers.calculation_lines import given_line
from tablegen.report.answers.cases import (
    application_facts,
    box_facts,
    case_facts,
    changed_facts,
    imprint_of,
    superheat_facts,
    with_sst,
)
from tablegen.report.answers.trace_lines import SIDES, Block, LimitLines, lines_of_trace
from tablegen.report.formatter import DASH
from tablegen.report.rounding import round_down, round_half_even, round_up
from tablegen.units import print_unit
from tablegen.wording import terms
from tablegen.wording import trace as wording
from tablegen.wording.language import number as stated

if TYPE_CHECKING:
    from tablegen.answers.case_superheat import CaseSuperheat
    from tablegen.answers.trace import Trace, TracedLimit
    from tablegen.model.box_temperature import BoxTemperature
    from tablegen.model.inputs import Catalogue
    from tablegen.report.answer import Datum
    from tablegen.report.answers.calculation_lines import Line, WrittenFigures
    from tablegen.report.formatter import Formatter
    from tablegen.report.worked_figures import WorkedFigures

SUMMARY, STEPS, FULL = "summary", "steps", "full"
DETAILS = (SUMMARY, STEPS, FULL)
"""What is printed: the limits with what sets each; the steps too; and what they start from, with every source."""

COEFFICIENTS = tuple(f"C{i}" for i in range(1, 11))
"""Of a compressor's polynomial, which its file has in one list."""
# A temperature that goes through another scale and back differs in its last digits.
_SAME_K = 1e-6
_SAME_LOAD = 1e-9
# Name, load [W], the same as printed, and whether it sets the limit.
Row = tuple[str, float, str, bool]
# Of loads to be rounded: two more than a table prints.
_EXACT_FIGURES, _EVERY_FIGURE = 5, 9


def answer_of_trace(
    catalogue: Catalogue,
    found: Trace,
    origins: Mapping[str, WrittenFigures],
    formatter: Formatter,
    library: str,
    *,
    sides: Sequence[str] = SIDES,
    detail: str = FULL,
    box: BoxTemperature | None = None,
    superheat: CaseSuperheat | None = None,
    was_chosen: bool = False,
    overrides: Sequence[str] = (),
) -> Answer:
    """The answer to a trace, step by step.

    Parameters
    ----------
    origins : mapping
        Where the figures of each refrigerant's case are written.
    library : str
        Name and version of the property library.
    sides : sequence of str
        The limits wanted, of "minimum" and "maximum".
    detail : str
        One of `DETAILS`: what is printed; all of it is exported.
    box, superheat, was_chosen, overrides
        As `answer_of_pick`.
    """
    case, application = found.case, catalogue.applications[found.case.application]
    lines = lines_of_trace(found, size_name(catalogue, found), origins, formatter, sides)
    steps = _Steps(detail)
    sections = [_limit_section(limit, formatter, steps) for limit in lines.limits]
    obstacle = steps.sections("", lines.obstacle)
    sections += [] if detail == SUMMARY else obstacle
    given = _given(lines.given, row_text(catalogue, found))
    candidate = found.candidate
    return Answer(
        key="trace",
        heading=heading(catalogue, found, formatter),
        summary=(cell_text(found, formatter), *obstacle_texts(found, lines.figures)),
        facts=(
            *case_facts(case.refrigerant, case.sst_k),
            Fact(("family", "size"), "", Value("", (found.family, found.size))),
            *application_facts(application, was_chosen, box),
            *box_facts(case.sst_k, box, formatter),
            *superheat_facts(superheat, formatter),
            *changed_facts(overrides),
            Fact.exported("min_load_w", candidate.minimum.load_w),
            Fact.exported("max_load_w", candidate.maximum.load_w),
            Fact.exported("is_printed", not found.not_printed),
        ),
        tables=(
            given if detail == FULL else _only_exported(given),
            *(_sums(lines.given) if detail == STEPS else []),
            *([_constants(lines.constants)] if lines.constants and detail != SUMMARY else []),
            with_sst(steps.table(), case.sst_k, box),
        ),
        sections=tuple(sections),
        notes=_notes(detail, library),
        imprint=imprint_of(catalogue, case.refrigerant, subject=wording.SUBJECT()),
        csv_key="steps",
        units=formatter.system,
        passed=found.obstacle is None,
    )


def _notes(detail: str, library: str) -> tuple[str, ...]:
    """How the steps are repeated, and where they are from."""
    notes = {STEPS: (wording.REPEAT(),), FULL: (wording.REPEAT(), wording.SOURCES(library=library))}
    return notes.get(detail, ())


def size_name(catalogue: Catalogue, found: Trace) -> str:
    """The size as it is called in print."""
    return catalogue.families[found.family].size_name(found.size)


def refrigerants_text(catalogue: Catalogue, found: Trace) -> str:
    """The refrigerant, or the group by its title."""
    name = found.case.refrigerant
    return catalogue.groups[name].title if name in catalogue.groups else name


def heading(catalogue: Catalogue, found: Trace, formatter: Formatter) -> str:
    """The question: valve, refrigerants and suction temperature."""
    message = wording.HEADING if found.obstacle is None else wording.NO_WINDOW_HEADING
    return message(
        valve=catalogue.valve_name(found.family, found.size),
        refrigerants=refrigerants_text(catalogue, found),
        sst=formatter.degrees(found.case.sst_k),
    )


def row_text(catalogue: Catalogue, found: Trace) -> str:
    """Whether the suction temperature is one of the table's rows."""
    grid = catalogue.applications[found.case.application].sst_k
    is_row = bool((abs(grid - found.case.sst_k) < _SAME_K).any())
    return wording.ROW() if is_row else wording.BETWEEN_ROWS()


def window_text(found: Trace, formatter: Formatter) -> str:
    """The window as a table prints it, or why there is none."""
    window = formatter.readable_window(found.candidate.minimum.load_w, found.candidate.maximum.load_w)
    if window is not None:
        return formatter.with_load_unit(DASH.join(window))
    if found.obstacle is None:
        return wording.NO_WINDOW(reason=wording.NARROW())
    return wording.NO_WINDOW(reason=terms.reason(found.obstacle.limit.reason))


def cell_text(found: Trace, formatter: Formatter) -> str:
    """The window, and whether a booklet prints it."""
    window = window_text(found, formatter)
    if found.not_printed:
        return wording.NOT_PRINTED(reason=found.not_printed, window=window)
    return wording.PRINTED(window=window)


def obstacle_texts(found: Trace, figures: WorkedFigures) -> list[str]:
    """Why there is no window; empty where there is one."""
    obstacle = found.obstacle
    if obstacle is None:
        return []
    limit, reason = obstacle.limit, terms.reason(obstacle.limit.reason)
    if limit.condition in terms.CONDITIONS:
        condition = terms.at_condition(limit.condition)
        texts = [wording.OBSTACLE(refrigerant=limit.member, condition=condition, reason=reason)]
    else:
        texts = [wording.OBSTACLE_ALONE(refrigerant=limit.member, reason=reason)]
    if obstacle.compared:
        values = obstacle.calculations[-1][1].values
        lines = (given_line(name, float(values[name]), figures) for name in obstacle.compared)
        first, *other = (f"{line.sign} = {line.value}" for line in lines)
        texts.append(wording.NOT_ABOVE(first=first, second=other[0] if other else "0"))
    return texts


def exact_load(load_w: float, formatter: Formatter, figures: int = _EXACT_FIGURES) -> str:
    """A load without its unit, to be rounded as printed."""
    return round_half_even(print_unit("load", formatter.system, formatter.load_unit).of(load_w), figures)


def calculated_load(own: LimitLines, formatter: Formatter) -> str:
    """The load that the steps come to, without its unit; exact where the steps' would be rounded otherwise."""
    text, limit = own.load, own.limit
    rounding = round_down if limit.is_max else round_up
    is_same = rounding(stated(text)) == formatter.window(limit.load_w, limit.load_w)[1 if limit.is_max else 0]
    return text if is_same else exact_load(limit.load_w, formatter, _EVERY_FIGURE)


def loads_beside(own: LimitLines, formatter: Formatter) -> tuple[list[Row], list[Row]]:
    """What each operating condition and each refrigerant allows; the one that sets the limit as the steps print it."""
    limit = own.limit

    def text(load_w: float) -> str:
        is_limit = load_w == limit.load_w or abs(load_w / limit.load_w - 1.0) < _SAME_LOAD
        return own.load if is_limit else exact_load(load_w, formatter)

    return (
        [(state_text(state, limit), load, text(load), state == limit.binding) for state, load in limit.states],
        [(name, load, text(load), name == limit.limit.member) for name, load in limit.members],
    )


def rounded_load(limit: TracedLimit, formatter: Formatter) -> str:
    """A limit as it is printed, with its unit."""
    return formatter.with_load_unit(formatter.window(limit.load_w, limit.load_w)[1 if limit.is_max else 0])


def state_text(state: tuple[str, str, str], limit: TracedLimit) -> str:
    """A state, with as much as distinguishes it from the others of its limit."""
    condition, response, side = state
    states = [own for own, _ in limit.states]
    details = [wording.STATES[side]()] if side in wording.STATES and len({s for _, _, s in states}) > 1 else []
    details += [wording.SUCTION[response]()] if len({r for _, r, _ in states}) > 1 else []
    name = terms.condition(condition)
    return wording.STATE_OF(condition=name, details=", ".join(details)) if details else name


def reason_text(limit: TracedLimit) -> str:
    """What sets a limit; empty where the reason says only that there is no window."""
    return terms.reason(limit.limit.reason) if limit.limit.reason in terms.LIMIT_REASONS else ""


def _given(lines: Sequence[Line], row: str) -> AnswerTable:
    """The figures of the config files and where they are written."""
    columns = (
        AnswerColumn(("name", "symbol"), wording.SYMBOL(), ColumnStyle.FORMULA),
        AnswerColumn(("value_si", "meaning"), wording.FIGURE()),
        AnswerColumn(("written_as",), wording.WRITTEN_AS()),
    )
    rows: list[tuple[Value, ...]] = []
    last = ""
    for line in lines:
        written = "; ".join(map(str, line.origins)) or (row if line.name == "SST" else wording.DEFAULT())
        rows.append(
            (
                Value(line.sign, (line.name, line.sign)),
                Value(f"= {line.value}   {line.meaning}", (line.value_si, line.meaning)),
                # A list of coefficients is read once for all of them.
                Value("" if line.name in COEFFICIENTS and written == last else written, (written,)),
            )
        )
        last = written
    return AnswerTable(
        key="given", title=wording.GIVEN(), columns=columns, rows=tuple(rows), layout=TableLayout.ENTRIES
    )


def _sums(lines: Sequence[Line]) -> list[AnswerTable]:
    """Figures that no key has by itself, such as an absolute pressure, which otherwise come from nowhere."""
    found = [line for line in lines if len(line.origins) > 1]
    columns = (
        AnswerColumn((), wording.SYMBOL(), ColumnStyle.FORMULA),
        AnswerColumn((), wording.FIGURE()),
        AnswerColumn((), wording.WRITTEN_AS()),
    )
    rows = tuple(
        (
            Value(line.sign),
            Value(f"= {line.value}   {line.meaning}"),
            Value("; ".join(f"{own.key}: {own.text}" for own in line.origins)),
        )
        for line in found
    )
    table = AnswerTable(key="sums", title=wording.SUMS(), columns=columns, rows=rows, layout=TableLayout.ENTRIES)
    return [table] if found else []


def _constants(lines: Sequence[Line]) -> AnswerTable:
    """The constants of the steps, and what the one of the flow equation follows from."""
    columns = (
        AnswerColumn((), wording.SYMBOL(), ColumnStyle.FORMULA),
        AnswerColumn((), wording.FIGURE()),
        AnswerColumn((), wording.IN_FIGURES(), ColumnStyle.FORMULA),
    )
    rows = []
    for line in lines:
        equation = f"{line.sign} = {line.equation} = {line.figures}" if line.equation else ""
        texts = (line.sign, f"= {line.value}   {line.meaning}", equation)
        rows.append(tuple(map(Value, texts)))
    return AnswerTable(
        key="constants", title=wording.CONSTANTS(), columns=columns, rows=tuple(rows), layout=TableLayout.ENTRIES
    )


def _only_exported(table: AnswerTable) -> AnswerTable:
    """A table of which no reader sees anything."""
    return AnswerTable.exported(table.key, table.keys, [[d for v in row for d in v.data] for row in table.rows])


class _Steps:
    """Numbers steps through and keeps their data; a block that was shown before is referred to."""

    def __init__(self, detail: str) -> None:
        self.detail = detail
        self._seen: dict[tuple[Line, ...], tuple[int, int]] = {}
        self._number = 0
        self._data: list[tuple[Datum, ...]] = []

    def sections(self, side: str, blocks: Sequence[Block]) -> list[Answer]:
        """A section for each block."""
        found = []
        for place, block in enumerate(blocks, start=1):
            # A key of its own, for what empties a window may have two of a part.
            key = f"part_{place}_{block.part}"
            found.append(self._section(key, side, block))
        return found

    def _section(self, key: str, side: str, block: Block) -> Answer:
        if block.lines in self._seen:
            first, last = self._seen[block.lines]
            self._keep(side, block, first)
            return Answer(key=key, heading=block.title, summary=(wording.STEPS_ABOVE(first=first, last=last),))
        first = self._number + 1
        self._number += len(block.lines)
        self._seen[block.lines] = first, self._number
        self._keep(side, block, first)
        columns = (
            AnswerColumn((), wording.STEP()),
            AnswerColumn((), wording.EQUATION(), ColumnStyle.FORMULA),
            AnswerColumn((), wording.IN_FIGURES(), ColumnStyle.FORMULA),
            AnswerColumn((), wording.RESULT()),
        )
        rows = tuple(
            (
                Value(str(number)),
                Value(f"{line.sign} = {line.equation}   {_meaning(line, self.detail == FULL)}"),
                Value(f"= {line.figures}" if line.figures else ""),
                Value(f"= {line.value}"),
            )
            for number, line in enumerate(block.lines, start=first)
        )
        table = AnswerTable(key="steps", columns=columns, rows=rows, layout=TableLayout.ENTRIES)
        return Answer(key=key, heading=block.title, tables=(table,))

    def _keep(self, side: str, block: Block, first: int) -> None:
        for number, line in enumerate(block.lines, start=first):
            data = (
                *(side, block.part, number, line.name, line.sign, line.equation, line.figures, line.value),
                *(line.value_si, line.meaning, line.source, line.note),
            )
            self._data.append(data)

    def table(self) -> AnswerTable:
        """Every step of every limit, for export."""
        keys = (
            *("limit", "part", "step", "name", "symbol", "equation", "in_figures", "value", "value_si"),
            *("meaning", "source", "note"),
        )
        return AnswerTable.exported("steps", keys, self._data)


def _meaning(line: Line, has_source: bool) -> str:
    """What a step gives, with its source, and with what a reader needs to follow it."""
    if not has_source:
        return wording.WITH_NOTE(meaning=line.meaning, note=line.note) if line.note else line.meaning
    if line.note:
        return wording.FROM_SOURCE_NOTE(meaning=line.meaning, source=line.source, note=line.note)
    return wording.FROM_SOURCE(meaning=line.meaning, source=line.source)


def _limit_section(own: LimitLines, formatter: Formatter, steps: _Steps) -> Answer:
    """One limit: its steps, what each operating condition and refrigerant allows, the rounding."""
    limit, side = own.limit, own.side
    condition, member = terms.at_condition(limit.binding[0]), limit.limit.member
    reason = reason_text(limit)
    if reason:
        title = wording.SET_BY[side](refrigerant=member, condition=condition, reason=reason)
    else:
        title = wording.SET_BY_ALONE[side](refrigerant=member, condition=condition)
    sections = steps.sections(side, own.blocks)
    states, members = loads_beside(own, formatter)
    compared = [_compared("by_condition", wording.BY_CONDITION[side](), wording.CONDITION(), states, formatter)]
    if len(limit.members) > 1:
        of_members = wording.BY_REFRIGERANT[side]()
        compared.append(_compared("by_refrigerant", of_members, wording.REFRIGERANT(), members, formatter))
    exact = formatter.with_load_unit(calculated_load(own, formatter))
    is_short = steps.detail == SUMMARY
    return Answer(
        key=f"{side}_load",
        heading=title,
        tables=tuple(_only_exported(table) for part in compared for table in part.tables) if is_short else (),
        sections=() if is_short else (*sections, *compared),
        notes=(wording.ROUNDED[side](exact=exact, printed=rounded_load(limit, formatter)),),
    )


def _compared(key: str, title: str, what: str, rows: Sequence[Row], formatter: Formatter) -> Answer:
    """The load that each condition or refrigerant allows, and which of them sets the limit."""
    columns = (
        AnswerColumn(("name",), what),
        AnswerColumn(("load_w",), wording.LOAD(unit=formatter.load_label), ColumnStyle.FIGURES),
        AnswerColumn(("sets_limit",), wording.SETS_LIMIT()),
    )
    cells = tuple(
        (
            Value.of(name),
            Value(text, (load_w,)),
            Value(wording.SETS_IT() if is_binding else "", (is_binding,)),
        )
        for name, load_w, text, is_binding in rows
    )
    table = AnswerTable(key=key, columns=columns, rows=cells)
    return Answer(key=key, heading=title, tables=(table,))
