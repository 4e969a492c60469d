"""The answer to `suggest groups`: groups by required Kv per kW, and what is against each."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Value
from tablegen.report.answers.cases import imprint_of
from tablegen.report.formatter import percent
from tablegen.wording import suggest as wording
from tablegen.wording import terms
from tablegen.wording.message import listed

if TYPE_CHECKING:
    from tablegen.model.inputs import Catalogue
    from tablegen.report.formatter import Formatter
    from tablegen.tables.suggest_groups import GroupSetting, SuggestedGroup, Suggestion

# How many times the lowest dew pressure of a group the highest may be.
_MAX_PRESSURE_RATIO = 1.5


def answer_of_suggestions(
    catalogue: Catalogue,
    found: Sequence[Suggestion],
    formatter: Formatter,
    *,
    max_spread: float,
    compared_at_k: float,
    dew_pressure_pa: Mapping[str, float],
) -> Answer:
    """The answer; `dew_pressure_pa` are the refrigerants' dew pressures at one temperature [K]."""
    builder = _Builder(formatter, compared_at_k, dew_pressure_pa)
    return Answer(
        key="suggest_groups",
        heading=wording.HEADING(),
        summary=(wording.SUMMARY(spread=percent(max_spread, None)),),
        facts=(Fact.exported("max_spread", max_spread),),
        tables=(builder.every_group(found),),
        sections=tuple(
            builder.section(f"groups_{number}", catalogue.applications[own.application].title, own)
            for number, own in enumerate(found, start=1)
        ),
        notes=(wording.NOTE(),),
        imprint=dataclasses.replace(imprint_of(catalogue), keywords=tuple(catalogue.refrigerants)),
        units=formatter.system,
    )


@dataclasses.dataclass(frozen=True, slots=True)
class _Builder:
    formatter: Formatter
    compared_at_k: float
    dew_pressure_pa: Mapping[str, float]

    def every_group(self, found: Sequence[Suggestion]) -> AnswerTable:
        """All groups of all applications, for export alone."""
        names = ("application", "flow_law", "group", "refrigerants", "spread", "safety_groups", "dew_pressure_ratio")
        rows = (
            (
                own.application,
                own.flow_law,
                number,
                group.members,
                group.spread,
                group.safety_groups,
                self._ratio(group),
            )
            for own in found
            for number, group in enumerate(own.groups, start=1)
        )
        return AnswerTable(
            key="groups",
            columns=tuple(AnswerColumn((name,)) for name in names),
            rows=tuple(tuple(Value.exported(datum) for datum in row) for row in rows),
        )

    def section(self, key: str, title: str, found: Suggestion) -> Answer:
        """The groups of one application under one flow law."""
        law = wording.LAWS[found.flow_law]()
        tables = (self._groups(found), self._settings(found), self._present(found), self._left_out(found))
        return Answer(
            key=key,
            heading=wording.SECTION(application=title, law=law),
            facts=(
                Fact.exported("application", found.application),
                Fact.exported("flow_law", found.flow_law),
            ),
            tables=tuple(table for table in tables if table.rows),
        )

    def _groups(self, found: Suggestion) -> AnswerTable:
        columns = (
            AnswerColumn((), wording.GROUP(), ColumnStyle.FIGURES),
            AnswerColumn((), wording.REFRIGERANTS()),
            AnswerColumn((), wording.SPREAD(), ColumnStyle.FIGURES),
            AnswerColumn((), wording.REMARKS()),
        )
        rows = (
            (
                str(number),
                ", ".join(group.members),
                percent(group.spread, 1) if len(group.members) > 1 else wording.ALONE(),
                "; ".join(self._remarks(group)),
            )
            for number, group in enumerate(found.groups, start=1)
        )
        return AnswerTable(key="groups", columns=columns, rows=tuple(tuple(map(Value, row)) for row in rows))

    def _remarks(self, group: SuggestedGroup) -> Iterator[str]:
        """What is against a group of several members."""
        if len(group.safety_groups) > 1:
            yield wording.MIXED_SAFETY(groups=listed(group.safety_groups))
        yield from _misfits(group.settings, "flooding")
        yield from _misfits(group.settings, "shut")
        ratio = self._ratio(group)
        if ratio > _MAX_PRESSURE_RATIO:
            pressures = ((name, self.dew_pressure_pa[name]) for name in group.members)
            yield wording.PRESSURES(
                temperature=self.formatter.degrees(self.compared_at_k),
                ratio=f"{ratio:.1f}",
                pressures=", ".join(
                    wording.OF_REFRIGERANT(refrigerant=name, value=self.formatter.absolute(pressure))
                    for name, pressure in pressures
                    if math.isfinite(pressure)
                ),
            )

    def _ratio(self, group: SuggestedGroup) -> float:
        """The highest dew pressure of a group over the lowest, 1 for a single member."""
        known = [self.dew_pressure_pa[name] for name in group.members if math.isfinite(self.dew_pressure_pa[name])]
        return max(known) / min(known) if known else math.nan

    def _settings(self, found: Suggestion) -> AnswerTable:
        columns = (
            AnswerColumn(("group",), wording.GROUP(), ColumnStyle.FIGURES),
            AnswerColumn(("family",), wording.FAMILY()),
            AnswerColumn(("charge",), wording.CHARGE()),
            AnswerColumn(("setting_refrigerant",), wording.SET_FOR()),
            AnswerColumn(("refrigerants", "min_static_superheats_k"), wording.SUPERHEATS()),
        )
        rows = (
            (
                Value.of(number),
                Value.of(setting.family),
                Value.of(setting.charge),
                Value.of(setting.setting_refrigerant),
                self._superheats(setting.min_static_superheat_k),
            )
            for number, group in enumerate(found.groups, start=1)
            for setting in (group.settings if len(group.members) > 1 else ())
        )
        return AnswerTable(key="settings", title=wording.SETTINGS(), columns=columns, rows=tuple(rows))

    def _superheats(self, minimum_k: Mapping[str, float]) -> Value:
        texts = (
            wording.OF_REFRIGERANT(refrigerant=name, value=self.formatter.step(kelvin, 1))
            for name, kelvin in minimum_k.items()
        )
        return Value(", ".join(texts), (tuple(minimum_k), tuple(minimum_k.values())))

    def _present(self, found: Suggestion) -> AnswerTable:
        columns = (
            AnswerColumn(("group",), wording.GROUP()),
            AnswerColumn(("spread",), wording.SPREAD(), ColumnStyle.FIGURES),
        )
        rows = ((Value.of(name), Value(percent(spread, 1), (spread,))) for name, spread in found.present.items())
        return AnswerTable(key="present", title=wording.PRESENT(), columns=columns, rows=tuple(rows))

    def _left_out(self, found: Suggestion) -> AnswerTable:
        columns = (AnswerColumn(("refrigerant",), wording.REFRIGERANT()), AnswerColumn(("reason",), wording.REASON()))
        rows = (
            (Value.of(name), Value(terms.limit_clause(*reason.split(": ", 1)), (reason,)))
            for name, reason in found.left_out.items()
        )
        return AnswerTable(key="left_out", title=wording.LEFT_OUT(), columns=columns, rows=tuple(rows))


def _misfits(settings: Sequence[GroupSetting], kind: str) -> Iterator[str]:
    """Members that flood back ("flooding") or stay shut ("shut"), with the settings under which they do."""
    says = {"flooding": wording.FLOODS, "shut": wording.SHUT}[kind]
    where: dict[tuple[str, ...], list[str]] = {}
    for setting in settings:
        names = setting.flooding if kind == "flooding" else setting.shut
        if names:
            where.setdefault(names, []).append(f"{setting.family} {setting.charge}")
    for names, places in where.items():
        yield says(refrigerants=listed(names), settings=listed(places))
