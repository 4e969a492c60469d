"""Findings: a closed list of kinds, each a fault or a remark, window by window and grouped into lines."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

T = TypeVar("T")

_NAN = float("nan")


class Severity(StrEnum):
    """What a finding asks for: a fault must be fixed before print, a remark must be known."""

    FAULT = "fault"
    REMARK = "remark"


class FindingKind(StrEnum):
    """The closed list of what an audit finds, faults first."""

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
    UNUSUAL_SUBCOOLING = "unusual_subcooling"
    COLD_LIQUID = "cold_liquid"
    HUNTS_BY_LOOP = "hunts_by_loop"
    HEAD_ORDER = "head_order"
    PORT_SWING = "port_swing"
    OTHER_VERSIONS = "other_versions"
    NOT_READ = "not_read"


_KINDS = list(FindingKind)
FAULTS = frozenset(_KINDS[: _KINDS.index(FindingKind.OTHER_INPUTS) + 1])


class LimitKind(StrEnum):
    """One end of a load window."""

    MINIMUM = "minimum"
    MAXIMUM = "maximum"

    def of(self, minimum: T, maximum: T) -> T:
        """The one of two values that belongs to this limit."""
        return minimum if self is LimitKind.MINIMUM else maximum

    @property
    def column(self) -> str:
        """The column of a frame of windows."""
        return self.of("min_load_w", "max_load_w")


class Turn(StrEnum):
    """How a limit changes direction along the suction temperature."""

    PEAK = "peak"
    VALLEY = "valley"


class FileFault(StrEnum):
    """What is wrong with a file of a release, an input or a version; in brackets what `Finding.note` has."""

    MISSING = "missing"
    ALTERED = "altered"
    RECORD_MISSING = "record_missing"
    RECORD_ALTERED = "record_altered"
    NEW = "new"
    REMOVED = "removed"
    DIFFERS = "differs"
    OTHER_VERSION = "other_version"  # both versions
    OTHER_WINDOWS = "other_windows"  # how many
    NOT_WRITTEN = "not_written"  # why
    LIBRARY_MISSING = "library_missing"
    OTHER_TABLE = "other_table"
    NO_PAGE = "no_page"
    NO_CELL = "no_cell"
    NO_WINDOW = "no_window"
    WINDOW = "window"  # the window
    NO_NUMBER = "no_number"  # the text


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something found in one window, table or file; names are "" and figures NaN where a kind has none.

    Attributes
    ----------
    kind : FindingKind
    family, group, application, size : str
        The window, or the table, by keys.
    other_size : str
        The larger of two neighboring sizes.
    limit : LimitKind or None
    refrigerant, max_refrigerant : str
        Who sets it; of a group's window who sets the minimum and the maximum load.
    reason : str
        Why a window is empty, of the closed list; "" or anything else where it has none of these.
    response : str
        The suction response with which it was found.
    turn : Turn or None
    file : str
        A file, an input file or a library.
    problem : FileFault or None
    load_unit : str
        The unit of the print in which it was found.
    note : str
        A text that is not of this list: a warning, a failed check, a figure as it was read.
    sst_k, to_sst_k : float [K]
        The row, and the next one or a temperature between.
    from_load_w, to_load_w : float [W]
        The ends of a range of loads, or a limit as the table has it and as the audit found it.
    share : float [1]
        Of the members' median window.
    head_pressure_pa : float [Pa, absolute]
    condition : str
        An operating condition.
    assumed_opening, loop_opening : float [1]
        Minimum opening as stated and by the loop with the coil, infinite where it always hunts.
    bulb_s, needed_bulb_s : float [s]
        Time constant of the bulb, and what the stated opening needs; infinite for none.
    subcooling_k : float [K]
        At the outlet of condenser or receiver.
    is_mild : bool
        Whether what would be a fault is a remark, because the rounding of every print covers it.
    """

    kind: FindingKind
    family: str = ""
    group: str = ""
    application: str = ""
    size: str = ""
    other_size: str = ""
    limit: LimitKind | None = None
    refrigerant: str = ""
    max_refrigerant: str = ""
    reason: str = ""
    response: str = ""
    turn: Turn | None = None
    file: str = ""
    problem: FileFault | None = None
    load_unit: str = ""
    note: str = ""
    sst_k: float = _NAN
    to_sst_k: float = _NAN
    from_load_w: float = _NAN
    to_load_w: float = _NAN
    share: float = _NAN
    head_pressure_pa: float = _NAN
    condition: str = ""
    assumed_opening: float = math.nan
    loop_opening: float = math.nan
    bulb_s: float = math.nan
    needed_bulb_s: float = math.nan
    subcooling_k: float = _NAN
    is_mild: bool = False

    @property
    def severity(self) -> Severity:
        """Fault or remark."""
        return Severity.FAULT if self.kind in FAULTS and not self.is_mild else Severity.REMARK

    @property
    def shift(self) -> float:
        """How far the second load is from the first, as a share of the first [1]."""
        return self.to_load_w / self.from_load_w - 1.0

    @property
    def _likeness(self) -> tuple[object, ...]:
        """What findings of one line share: everything but size, row and figures."""
        shared = (self.severity, self.kind, self.family, self.group, self.application, self.limit)
        if self.kind is FindingKind.GROUP_LOSS:
            # The members that set the limits change from row to row.
            return shared
        named = (self.refrigerant, self.reason, self.response, self.turn, self.file, self.problem)
        return (*shared, *named, self.load_unit, self.note, self.condition)


@dataclass(frozen=True, slots=True)
class FindingLine:
    """Like findings as one line: they share everything but size, row and figures."""

    severity: Severity
    kind: FindingKind
    findings: tuple[Finding, ...]

    @property
    def first(self) -> Finding:
        """A finding, for what all share."""
        return self.findings[0]

    @property
    def sizes(self) -> tuple[str, ...]:
        """Sizes in the order of the catalogue."""
        return tuple(dict.fromkeys(f.size for f in self.findings if f.size))

    @property
    def widest(self) -> Finding:
        """The finding whose loads are farthest apart."""
        return max(self.findings, key=lambda f: -1.0 if math.isnan(f.shift) else abs(f.shift))


def grouped(findings: Iterable[Finding]) -> list[FindingLine]:
    """Findings that share everything but size, row and figures, as one line each.

    Parameters
    ----------
    findings : iterable of Finding

    Returns
    -------
    list of FindingLine
        Faults first, then by kind, other config files before the order of the list, then as the findings come.

    Examples
    --------
    >>> gaps = [Finding(kind=FindingKind.GAP, family="alder", size=size) for size in ("32", "45")]
    >>> narrow = Finding(kind=FindingKind.NARROW, family="alder", size="45")
    >>> [(line.kind.value, line.sizes) for line in grouped([narrow, *gaps])]
    [('gap', ('32', '45')), ('narrow', ('45',))]
    """
    lines: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        lines.setdefault(finding._likeness, []).append(finding)
    found = [FindingLine(own[0].severity, own[0].kind, tuple(own)) for own in lines.values()]

    def rank(line: FindingLine) -> tuple[bool, bool, int]:
        # What else differs in a release follows from its config files.
        is_cause = line.kind is FindingKind.OTHER_INPUTS
        return line.severity is Severity.REMARK, not is_cause, _KINDS.index(line.kind)

    return sorted(found, key=rank)
