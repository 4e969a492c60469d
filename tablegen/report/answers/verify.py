"""The answer to `verify`: how many checks pass, a line for each quantity and source, and every check for export."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import pandas as pd

from tablegen import __version__
from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Imprint, TableLayout, Value
from tablegen.report.formatter import percent
from tablegen.report.graphs.parity_graph import ParityFigure
from tablegen.report.rounding import round_half_even
from tablegen.report.verification_text import (
    CHECK_NUMERIC,
    LINE_NUMERIC,
    check_cells,
    check_header,
    failure_text,
    headline,
    kind_caption,
    line_cells,
    line_header,
    lines,
    reason_sign,
    spelled,
    with_share,
)
from tablegen.verification.check import CheckKind, Verdict
from tablegen.wording import states, terms
from tablegen.wording import verification as wording
from tablegen.wording.message import listed

if TYPE_CHECKING:
    from tablegen.report.answer import Datum
    from tablegen.verification.measured_flows import Parity


def answer_of_checks(
    frame: pd.DataFrame, names: Sequence[str], parities: Sequence[Parity], version: str, *, is_every: bool = False
) -> Answer:
    """The answer to a verification frame.

    Parameters
    ----------
    frame : DataFrame
        As `tablegen.verification.table.verification_frame`.
    names : sequence of str
        The refrigerants that checks could be of.
    parities : sequence of Parity
        Flow laws compared with correlations.
    version : str
        Of the property library.
    is_every : bool
        Whether every check is printed.
    """
    checks = with_share(frame)
    sections = [*(_single_checks(checks) if is_every else ()), *(_flow_laws(parities) if parities else ())]
    return Answer(
        key="verify",
        heading=wording.VERIFY_HEADING(),
        summary=(headline(checks), *_not_passing(checks)),
        tables=(_every_check(frame), *_by_kind(checks, names), _sources(checks), _reasons(checks)),
        sections=tuple(dataclasses.replace(own, key=f"section_{n}") for n, own in enumerate(sections, start=1)),
        notes=(wording.ABOUT(),),
        imprint=Imprint(
            notice=wording.NOTICE(),
            origin=states.ORIGIN(version=f"tablegen {__version__}, {version}"),
            subject=wording.BOOK_SUBJECT(),
            keywords=tuple(names),
        ),
        passed=not (frame["verdict"] == Verdict.FAILS).any(),
    )


def _not_passing(checks: pd.DataFrame) -> Iterator[str]:
    """A sentence for each check that does not pass, those without an explanation first."""
    rows = checks[checks["verdict"] != Verdict.PASSES]
    for _, row in rows.sort_values("verdict", key=lambda own: own != Verdict.FAILS, kind="stable").iterrows():
        yield failure_text(row)


def _every_check(frame: pd.DataFrame) -> AnswerTable:
    """All checks as in the data set, for export alone."""
    return AnswerTable(
        key="checks",
        columns=tuple(AnswerColumn((str(name),)) for name in frame.columns),
        rows=tuple(tuple(Value.exported(_datum(value)) for value in row) for row in frame.itertuples(index=False)),
    )


def _datum(value: object) -> Datum:
    return float(value) if isinstance(value, float) else str(value)


def _by_kind(checks: pd.DataFrame, names: Sequence[str]) -> Iterator[AnswerTable]:
    """A table for each kind of check, with a line for each quantity of each source."""
    sources, reasons = (list(dict.fromkeys(checks[name])) for name in ("source", "why_allowed"))
    for kind in CheckKind:
        rows = checks[checks["kind"] == kind]
        if not rows.empty:
            cells = [line_cells(own, sources, reasons, names, is_short=True) for own in lines(rows)]
            yield _printed(f"kind_{kind.value}", kind_caption(kind, len(rows)), line_header(), LINE_NUMERIC, cells)


def _printed(
    key: str, title: str, header: Sequence[str], numeric: Sequence[int], cells: Sequence[Sequence[str]]
) -> AnswerTable:
    """A table that is printed alone; every check is exported."""
    columns = (
        AnswerColumn((), label, ColumnStyle.FIGURES if i in numeric else ColumnStyle.WORDS)
        for i, label in enumerate(header)
    )
    return AnswerTable(
        key=key, title=title, columns=tuple(columns), rows=tuple(tuple(map(Value, row)) for row in cells)
    )


def _entries(key: str, title: str, rows: Sequence[tuple[str, str]]) -> AnswerTable:
    """Texts by a number or letter."""
    return AnswerTable(
        key=key,
        title=title,
        columns=(AnswerColumn((), title), AnswerColumn((), title)),
        rows=tuple((Value(sign), Value(text)) for sign, text in rows),
        layout=TableLayout.ENTRIES,
    )


def _sources(checks: pd.DataFrame) -> AnswerTable:
    first = checks.drop_duplicates("source")
    rows = [
        (
            wording.SOURCE_NUMBER(number=number),
            wording.SOURCE(source=spelled(source), provenance=terms.PROVENANCES[provenance]()),
        )
        for number, (source, provenance) in enumerate(zip(first["source"], first["provenance"], strict=True), start=1)
    ]
    return _entries("sources", wording.SOURCES(), rows)


def _reasons(checks: pd.DataFrame) -> AnswerTable:
    reasons = dict.fromkeys(checks["why_allowed"])
    rows = [(wording.REASON_LETTER(letter=reason_sign(i)), spelled(why)) for i, why in enumerate(reasons)]
    return _entries("reasons", wording.REASONS(), rows)


def _single_checks(checks: pd.DataFrame) -> Iterator[Answer]:
    """Every check, in a section for each kind."""
    for kind in CheckKind:
        rows = checks[checks["kind"] == kind]
        tables = []
        for number, own in enumerate(lines(rows) if len(rows) else (), start=1):
            first = own.iloc[0]
            provenance = terms.PROVENANCES[first["provenance"]]()
            title = wording.EVERY(quantity=first["quantity"], source=spelled(first["source"]), provenance=provenance)
            cells = [check_cells(row) for _, row in own.iterrows()]
            tables.append(_printed(f"checks_{number}", title, check_header(), CHECK_NUMERIC, cells))
        if tables:
            yield Answer(key="checks", heading=kind_caption(kind, len(rows)), tables=tuple(tables))


def _flow_laws(parities: Sequence[Parity]) -> Iterator[Answer]:
    """Both flow laws compared with published correlations, which nothing passes or fails by."""
    columns = (
        AnswerColumn(("device",), wording.DEVICE()),
        AnswerColumn(("points",), wording.POINTS(), ColumnStyle.FIGURES),
        AnswerColumn(("flow_law",), wording.LAW()),
        AnswerColumn(("kv_m3h",), wording.KV(), ColumnStyle.FIGURES),
        AnswerColumn(("root_mean_square",), wording.ROOT_MEAN_SQUARE(), ColumnStyle.FIGURES),
        AnswerColumn(("maximum",), wording.MAXIMUM(), ColumnStyle.FIGURES),
    )
    rows = (
        (
            Value(wording.DEVICES[parity.device](), (parity.device,)),
            Value.of(sum(len(series.correlated_kg_s) for series in parity.series)),
            Value(wording.LAWS[law](), (law.value,)),
            Value.measured(parity.kv_m3h[law], round_half_even),
            Value.measured(parity.spread[law], lambda share: percent(share, 1)),
            Value.measured(parity.maximum[law], percent),
        )
        for parity in parities
        for law in parity.kv_m3h
    )
    sources = (
        wording.FLOW_SOURCES[parity.device](
            source=parity.source,
            provenance=terms.PROVENANCES[parity.provenance](),
            refrigerants=listed([series.refrigerant for series in parity.series]),
        )
        for parity in parities
    )
    yield Answer(
        key="flow_laws",
        heading=wording.FLOW_LAW_PARITY(),
        figures=(ParityFigure(parities),),
        tables=(AnswerTable(key="flow_laws", columns=columns, rows=tuple(rows)),),
        notes=(*sources, wording.FLOW_MEANING(recovery=f"{parities[0].recovery:g}")),
    )
