"""Findings: a closed list of kinds, each a fault or a remark, cell by cell and grouped into lines."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """What a finding asks for: a fault must be mended before print, a remark must be known."""

    FAULT = "fault"
    REMARK = "remark"


class Kind(StrEnum):
    """The closed list of what an audit finds."""

    GAP = "gap"
    NOT_RISING = "not_rising"
    BETWEEN_HEADS = "between_heads"
    SHUT_BETWEEN_HEADS = "shut_between_heads"
    SUBCOOLING_CORNER = "subcooling_corner"
    BETWEEN_ROWS = "between_rows"
    ALL_EMPTY = "all_empty"
    UNEXPLAINED = "unexplained"
    EMPTY_AT_CONFIDENCE = "empty_at_confidence"
    OVERPROMISE = "overpromise"
    MISPRINT = "misprint"
    FAILED_CHECK = "failed_check"
    ALTERED_FILE = "altered_file"
    OTHER_INPUTS = "other_inputs"

    THIN_OVERLAP = "thin_overlap"
    ROUNDING_GAP = "rounding_gap"
    TURN = "turn"
    OTHER_RESPONSE = "other_response"
    RESPONSE_NOT_RUN = "response_not_run"
    EMPTY = "empty"
    NARROW = "narrow"
    NOT_PRINTED = "not_printed"
    GROUP_LOSS = "group_loss"
    HEAD_ORDER = "head_order"
    PORT_SWING = "port_swing"
    OTHER_VERSIONS = "other_versions"
    NOT_READ = "not_read"


# The others are remarks.
FAULTS = frozenset(
    {
        Kind.GAP,
        Kind.NOT_RISING,
        Kind.BETWEEN_HEADS,
        Kind.SHUT_BETWEEN_HEADS,
        Kind.SUBCOOLING_CORNER,
        Kind.BETWEEN_ROWS,
        Kind.ALL_EMPTY,
        Kind.UNEXPLAINED,
        Kind.EMPTY_AT_CONFIDENCE,
        Kind.OVERPROMISE,
        Kind.MISPRINT,
        Kind.FAILED_CHECK,
        Kind.ALTERED_FILE,
        Kind.OTHER_INPUTS,
    }
)
# Of these the members that bind stand in one line, for they change from row to row.
_JOINED = frozenset({Kind.GROUP_LOSS})
NAN = float("nan")


@dataclass(frozen=True, slots=True)
class Cell:
    """One place where something was found; names are "" and figures NaN where a kind has none.

    `from_load_w` and `to_load_w` [W] are the ends of a range of loads that is not served, or a limit as the table
    holds it and as the audit found it. `sst_k` [K] is the row, `to_sst_k` the next one or where in between, and
    `head_pressure_pa` the absolute head [Pa]. `is_mild` makes a remark of what would be a fault.
    """

    kind: Kind
    family: str = ""
    group: str = ""
    application: str = ""
    size: str = ""
    other_size: str = ""
    limit: str = ""
    refrigerant: str = ""
    detail: str = ""
    sst_k: float = NAN
    to_sst_k: float = NAN
    from_load_w: float = NAN
    to_load_w: float = NAN
    share: float = NAN
    head_pressure_pa: float = NAN
    is_mild: bool = False

    @property
    def severity(self) -> Severity:
        """Fault or remark."""
        return Severity.FAULT if self.kind in FAULTS and not self.is_mild else Severity.REMARK

    @property
    def shift(self) -> float:
        """How far the second load lies from the first, as a share of the first [1]."""
        return self.to_load_w / self.from_load_w - 1.0


@dataclass(frozen=True, slots=True)
class Finding:
    """Like cells as one line: they share everything but size, row and figures."""

    severity: Severity
    kind: Kind
    cells: tuple[Cell, ...]

    @property
    def first(self) -> Cell:
        """A cell, for what all share."""
        return self.cells[0]

    @property
    def sizes(self) -> tuple[str, ...]:
        """Sizes in the order of the catalogue."""
        return tuple(dict.fromkeys(c.size for c in self.cells if c.size))

    @property
    def widest(self) -> Cell:
        """The cell whose loads lie farthest apart."""
        return max(self.cells, key=lambda c: abs(c.shift) if c.shift == c.shift else -1.0)


def grouped(cells: Iterable[Cell]) -> list[Finding]:
    """Faults first, then by kind in the order of the list, then as the cells come."""
    kinds = list(Kind)
    lines: dict[tuple[object, ...], list[Cell]] = {}
    for cell in cells:
        key: tuple[object, ...] = (cell.severity, cell.kind, cell.family, cell.group, cell.application, cell.limit)
        if cell.kind not in _JOINED:
            key += (cell.refrigerant, cell.detail)
        lines.setdefault(key, []).append(cell)
    found = [Finding(own[0].severity, own[0].kind, tuple(own)) for own in lines.values()]
    return sorted(found, key=lambda f: (f.severity is Severity.REMARK, kinds.index(f.kind)))
