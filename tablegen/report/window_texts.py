"""What a window table says: its cells, why some are empty, how to read it, and what sets its limits."""

from __future__ import annotations

import math
import string
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tablegen.report.formatter import kv, percent
from tablegen.report.refrigerant_text import by_hazard, substance_cautions
from tablegen.report.rows import is_same_temperature
from tablegen.sweep.group_cost import COST_SHARE
from tablegen.wording import booklet, terms
from tablegen.wording import booklet_pages as wording
from tablegen.wording import counter_chart as chart_wording
from tablegen.wording.message import OR, listed

if TYPE_CHECKING:
    from tablegen.model.inputs import Catalogue
    from tablegen.model.publications import Combination
    from tablegen.report.formatter import Formatter
    from tablegen.report.printed_catalogue import PrintedCatalogue
    from tablegen.report.rows import ChangedRow, WindowRow

DASH = "\N{EN DASH}"

# A window (minimum, maximum), or a mark that points at the reason under the table; "" is a blank cell.
Cell = tuple[str, str] | str

# Of a window that is open, but whose limits meet as printed.
_MEETING = "meeting"


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowTableRow:
    """One row: its label (a temperature), a cell for each size, whether a rule is above it, and whether it is framed.

    A row that is apart, under a heavier rule, is not of a temperature.

    `box` is the temperature of the box at the label's SST, if it is known. `changed` has for each cell what a screen reader
    says of it if it differs from an earlier release, else nothing; without any change it is empty.
    """

    label: str
    cells: Sequence[Cell]
    rule_above: bool = False
    is_framed: bool = False
    is_apart: bool = False
    box: str = ""
    changed: Sequence[str] = ()


def cell_text(cell: Cell) -> str:
    """A cell as one text."""
    return cell if isinstance(cell, str) else DASH.join(cell)


def size_names(rows: Sequence[WindowRow]) -> list[str]:
    """The sizes of a table, in the order of the family."""
    return list(dict.fromkeys(row.size for row in rows))


def size_notes(catalogue: Catalogue, family: str, names: Sequence[str], formatter: Formatter) -> list[str]:
    """The nominal capacity of each size that is printed under a name; its Kv in a family without a rating."""
    sizes = {size.display_name: size for size in catalogue.families[family].sizes}
    if has_nominal(catalogue, family):
        return [formatter.nominal(sizes[name].nominal_capacity_w) for name in names]
    return [wording.SIZE_KV(kv=kv(sizes[name].kv_rated_m3h)) for name in names]


def has_nominal(catalogue: Catalogue, family: str) -> bool:
    """Whether all sizes of a family have a nominal capacity."""
    return all(math.isfinite(size.nominal_capacity_w) for size in catalogue.families[family].sizes)


def temperatures_of(rows: Sequence[WindowRow]) -> list[float]:
    """The suction temperatures of a table [K], warmest first."""
    return sorted({row.sst_k for row in rows}, reverse=True)


def table_rows(
    formatter: Formatter,
    rows: Sequence[WindowRow],
    marks: Mapping[str, str],
    example_k: float = math.nan,
    difference_k: float | None = None,
) -> list[WindowTableRow]:
    """The rows of a table: warmest suction temperature first; that of the example is framed.

    With `difference_k` each has the temperature of the box, so far above its SST [K].
    """
    cells = {(row.sst_k, row.size): _cell(formatter, row, marks) for row in rows}
    temperatures, names = temperatures_of(rows), size_names(rows)
    boxes = [""] * len(temperatures)
    if difference_k is not None:
        boxes = formatter.temperatures([sst_k + difference_k for sst_k in temperatures])
    return [
        WindowTableRow(
            label=label,
            cells=[cells[sst_k, name] for name in names],
            rule_above=formatter.is_round(sst_k),
            is_framed=is_same_temperature(sst_k, example_k),
            box=box,
        )
        for sst_k, label, box in zip(temperatures, formatter.temperatures(temperatures), boxes, strict=True)
    ]


def _cell(formatter: Formatter, row: WindowRow, marks: Mapping[str, str]) -> Cell:
    window = formatter.readable_window(row.min_load_w, row.max_load_w)
    return window or marks[row.max_reason if math.isnan(row.max_load_w) else _MEETING]


def marks_of(formatter: Formatter, rows: Sequence[WindowRow]) -> dict[str, str]:
    """A letter for each reason that empties a cell of some rows; of all rows of a booklet, a letter means one thing in it."""
    reasons = sorted({row.max_reason for row in rows if math.isnan(row.max_load_w)})
    windows = [(row.min_load_w, row.max_load_w) for row in rows if not math.isnan(row.max_load_w)]
    if any(formatter.readable_window(*window) is None for window in windows):
        reasons.append(_MEETING)
    return dict(zip(reasons, string.ascii_lowercase, strict=False))


def reason_notes(marks: Mapping[str, str], rows: Sequence[WindowTableRow]) -> list[str]:
    """What the marks in some rows mean."""
    shown = {cell for row in rows for cell in row.cells if isinstance(cell, str)}
    return [
        wording.REASON(mark=mark, reason=terms.NARROW() if reason == _MEETING else terms.reason(reason))
        for reason, mark in marks.items()
        if mark in shown
    ]


def changed_texts(formatter: Formatter, row: ChangedRow) -> tuple[str, str]:
    """A cell that differs from an earlier release as it was printed, and as it is now; a removed one is blank now."""
    earlier, now = (
        DASH.join(window) if (window := formatter.readable_window(*limits)) else booklet.NO_WINDOW()
        for limits in ((row.earlier_min_load_w, row.earlier_max_load_w), (row.min_load_w, row.max_load_w))
    )
    if row.change_kind == "added":
        return booklet.NEW(), now
    return earlier, "" if row.change_kind == "removed" else now


def reading_note(source: PrintedCatalogue, part: Combination, rows: Sequence[WindowRow], confidence: str) -> str:
    """How to read the table, by the example row's middle size; `confidence` says which the limits have."""
    formatter = source.formatter
    example_k = source.catalogue.applications[part.application].example_sst_k
    across = example_rows(source, part, rows)
    chosen = across[len(across) // 2]
    under = wording.NOMINAL_UNDER if has_nominal(source.catalogue, part.family) else wording.KV_UNDER
    text = [f"{wording.UNITS(unit=formatter.load_label)} {under()}", confidence]
    window = formatter.readable_window(chosen.min_load_w, chosen.max_load_w)
    if window is not None:
        maximum = formatter.with_load_unit(window[1])
        sst = formatter.degrees(example_k)
        text.append(wording.READ_EXAMPLE(sst=sst, size=chosen.size, minimum=window[0], maximum=maximum))
    return " ".join((*text, wording.DO_NOT_EXTRAPOLATE()))


def safety_texts(source: PrintedCatalogue, group: str) -> list[str]:
    """What to be careful of with a group's refrigerants, a sentence for each safety group; none for A1."""
    return [
        wording.SAFETY_NOTE(refrigerants=listed(members), hazard=hazard)
        for hazard, members in by_hazard(source.catalogue.records, source.members(group)).items()
    ] + substance_cautions(source.catalogue.records[member] for member in source.members(group))


def safety_notes(source: PrintedCatalogue, group: str) -> list[str]:
    """The same in a word or two for each safety group, where there is room for no more."""
    return list(by_hazard(source.catalogue.records, source.members(group)))


def rated(source: PrintedCatalogue, part: Combination) -> str:
    """The rating point of a table, and whether it has a liquid riser."""
    formatter, system = source.formatter, source.system(part)
    head = formatter.head(system.rating.head, source.catalogue.applications[part.application].site_pressure_pa)
    if system.losses.lift_m:
        return chart_wording.RATED_WITH_RISER(head=head, lift=formatter.length(system.losses.lift_m))
    return chart_wording.RATED_WITHOUT_RISER(head=head)


def table_caption(source: PrintedCatalogue, part: Combination) -> str:
    """What the figures of a table are, above it."""
    formatter = source.formatter
    rating = source.catalogue.families[part.family].rating
    under = wording.UNDER_KV()
    if rating is not None and has_nominal(source.catalogue, part.family):
        under = wording.UNDER_NOMINAL(refrigerant=rating.refrigerant.name)
    difference_k = source.catalogue.applications[part.application].coil_temperature_difference_k
    if difference_k is None:
        return wording.TABLE_CAPTION(unit=formatter.load_label, under=under)
    difference = formatter.step(difference_k)
    return wording.TABLE_CAPTION_BOX(unit=formatter.load_label, under=under, difference=difference)


def framed_note(source: PrintedCatalogue, part: Combination, rows: Sequence[WindowRow]) -> str:
    """How to read the table, by the middle size of its framed row."""
    formatter = source.formatter
    across = example_rows(source, part, rows)
    chosen = across[len(across) // 2]
    window = formatter.readable_window(chosen.min_load_w, chosen.max_load_w)
    if window is None:
        return wording.READ_ROWS()
    return wording.READ_FRAMED(
        sst=formatter.degrees(chosen.sst_k),
        size=chosen.size,
        minimum=window[0],
        maximum=formatter.with_load_unit(window[1]),
    )


def example_rows(source: PrintedCatalogue, part: Combination, rows: Sequence[WindowRow]) -> list[WindowRow]:
    """The windows of a table at the suction temperature of its application's example."""
    example_k = source.catalogue.applications[part.application].example_sst_k
    return [row for row in rows if is_same_temperature(row.sst_k, example_k)]


def limit_notes(source: PrintedCatalogue, part: Combination, rows: Sequence[WindowRow]) -> list[str]:
    """Which members and which physical limits set the limits of the open windows; what holds for a kind of valve."""
    notes = [" ".join((_set_by(source, part, rows), *_costs(source, part)))]
    if source.catalogue.families[part.family].kind == "pulse_modulated":
        notes.append(wording.PULSE_CAVEAT())
    return notes


def _set_by(source: PrintedCatalogue, part: Combination, rows: Sequence[WindowRow]) -> str:
    opened = [row for row in rows if not math.isnan(row.max_load_w)]
    if not opened:
        return wording.NO_WINDOW()
    minimum = _where([row.min_condition for row in opened], [row.min_reason for row in opened])
    maximum = _where([row.max_condition for row in opened], [row.max_reason for row in opened])
    text = wording.SET_AT(minimum=minimum, maximum=maximum)
    if len(source.members(part.group)) == 1:
        return text
    members, others = sorted({row.min_member for row in opened}), sorted({row.max_member for row in opened})
    if len(members) == 1:
        return f"{text} {wording.ONE_MEMBER(member=members[0], others=listed(others))}"
    return f"{text} {wording.MEMBERS(members=listed(members), others=listed(others))}"


def _costs(source: PrintedCatalogue, part: Combination) -> Iterator[str]:
    """What one table for several refrigerants costs the one that loses most, where that is much."""
    cost = source.group_cost(part)
    if cost.max_load > COST_SHARE:
        yield wording.GROUP_COSTS_MAXIMUM(refrigerant=cost.max_member, share=percent(cost.max_load))
    if cost.min_load > COST_SHARE:
        yield wording.GROUP_RAISES_MINIMUM(refrigerant=cost.min_member, share=percent(cost.min_load))


def _where(conditions: Sequence[str], reasons: Sequence[str]) -> str:
    return wording.SET_BY(
        conditions=listed([terms.at_condition(name) for name in terms.AT_CONDITIONS if name in conditions]),
        reasons=listed([terms.limit_reason(name) for name in terms.LIMIT_REASONS if name in reasons], OR),
    )
