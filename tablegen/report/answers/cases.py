"""What answers about a case of a catalogue share: the application, the operating conditions, the imprint."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tablegen.report.answer import Fact, Imprint, Value
from tablegen.report.formatter import NBSP
from tablegen.wording import offers as wording
from tablegen.wording import refrigerants, terms

if TYPE_CHECKING:
    from tablegen.model.inputs import Application, Catalogue
    from tablegen.physics.system import SystemInputs
    from tablegen.report.formatter import Formatter

CONDITIONS = ("low_head", "rating", "high_head")


def imprint_of(
    catalogue: Catalogue,
    refrigerant: str,
    *,
    subject: str = "",
    more_cautions: Sequence[str] = (),
    version: str = "",
) -> Imprint:
    """Notice and cautions of a catalogue's answer; with a version, also what data it is computed from."""
    printing = catalogue.printing
    origin = wording.DATA(
        title=printing.title, revision=printing.revision, date=printing.date.isoformat(), version=version
    )
    return Imprint(
        notice=printing.notice,
        cautions=(*more_cautions, refrigerants.PRESSURE_CAUTION()),
        origin=origin if version else "",
        subject=subject,
        author=printing.company.name,
        keywords=(refrigerant,),
        date=printing.date,
    )


def case_facts(refrigerant: str, sst_k: float) -> tuple[Fact, ...]:
    """Refrigerant and suction temperature, for export; the heading has them."""
    return Fact.exported("refrigerant", refrigerant), Fact.exported("sst_k", sst_k)


def application_facts(application: Application, was_chosen: bool) -> tuple[Fact, ...]:
    """The application, and whether nobody named it."""
    title = wording.ONLY_APPLICATION(title=application.title) if was_chosen else application.title
    return (
        Fact(("application",), wording.APPLICATION(), Value(title, (application.name,))),
        Fact.exported("application_was_chosen", was_chosen),
    )


def condition_facts(system: SystemInputs, site_pressure_pa: float, formatter: Formatter) -> tuple[Fact, ...]:
    """Low head, rating point and high head as they are stated."""
    return tuple(
        Fact((), terms.condition_title(name), Value(formatter.condition(condition, site_pressure_pa)))
        for name, condition in zip(CONDITIONS, system.conditions, strict=True)
    )


def gauge_text(pressure_pa: float, site_pressure_pa: float, formatter: Formatter) -> str:
    """An absolute pressure as a gauge reading with its unit."""
    return f"{formatter.gauge(pressure_pa, site_pressure_pa)}{NBSP}{formatter.gauge_label}"


def changed_facts(overrides: Sequence[str]) -> tuple[Fact, ...]:
    """Keys of the application that were given other values."""
    return tuple(Fact((), wording.CHANGED(), Value(text)) for text in overrides)
