"""Findings of an audit in words and figures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tablegen.audit.findings import Cell, Finding, Kind
from tablegen.audit.size_range import Coverage
from tablegen.physics.reasons import Reason
from tablegen.report.formatter import DASH, Formatter, percent
from tablegen.wording import terms

# More gaps of one row than these are counted, not named.
MOST_RANGES = 6
# Overlaps below this share are told to a tenth of a percent.
_TENTHS_BELOW = 0.1
_LIMIT = {"minimum": "minimum load", "maximum": "maximum load"}


class FindingFormatter:
    """Puts findings into words, in one unit system; heads are gauge readings at the site of their application."""

    def __init__(self, formatter: Formatter, catalogue: Any, most_ranges: int = MOST_RANGES) -> None:
        self.formatter, self._catalogue, self._most = formatter, catalogue, most_ranges

    def shorter(self, most_ranges: int) -> FindingFormatter:
        """The same with fewer ranges named."""
        return FindingFormatter(self.formatter, self._catalogue, most_ranges)

    def line(self, finding: Finding) -> str:
        """Where something was found, and what."""
        place = self.place(finding)
        return f"{place}: {self.text(finding)}" if place else self.text(finding)

    def place(self, finding: Finding) -> str:
        """Names as the configs have them, sizes and rows."""
        first = finding.first
        parts = [name for name in (first.family, first.group, first.application) if name]
        if first.size:
            parts.append(self._sizes(finding))
        rows = sorted({c.sst_k for c in finding.cells if c.sst_k == c.sst_k})
        if rows:
            ends = self.formatter.temperature(rows[0]), self.formatter.degrees(rows[-1])
            parts.append(f"SST {ends[1]}" if len(rows) == 1 else f"SST {ends[0]} to {ends[1]}")
        return ", ".join(parts)

    def text(self, finding: Finding) -> str:
        """What was found, with the figures of the cell in which it is maximum."""
        count = len(finding.cells)
        told = self._told(finding)
        return f"{told} ({count} places)" if count > 1 else told

    def coverage(self, rows: Sequence[Coverage]) -> list[str]:
        """Loads of the size range, rows with a window and without a gap, sizes at a load, minimum overlap: as cells."""
        filled = [row for row in rows if row.most]
        if not filled:
            return ["none", f"0 of {len(rows)}", "", "", ""]
        minimum, maximum = min(r.min_w for r in filled), max(r.max_w for r in filled)
        shares = [s.to_w / s.from_w - 1.0 for row in filled for s in row.overlaps]
        sizes = min(r.fewest for r in filled), max(r.most for r in filled)
        whole = sum(not row.gaps for row in filled)
        return [
            DASH.join(self.formatter.window(minimum, maximum)),
            f"{len(filled)} of {len(rows)}",
            str(len(filled) - whole),
            str(sizes[0]) if sizes[0] == sizes[1] else DASH.join(map(str, sizes)),
            percent(min(shares), 0 if min(shares) >= _TENTHS_BELOW else 1) if shares else DASH,
        ]

    def _sizes(self, finding: Finding) -> str:
        named = {name for c in finding.cells for name in (c.size, c.other_size) if name}
        sizes = self._catalogue.families[finding.first.family].sizes
        names = [s.display_name for s in sizes if s.name in named]
        return f"size {names[0]}" if len(names) == 1 else f"sizes {names[0]} to {names[-1]}"

    def _size(self, cell: Cell) -> str:
        return str(self._catalogue.families[cell.family].size_name(cell.size))

    def _other(self, cell: Cell) -> str:
        return str(self._catalogue.families[cell.family].size_name(cell.other_size))

    def _told(self, finding: Finding) -> str:
        cell = finding.widest
        tell = {
            Kind.GAP: self._gap,
            Kind.ROUNDING_GAP: self._ranges,
            Kind.THIN_OVERLAP: self._ranges,
            Kind.GROUP_LOSS: self._group,
            Kind.EMPTY: self._empty,
            Kind.TURN: self._turn,
            Kind.NARROW: self._narrow,
            Kind.NOT_PRINTED: self._narrow,
            Kind.NOT_RISING: self._not_rising,
            Kind.OVERPROMISE: self._printed,
            Kind.MISPRINT: self._printed,
            Kind.BETWEEN_ROWS: self._between_rows,
            Kind.SHUT_BETWEEN_HEADS: self._shut,
        }.get(cell.kind)
        if tell is not None:
            return tell(finding)
        if cell.limit:
            return self._tighter(finding)
        what = terms.FINDINGS[cell.kind]()
        return ": ".join(filter(None, (what, cell.refrigerant, self._reason(cell.detail))))

    def _reason(self, detail: str) -> str:
        """A reason of the list in words, after the name of a suction response if there is one."""
        *before, last = detail.split(" ") if detail else [""]
        known = last in set(Reason)
        return " ".join([*before, terms.reason(last)]) if known and len(before) < 2 else detail

    def _load(self, watt: float) -> str:
        return self.formatter.with_load_unit(self.formatter.load(watt))

    def _bound(self, cell: Cell, watt: float) -> str:
        """A limit as it is printed: a minimum load up, a maximum down."""
        return self.formatter.with_load_unit(self.formatter.window(watt, watt)[0 if cell.limit == "minimum" else 1])

    def _range(self, cell: Cell) -> str:
        """A range that no print serves: from a maximum load, rounded down, to a minimum one, rounded up."""
        minimum, maximum = self.formatter.window(cell.to_load_w, cell.from_load_w)
        return f"{maximum}{DASH}{minimum}"

    def _gap(self, finding: Finding) -> str:
        """The gaps of the row in which one is widest, as load ranges."""
        widest = finding.widest
        own = [c for c in finding.cells if c.sst_k == widest.sst_k]
        shown = [f"{self._range(c)} (between {self._size(c)} and {self._other(c)})" for c in own[: self._most]]
        more = f" and {len(own) - self._most} ranges more" if len(own) > self._most else ""
        at = self.formatter.degrees(widest.sst_k)
        return f"at SST {at} no size serves {', '.join(shown)}{more}, in {self.formatter.load_label}"

    def _ranges(self, finding: Finding) -> str:
        cell = min(finding.cells, key=lambda c: c.shift)
        where = f"{self._size(cell)} and {self._other(cell)} at SST {self.formatter.degrees(cell.sst_k)}"
        if cell.kind is Kind.THIN_OVERLAP:
            return f"neighboring sizes overlap by {percent(cell.shift, 1)} only, {where}"
        return f"neighboring sizes meet as computed but not as printed, {where} near {self._load(cell.from_load_w)}"

    def _group(self, finding: Finding) -> str:
        cell = min(finding.cells, key=lambda c: c.share)
        minimum, maximum = (sorted({getattr(c, name) for c in finding.cells}) for name in ("refrigerant", "detail"))
        at = self.formatter.degrees(cell.sst_k)
        return (
            f"the group's window is down to {percent(cell.share)} of its members' median (at SST {at}); "
            f"the minimum load is bound by {' and '.join(minimum)}, the maximum by {' and '.join(maximum)}"
        )

    def _empty(self, finding: Finding) -> str:
        cell = finding.first
        who = f"{cell.refrigerant}: " if cell.refrigerant else ""
        return f"empty: {who}{self._reason(cell.detail)}"

    def _turn(self, finding: Finding) -> str:
        cell = finding.first
        rows = sorted({c.sst_k for c in finding.cells})
        at = " and ".join(self.formatter.degrees(k) for k in rows)
        way = "rises up to and falls above" if cell.detail == "peak" else "falls down to and rises above"
        return f"the {_LIMIT[cell.limit]} {way} SST {at}"

    def _narrow(self, finding: Finding) -> str:
        cell = min(finding.cells, key=lambda c: c.shift)
        ratio = f"maximum over minimum load down to {cell.to_load_w / cell.from_load_w:.2f}"
        what = f"{terms.FINDINGS[cell.kind]()} in {cell.detail}" if cell.detail else terms.FINDINGS[cell.kind]()
        return f"{what}, {ratio} at SST {self.formatter.degrees(cell.sst_k)}"

    def _not_rising(self, finding: Finding) -> str:
        cell = finding.widest
        return (
            f"the {_LIMIT[cell.limit]} of size {self._other(cell)} is not above that of {self._size(cell)}: "
            f"{self._load(cell.to_load_w)} against {self._load(cell.from_load_w)}"
        )

    def _printed(self, finding: Finding) -> str:
        cell = finding.widest
        if not cell.limit:
            return f"{terms.FINDINGS[cell.kind]()}: {cell.detail}"
        size = f"size {self._size(cell)} at SST {self.formatter.degrees(cell.sst_k)}"
        read = self._load(cell.from_load_w) if cell.from_load_w == cell.from_load_w else "none"
        found = self._bound(cell, cell.to_load_w) if cell.to_load_w == cell.to_load_w else "none"
        return (
            f"{terms.FINDINGS[cell.kind]()}, {cell.detail}: {_LIMIT[cell.limit]} of {size} is {read}, computed {found}"
        )

    def _between_rows(self, finding: Finding) -> str:
        cell = finding.widest
        at = self.formatter.degrees(cell.to_sst_k, 2)
        if not cell.limit:
            return f"between two rows, at SST {at}, {cell.refrigerant} has no window: {self._reason(cell.detail)}"
        return (
            f"between two rows, at SST {at}, the {_LIMIT[cell.limit]} is tighter than at both by "
            f"{self._shift(cell)}{self._mild(cell)}"
        )

    def _shut(self, finding: Finding) -> str:
        cell = finding.first
        return f"at {self._head(cell)}, between the conditions, {cell.refrigerant}: {self._reason(cell.detail)}"

    def _tighter(self, finding: Finding) -> str:
        """A limit as the table holds it, and as something else sets it."""
        cell = finding.widest
        where = {
            Kind.BETWEEN_HEADS: f"at {self._head(cell)}, between the conditions,",
            Kind.SUBCOOLING_CORNER: "at the other end of the subcooling",
            Kind.OTHER_RESPONSE: f"with the suction {cell.detail}",
        }[cell.kind]
        size = f"size {self._size(cell)} at SST {self.formatter.degrees(cell.sst_k)}"
        return (
            f"{where} {cell.refrigerant} sets the {_LIMIT[cell.limit]} tighter by up to {self._shift(cell)}: {size} "
            f"has {self._bound(cell, cell.from_load_w)} in the table, {self._bound(cell, cell.to_load_w)} there"
            f"{self._mild(cell)}"
        )

    def _head(self, cell: Cell) -> str:
        if cell.head_pressure_pa != cell.head_pressure_pa:
            return "a head"
        site = self._catalogue.applications[cell.application].site_pressure_pa
        return f"{self.formatter.gauge(cell.head_pressure_pa, site)} {self.formatter.gauge_label}"

    def _shift(self, cell: Cell) -> str:
        return percent(abs(cell.shift), 2)

    @staticmethod
    def _mild(cell: Cell) -> str:
        return ", which the rounding covers" if cell.is_mild else ""
