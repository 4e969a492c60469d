"""The page of one part: conditions, window ledger, notes."""

from __future__ import annotations

import string

import pandas as pd

from tablegen.report.formatter import NARROW, PULSE_CAVEAT, kv, percent, spelt
from tablegen.report.heads_text import charge_text, head_text, losses_text, suction_text, superheat_text, valve_text
from tablegen.report.pages.window_table import Cell, Ledger, LedgerFlowable, LedgerRow, in_blocks
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import facts
from tablegen.report.publications.publication import Part, Publication
from tablegen.wording import terms

# isort: split
# After `fonts`, which must set the base font first.
from reportlab.platypus import Flowable, PageBreak

_NOTE_HEIGHT = 14.0


def confidence_sentence(publication: Publication) -> str:
    """Which confidence the limits of a table hold at."""
    confidence = publication.inputs["confidence"]
    if confidence is None:
        return "Limits are nominal: scatter of valves is not in them. "
    level = percent(confidence["level"])
    if confidence["is_printed"]:
        return f"Limits are at {level} confidence (see Scatter and confidence). "
    return f"Limits are nominal; for those at {level} confidence see Scatter and confidence. "


def part_title(publication: Publication, part: Part) -> str:
    """What a part is called in headings and contents."""
    group = publication.inputs["groups"][part.group]["title"]
    return f"{publication.family(part.family)}: {group}"


def ledger_pages(publication: Publication, part: Part, width: float) -> list[Flowable]:
    """Heading, the conditions that the table holds for, the ledger, how it was bound.

    One page, if sizes and rows are not too many; else some sizes at a time, and rows that go on on the next page.
    """
    rows = publication.rows(publication.data.group_windows, part)
    marks = _marks(publication, rows)
    conditions = facts(
        [
            ("Low head", head_text(publication, part, "low_head")),
            ("Rating point", head_text(publication, part, "rating")),
            ("High head", head_text(publication, part, "high_head")),
            ("Suction", suction_text(publication, part)),
            ("Losses at rated flow", losses_text(publication, part)),
            ("Superheat", superheat_text(publication, part)),
            ("Bulb charge" if publication.element(part).get("setting") else "Drive", charge_text(publication, part)),
            ("Valve", valve_text(publication, part)),
        ],
        width,
        8.5,
    )
    title = f"{part_title(publication, part)}, {publication.application(part.application)['title']}"
    story: list[Flowable] = [Heading(title, 2), conditions]
    blocks = in_blocks(ledger(publication, rows, marks), width)
    for i, block in enumerate(blocks):
        sizes = f", sizes {block.sizes[0]} to {block.sizes[-1]}" if len(block.sizes) > 1 else f", size {block.sizes[0]}"
        named = title + (sizes if len(blocks) > 1 else "")
        if len(blocks) > 1:
            # The first page has the heading, the others begin with what stands in their headings' place.
            place = " (conditions on the first page of this table)" if i else ""
            story.append(paragraph(f"{named}{place}", "continued"))
        own = rows[rows["size"].isin(block.sizes)]
        notes = _notes(publication, part, own, {reason: mark for reason, mark in marks.items() if _is_in(block, mark)})
        reserve = sum(note.wrap(width, 1000.0)[1] + note.getSpaceAfter() for note in notes) + _NOTE_HEIGHT
        story += [LedgerFlowable(block, None, reserve, f"{named}, continued"), *notes, PageBreak()]
    return story


def _notes(publication: Publication, part: Part, rows: pd.DataFrame, marks: dict[str, str]) -> list[Flowable]:
    """How to read the sizes of one ledger, why cells are empty, and what bound the others."""
    return [
        paragraph(_reading(publication, part, rows), "small"),
        *(paragraph(f"{mark}: {_why(publication, r)}", "note") for r, mark in marks.items()),
        paragraph(_bound(publication, part, rows), "small"),
        *(
            paragraph(f"Pulse-modulated valve: {PULSE_CAVEAT[0].lower()}{PULSE_CAVEAT[1:]}", "small")
            for _ in range(publication.inputs["families"][part.family]["kind"] == "pulse_modulated")
        ),
    ]


def _is_in(block: Ledger, mark: str) -> bool:
    return any(mark in row.cells for row in block.rows)


def ledger(publication: Publication, rows: pd.DataFrame, marks: dict[str, str]) -> Ledger:
    """The ledger of a part: warmest suction temperature first."""
    formatter = publication.formatter
    sizes = list(dict.fromkeys(rows["size"]))
    coefficients = rows.drop_duplicates("size").set_index("size")["kv_rated_m3h"]
    body = []
    temperatures = sorted(set(rows["sst_k"].astype(float)), reverse=True)
    for sst_k, label in zip(temperatures, formatter.temperatures(temperatures), strict=True):
        by_size = rows[rows["sst_k"] == sst_k].set_index("size")
        cells = [_cell(publication, by_size.loc[size], marks) for size in sizes]
        body.append(LedgerRow(label, cells, formatter.is_round(sst_k)))
    notes = [f"Kv {kv(float(coefficients[size]))}" for size in sizes]
    return Ledger(f"SST (dew), {formatter.temperature_label}", sizes, notes, body)


def _cell(publication: Publication, row: pd.Series, marks: dict[str, str]) -> Cell:
    window = publication.formatter.readable_window(float(row["min_load_w"]), float(row["max_load_w"]))
    return window or marks[row["max_reason"] if pd.isna(row["max_load_w"]) else NARROW]


def _marks(publication: Publication, rows: pd.DataFrame) -> dict[str, str]:
    """A letter for each reason that empties a cell."""
    reasons = sorted(set(rows.loc[rows["max_load_w"].isna(), "max_reason"]))
    is_open = rows[rows["max_load_w"].notna()]
    windows = zip(is_open["min_load_w"].astype(float), is_open["max_load_w"].astype(float), strict=True)
    if any(publication.formatter.readable_window(*window) is None for window in windows):
        reasons.append(NARROW)
    return dict(zip(reasons, string.ascii_lowercase, strict=False))


def _why(publication: Publication, reason: str) -> str:
    return NARROW if reason == NARROW else str(publication.data.manifest["reasons"][reason])


def _reading(publication: Publication, part: Part, rows: pd.DataFrame) -> str:
    """How to read the table, by the example row's middle size."""
    formatter = publication.formatter
    example_k = publication.application(part.application)["example_sst_k"]
    row = rows[(rows["sst_k"] - example_k).abs() < 1e-6]
    sizes = list(row["size"])
    chosen = row.set_index("size").loc[sizes[len(sizes) // 2]]
    start = f"Loads in {formatter.load_label} at the rating point, minimum rounded up, maximum down; Kv in m³/h. "
    start += confidence_sentence(publication)
    window = formatter.readable_window(float(chosen["min_load_w"]), float(chosen["max_load_w"]))
    if window is None:
        return start + "Do not read beyond the table."
    minimum, maximum = window
    return (
        f"{start}Read: at SST {formatter.degrees(example_k)} (dew) size {sizes[len(sizes) // 2]} holds a system rated from "
        f"{minimum} to {formatter.with_load_unit(maximum)}. Between two rows the load must lie in both windows. "
        "Do not read beyond the table."
    )


def _bound(publication: Publication, part: Part, rows: pd.DataFrame) -> str:
    """Which members and which physical limits bind, over the open windows."""
    is_open = rows[rows["max_load_w"].notna()]
    if is_open.empty:
        return "No window is open in this table."
    minimum = _named(is_open, "min")
    maximum = _named(is_open, "max")
    text = f"Minimum loads are set at {minimum}. Maximum loads are set at {maximum}."
    if len(publication.members(part.group)) > 1:
        members = {limit: spelt(sorted(set(is_open[f"{limit}_member"]))) for limit in ("min", "max")}
        verb = "sets" if is_open["min_member"].nunique() == 1 else "set"
        text += f" Of the members {members['min']} {verb} the minimum loads, {members['max']} the maximum."
    return text


_HEADS = {"low_head": "the low head", "rating": "the rating point", "high_head": "the high head"}


def _named(rows: pd.DataFrame, limit: str) -> str:
    conditions = spelt([_HEADS[e] for e in _HEADS if e in set(rows[f"{limit}_condition"])])
    reasons = spelt([terms.limit_reason(r) for r in terms.LIMIT_REASONS if r in set(rows[f"{limit}_reason"])], "or")
    return f"{conditions}, by {reasons}"
