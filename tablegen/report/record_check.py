"""Whether the answer of a record is still valid: what a reader was shown then, beside what is shown now."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum

from tablegen.report.case_record import CaseRecord, PrintedFigure
from tablegen.wording import again as wording


class RecordStatus(Enum):
    """What has become of an answer, in the order in which a reader wants to hear of it."""

    NO_LONGER = "no_longer_offered"
    OTHER_VALVE = "another_valve"
    OTHER_VERDICT = "another_verdict"
    FIGURES = "figures_changed"
    INPUTS = "inputs_changed"
    UNCHANGED = "unchanged"

    @property
    def is_valid(self) -> bool:
        """Whether a reader would be shown the same."""
        return self in (RecordStatus.INPUTS, RecordStatus.UNCHANGED)


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureChange:
    """A printed text that is another; "" where there is none."""

    part: str
    row: str
    label: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class ChangedInput:
    """A file, or a program, by hash or version; "" where it was not used."""

    name: str
    was: str
    now: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordCheck:
    """A record and what has become of its answer.

    `reason` says why there is no answer now; `now` is then None, as it is without an answer of any kind.
    """

    file: str
    old: CaseRecord
    now: CaseRecord | None
    status: RecordStatus
    figures: tuple[FigureChange, ...] = ()
    inputs: tuple[ChangedInput, ...] = ()
    reason: str = ""


def check_record(file: str, old: CaseRecord, now: CaseRecord) -> RecordCheck:
    """Compare a record with the answer of today.

    A figure that answers did not print then makes no difference; a new note may be a warning, which does.
    """
    figures = tuple(_figure_changes(old, now))
    inputs = (*_other(old.inputs, now.inputs), *_other(old.versions, now.versions))
    pairs = list(itertools.zip_longest(old.valves, now.valves, fillvalue=""))
    if any(was and not own for was, own in pairs):
        status = RecordStatus.NO_LONGER
    elif old.valves != now.valves:
        status = RecordStatus.OTHER_VALVE
    elif old.passed != now.passed:
        status = RecordStatus.OTHER_VERDICT
    elif any(own.was or own.label == wording.NOTE() for own in figures):
        status = RecordStatus.FIGURES
    else:
        status = RecordStatus.INPUTS if inputs else RecordStatus.UNCHANGED
    return RecordCheck(file=file, old=old, now=now, status=status, figures=figures, inputs=inputs)


def _figure_changes(old: CaseRecord, now: CaseRecord) -> Iterator[FigureChange]:
    """Texts that differ, in the order of the record; what is new comes last.

    A section that answers did not have then is no difference.
    """
    before, after = _by_place(old.figures), _by_place(now.figures)
    parts = {place[0] for place in before}
    for place in {**before, **after}:
        was, own = before.get(place, ""), after.get(place, "")
        if was != own and place[0] in parts:
            yield FigureChange(part=place[0], row=place[1], label=place[2], was=was, now=own)


def _by_place(figures: tuple[PrintedFigure, ...]) -> dict[tuple[str, str, str, str], str]:
    """Texts by what they are of and their label; notes, of which there are several, by themselves."""
    note = wording.NOTE()
    return {(own.part, own.row, own.label, own.text if own.label == note else ""): own.text for own in figures}


def _other(old: Mapping[str, str], now: Mapping[str, str]) -> Iterator[ChangedInput]:
    for name in sorted({*old, *now}):
        if old.get(name) != now.get(name):
            yield ChangedInput(name, old.get(name, ""), now.get(name, ""))
