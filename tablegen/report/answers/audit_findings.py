"""Findings of an audit in words and printed figures."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tablegen.audits.findings import FindingKind, LimitKind
from tablegen.model.liquid_supply import USUAL_SUBCOOLING_K
from tablegen.physics.reasons import Reason
from tablegen.report.formatter import DASH, percent, ratio
from tablegen.report.minimum_opening_texts import opening, seconds
from tablegen.tables.minimum_openings import SLOWEST_BULB_S
from tablegen.wording import audit as wording
from tablegen.wording import minimum_openings as opening_wording
from tablegen.wording import terms
from tablegen.wording.message import listed, placeholders

if TYPE_CHECKING:
    from tablegen.audits.findings import Finding, FindingLine
    from tablegen.model.inputs import Catalogue, Family
    from tablegen.report.formatter import Formatter

# More gaps of one row than these are counted, not named.
_MAX_RANGES = 6


class FindingWriter:
    """Puts findings into words, in one unit system; head pressures are gauge readings at the site of the application."""

    def __init__(self, formatter: Formatter, catalogue: Catalogue) -> None:
        self._formatter, self._catalogue = formatter, catalogue

    def where(self, line: FindingLine) -> str:
        """The table by the names that configs have, sizes and rows."""
        first = line.first
        parts = [name for name in (first.family, first.group, first.application) if name]
        if first.size:
            parts.append(self._sizes(line))
        rows = sorted({f.sst_k for f in line.findings if not math.isnan(f.sst_k)})
        if rows:
            low, high = self._formatter.temperature(rows[0]), self._degrees(rows[-1])
            parts.append(wording.SST(sst=high if len(rows) == 1 else terms.RANGE(low=low, high=high)))
        return ", ".join(parts)

    def text(self, line: FindingLine) -> str:
        """What was found, with the figures of the window where it is largest; "" where the kind says all."""
        finding = line.widest
        write = {
            FindingKind.GAP: self._gap,
            FindingKind.ROUNDING_GAP: self._overlap,
            FindingKind.THIN_OVERLAP: self._overlap,
            FindingKind.GROUP_LOSS: self._group_loss,
            FindingKind.TURN: self._turn,
            FindingKind.NARROW: self._narrow,
            FindingKind.NOT_PRINTED: self._narrow,
            FindingKind.NOT_RISING: self._not_rising,
            FindingKind.BETWEEN_HEADS: self._stricter,
            FindingKind.SUBCOOLING_CORNER: self._stricter,
            FindingKind.OTHER_RESPONSE: self._stricter,
            FindingKind.BETWEEN_ROWS: self._between_rows,
            FindingKind.SHUT_BETWEEN_HEADS: self._blocked,
            FindingKind.UNUSUAL_SUBCOOLING: self._subcooling,
            FindingKind.HUNTS_BY_LOOP: self._minimum_opening,
        }.get(line.kind, self._other)
        text = write(line)
        return wording.WITHIN_ROUNDING(finding=text) if finding.is_mild else text

    def _degrees(self, kelvin: float, places: int | None = None) -> str:
        return self._formatter.degrees(kelvin, places)

    def _family(self, finding: Finding) -> Family:
        return self._catalogue.families[finding.family]

    def _size(self, finding: Finding) -> str:
        return self._family(finding).size_name(finding.size)

    def _other_size(self, finding: Finding) -> str:
        return self._family(finding).size_name(finding.other_size)

    def _sizes(self, line: FindingLine) -> str:
        named = {name for f in line.findings for name in (f.size, f.other_size) if name}
        names = [size.display_name for size in self._family(line.first).sizes if size.name in named]
        return wording.SIZE(size=names[0]) if len(names) == 1 else wording.SIZES(first=names[0], last=names[-1])

    def _load(self, watt: float) -> str:
        return self._formatter.with_load_unit(self._formatter.load(watt))

    def _limit(self, finding: Finding, watt: float) -> str:
        """A limit as it is printed: a minimum load up, a maximum down."""
        minimum, maximum = self._formatter.window(watt, watt)
        return self._formatter.with_load_unit(minimum if finding.limit is LimitKind.MINIMUM else maximum)

    def _gap(self, line: FindingLine) -> str:
        """The gaps of the row in which one is widest, as load ranges."""
        widest = line.widest
        own = [f for f in line.findings if f.sst_k == widest.sst_k]
        ranges = [self._range(f) for f in own[:_MAX_RANGES]]
        if len(own) > _MAX_RANGES:
            ranges.append(wording.MORE_RANGES(len(own) - _MAX_RANGES))
        unit = self._formatter.load_label
        return wording.GAPS(sst=self._degrees(widest.sst_k), ranges=listed(ranges), unit=unit)

    def _range(self, finding: Finding) -> str:
        """A range that no print covers: from a maximum load, rounded down, to a minimum one, rounded up."""
        minimum, maximum = self._formatter.window(finding.to_load_w, finding.from_load_w)
        between = f"{maximum}{DASH}{minimum}"
        return wording.RANGE(range=between, smaller=self._size(finding), larger=self._other_size(finding))

    def _overlap(self, line: FindingLine) -> str:
        finding = min(line.findings, key=lambda f: f.shift)
        smaller, larger, sst = self._size(finding), self._other_size(finding), self._degrees(finding.sst_k)
        if line.kind is FindingKind.THIN_OVERLAP:
            return wording.THIN_OVERLAP(smaller=smaller, larger=larger, share=percent(finding.shift, 1), sst=sst)
        load = self._load(finding.from_load_w)
        return wording.ROUNDING_GAP(smaller=smaller, larger=larger, sst=sst, load=load)

    def _group_loss(self, line: FindingLine) -> str:
        finding = min(line.findings, key=lambda f: f.share)
        return wording.GROUP_LOSS(
            sst=self._degrees(finding.sst_k),
            share=percent(finding.share),
            min_members=listed(sorted({f.refrigerant for f in line.findings})),
            max_members=listed(sorted({f.max_refrigerant for f in line.findings})),
        )

    def _turn(self, line: FindingLine) -> str:
        finding = line.first
        assert finding.turn is not None
        assert finding.limit is not None
        rows = listed([self._degrees(k) for k in sorted({f.sst_k for f in line.findings})])
        return wording.TURNS[finding.turn](limit=wording.LIMITS[finding.limit](), sst=rows)

    def _narrow(self, line: FindingLine) -> str:
        finding = min(line.findings, key=lambda f: f.shift)
        figure, sst = ratio(finding.to_load_w / finding.from_load_w), self._degrees(finding.sst_k)
        if not finding.load_unit:
            return wording.NARROW(ratio=figure, sst=sst)
        return wording.NARROW_IN(unit=finding.load_unit, ratio=figure, sst=sst)

    def _not_rising(self, line: FindingLine) -> str:
        finding = line.widest
        assert finding.limit is not None
        return wording.NOT_RISING(
            limit=wording.LIMITS[finding.limit](),
            larger=self._other_size(finding),
            smaller=self._size(finding),
            high=self._load(finding.to_load_w),
            low=self._load(finding.from_load_w),
        )

    def _between_rows(self, line: FindingLine) -> str:
        finding = line.widest
        sst = self._degrees(finding.to_sst_k, 2)
        if finding.limit is None:
            reason = _reason(finding)
            return wording.EMPTY_BETWEEN_ROWS(sst=sst, refrigerant=finding.refrigerant, reason=reason)
        limit = wording.LIMITS[finding.limit]()
        return wording.BETWEEN_ROWS(sst=sst, limit=limit, shift=percent(abs(finding.shift), 2))

    def _minimum_opening(self, line: FindingLine) -> str:
        finding = line.first
        stated = opening(finding.assumed_opening)
        if math.isnan(finding.bulb_s):
            bulb = opening_wording.NO_BULB()
        elif math.isinf(finding.needed_bulb_s):
            bulb = opening_wording.NOT_AT_ANY(stated=stated, slowest=seconds(SLOWEST_BULB_S))
        else:
            bulb = opening_wording.WOULD_NEED(stated=stated, needed=seconds(finding.needed_bulb_s))
        return opening_wording.FINDING(
            refrigerant=finding.refrigerant,
            sst=self._degrees(finding.sst_k),
            stated=stated,
            loop=opening(finding.loop_opening),
            bulb=bulb,
        )

    def _subcooling(self, line: FindingLine) -> str:
        finding = line.first
        return wording.SUBCOOLING(
            at_condition=terms.at_condition(finding.condition),
            refrigerant=finding.refrigerant,
            subcooling=self._formatter.step(finding.subcooling_k, 0),
            usual=self._formatter.step(USUAL_SUBCOOLING_K, 0),
        )

    def _blocked(self, line: FindingLine) -> str:
        finding = line.first
        reason = _reason(finding)
        return wording.BLOCKED(head=self._head(finding), refrigerant=finding.refrigerant, reason=reason)

    def _stricter(self, line: FindingLine) -> str:
        """A limit as the table has it, and as something else sets it; or a window that something else empties."""
        finding = line.widest
        response = wording.RESPONSES[finding.response]() if finding.response else ""
        values = {"refrigerant": finding.refrigerant}
        if line.kind is FindingKind.BETWEEN_HEADS:
            values["head"] = self._head(finding)
        elif line.kind is FindingKind.OTHER_RESPONSE:
            values["response"] = response
        if finding.limit is None:
            is_response = line.kind is FindingKind.OTHER_RESPONSE
            empty = wording.EMPTY_WITH_RESPONSE if is_response else wording.EMPTY_OTHERWISE
            return empty(**values, reason=_reason(finding))
        return wording.STRICTER[line.kind](
            **values,
            limit=wording.LIMITS[finding.limit](),
            shift=percent(abs(finding.shift), 2),
            size=self._size(finding),
            sst=self._degrees(finding.sst_k),
            table=self._limit(finding, finding.from_load_w),
            found=self._limit(finding, finding.to_load_w),
        )

    def _head(self, finding: Finding) -> str:
        site = self._catalogue.applications[finding.application].site_pressure_pa
        return self._formatter.with_gauge_unit(self._formatter.gauge(finding.head_pressure_pa, site))

    def _other(self, line: FindingLine) -> str:
        """What a kind without a sentence of its own has: a problem of a file, a limit, a reason, a note."""
        finding = line.widest
        if finding.problem is not None:
            return _file_problem(finding)
        if finding.limit is not None:
            return self._printed(finding)
        if finding.reason:
            reason, who = _reason(finding), finding.refrigerant
            return wording.OF_REFRIGERANT(refrigerant=who, reason=reason) if who else reason
        return finding.note

    def _printed(self, finding: Finding) -> str:
        """A limit as it was printed, and as it was computed."""
        assert finding.limit is not None
        read, found = (
            wording.NONE_COMPUTED() if math.isnan(watt) else text(watt)
            for watt, text in (
                (finding.from_load_w, self._load),
                (finding.to_load_w, lambda watt: self._limit(finding, watt)),
            )
        )
        values = {
            "limit": wording.LIMITS[finding.limit](),
            "size": self._size(finding),
            "sst": self._degrees(finding.sst_k),
            "read": read,
            "found": found,
        }
        if finding.file:
            return wording.PRINTED(file=finding.file, **values)
        return wording.PRINTED_IN(unit=finding.load_unit, **values)


def _reason(finding: Finding) -> str:
    """A reason of the closed list in words; anything else as it is."""
    return terms.reason(finding.reason) if finding.reason in set(Reason) else finding.reason


def _file_problem(finding: Finding) -> str:
    assert finding.problem is not None
    message = wording.FILE_PROBLEMS[finding.problem]
    values = {"file": finding.file, "note": finding.note}
    return message(**{name: values[name] for name in placeholders(message.text)})


def kind_title(kind: FindingKind) -> str:
    """A kind of finding as a title."""
    text = terms.FINDINGS[kind]()
    return text[:1].upper() + text[1:]
