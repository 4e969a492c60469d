"""The answer about records: which of them are still valid, and what has changed in the others."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from tablegen.report.answer import BLANK, Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Value
from tablegen.report.answers.cases import imprint_of
from tablegen.report.record_check import FigureChange, RecordCheck, RecordStatus
from tablegen.wording import again as wording
from tablegen.wording import cases

if TYPE_CHECKING:
    from tablegen.model.inputs import Catalogue

_MOST_CHANGES = 24
# Characters of a hash that a reader compares.
_HASH = 12


def answer_of_again(catalogue: Catalogue, checks: Sequence[RecordCheck], problems: Sequence[str], units: str) -> Answer:
    """The answer; `problems` are lines about records that cannot be used."""
    valid = sum(check.status.is_valid for check in checks)
    is_all = valid == len(checks)
    summary = [wording.ALL_VALID(valid) if is_all else wording.SOME_VALID(valid=valid, count=len(checks))]
    sections = [_section(number, own) for number, own in enumerate(checks, start=1) if _has_more(own)]
    if problems:
        summary.append(wording.NOT_READ(len(problems)))
        sections.append(Answer(key="not_read", heading=wording.NOT_READ_HEADING(), summary=tuple(problems)))
    printing = catalogue.printing
    return Answer(
        key="again",
        heading=wording.HEADING(len(checks), revision=printing.revision, date=printing.date.isoformat()),
        summary=tuple(summary),
        facts=(Fact.exported("revision", printing.revision), Fact.exported("date", printing.date)),
        tables=(_records(checks),),
        sections=tuple(sections),
        imprint=imprint_of(catalogue),
        csv_key="records",
        units=units,
        passed=is_all,
        problems=tuple(problems),
    )


def _has_more(check: RecordCheck) -> bool:
    return check.status is not RecordStatus.UNCHANGED


def _records(checks: Sequence[RecordCheck]) -> AnswerTable:
    """A row for each record."""
    columns = (
        AnswerColumn(("record",), wording.RECORD()),
        AnswerColumn(("status",), wording.STILL()),
        AnswerColumn(("command", "case"), wording.CASE()),
        AnswerColumn(("changed_figures",), wording.CHANGES(), ColumnStyle.FIGURES),
        AnswerColumn(("changed_inputs",)),
        AnswerColumn(("old_revision", "old_date", "old_data")),
    )
    rows = []
    for own in checks:
        then = own.old.catalogue
        rows.append(
            (
                Value.of(own.file),
                Value(wording.STATUS[own.status.value](), (own.status.value,)),
                Value(_case(own), (own.old.command, own.old.heading)),
                Value.of(len(own.figures)),
                Value.exported(len(own.inputs)),
                Value.exported(*(then.get(key, "") for key in ("revision", "date", "data"))),
            )
        )
    return AnswerTable(key="records", columns=columns, rows=tuple(rows))


def _case(check: RecordCheck) -> str:
    name = str(check.old.case.get("name", ""))
    return cases.NAMED(name=name, heading=check.old.heading) if name else check.old.heading


def _section(number: int, check: RecordCheck) -> Answer:
    """What has become of one record."""
    then = check.old.catalogue
    recorded = wording.RECORDED_WITH(**{key: then.get(key, "") for key in ("name", "revision", "date", "data")})
    return Answer(
        key=f"record_{number}",
        heading=wording.SECTION(file=check.file, status=wording.STATUS[check.status.value]()),
        summary=tuple(_verdict(check)),
        facts=(
            Fact((), wording.CASE(), Value(_case(check))),
            Fact((), wording.THEN(), Value(recorded)),
        ),
        tables=(*_figures(check), _inputs(check)),
    )


def _verdict(check: RecordCheck) -> Iterator[str]:
    if check.reason:
        yield wording.REASON(reason=check.reason)
    elif check.now is not None and check.old.valves != check.now.valves:
        was, now = ("; ".join(own or wording.NO_VALVE() for own in record.valves) for record in (check.old, check.now))
        yield wording.NOW_VALVE(was=was, now=now)
    elif check.now is not None and check.old.passed != check.now.passed:
        yield wording.NOW_VERDICT_YES() if check.now.passed else wording.NOW_VERDICT_NO()


def _figures(check: RecordCheck) -> Iterator[AnswerTable]:
    """Printed texts that are others, a table for each part of the answer; all of them for export."""
    every = [(own.part, own.row, own.label, own.was, own.now) for own in check.figures]
    yield AnswerTable.exported("figures", ("part", "row", "label", "was", "now"), every)
    columns = (
        AnswerColumn((), wording.WHAT()),
        AnswerColumn((), wording.WAS()),
        AnswerColumn((), wording.NOW()),
    )
    shown = check.figures[:_MOST_CHANGES]
    more = len(every) - len(shown)
    parts = list(dict.fromkeys(own.part for own in shown))
    for number, part in enumerate(parts, start=1):
        yield AnswerTable(
            key=f"part_{number}",
            title=part or wording.FIGURES(),
            columns=columns,
            rows=tuple(
                (Value(_what(own)), Value(own.was or BLANK), Value(own.now or BLANK))
                for own in shown
                if own.part == part
            ),
            more=wording.MORE(more) if more > 0 and number == len(parts) else "",
        )


def _what(change: FigureChange) -> str:
    return wording.LABELED(row=change.row, label=change.label) if change.row else change.label


def _inputs(check: RecordCheck) -> AnswerTable:
    """Files and programs that are others."""
    columns = (
        AnswerColumn(("name",), wording.INPUT()),
        AnswerColumn(("was",), wording.WAS()),
        AnswerColumn(("now",), wording.NOW()),
    )
    rows = tuple(
        (
            Value.of(own.name),
            *(Value(text[:_HASH] or wording.NOT_USED(), (text,)) for text in (own.was, own.now)),
        )
        for own in check.inputs
    )
    return AnswerTable(key="inputs", title=wording.INPUTS(), columns=columns, rows=rows)
