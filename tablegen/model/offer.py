"""What a catalogue offers: the one set of rules that every answer, page and chart takes its valves from.

A family is offered for a group in an application if the catalogue combines the three: no rule under `leave_out` takes
the combination away and the family is approved for every member.  For one refrigerant it is offered if it is for some
group with that refrigerant.  Nothing is offered outside an application's suction temperatures.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tablegen.errors import RequestError, both_scales, unknown
from tablegen.model.inputs import Application, Catalogue, Family
from tablegen.model.names import family_of
from tablegen.model.publications import Combination, LeaveOutRule
from tablegen.model.valve_kinds import is_of_kind, valve_kind_named
from tablegen.wording import input_errors
from tablegen.wording import offers as wording
from tablegen.wording import valve_kinds as kind_wording
from tablegen.wording.message import listed

# A temperature that was written in another unit differs in the last figures.
_NEAR_K = 1e-6


@dataclass(frozen=True, slots=True)
class Refusal:
    """A family that is not offered, and why, as a sentence."""

    family: str
    why: str


@dataclass(frozen=True, slots=True)
class Offer:
    """What is offered for a refrigerant or group in one application: families by name, and those that are not."""

    families: tuple[str, ...]
    refused: tuple[Refusal, ...]

    def why_not(self, family: str) -> str:
        """Why a family is not offered; empty where it is."""
        return next((r.why for r in self.refused if r.family == family), "")


@dataclass(frozen=True, slots=True)
class Rules:
    """What decides on an offer: families and groups (with their members) by name, combinations and left-out rules."""

    families: Sequence[str]
    groups: Mapping[str, Sequence[str]]
    combinations: Sequence[Combination]
    left_out: Sequence[LeaveOutRule]

    @classmethod
    def of(cls, catalogue: Catalogue) -> Rules:
        """The rules of a catalogue."""
        groups = {name: group.members for name, group in catalogue.groups.items()}
        return cls(tuple(catalogue.families), groups, catalogue.combinations, catalogue.left_out)

    def groups_of(self, name: str) -> tuple[str, ...]:
        """The group of that name, or the groups with a refrigerant of that name; a group's name comes first."""
        if name in self.groups:
            return (name,)
        return tuple(group for group, members in self.groups.items() if name in members)

    def offer(self, name: str, application: str) -> Offer:
        """What is offered for a refrigerant or group in an application; nothing for a name that is in no group."""
        groups = self.groups_of(name)
        combined = {(c.family, c.group) for c in self.combinations if c.application == application}
        families = tuple(f for f in self.families if any((f, group) in combined for group in groups))
        refused = tuple(
            Refusal(f, self._reason(Combination(f, groups[0], application)))
            for f in self.families
            if groups and f not in families
        )
        return Offer(families, refused)

    def _reason(self, combination: Combination) -> str:
        """The reason of the first rule that takes a combination away."""
        whys = (rule.why for rule in self.left_out if rule.takes(combination))
        return next(whys, wording.NOT_COMBINED())


def offer(catalogue: Catalogue, name: str, application: str) -> Offer:
    """What a catalogue offers for a refrigerant or group in an application.

    Raises
    ------
    RequestError
        If the catalogue has no such application, no such refrigerant or group, or offers no family at all; the
        message gives the rules' reasons.
    """
    if application not in catalogue.applications:
        raise RequestError(unknown(input_errors.AN_APPLICATION(), application, catalogue.applications))
    rules = Rules.of(catalogue)
    if not rules.groups_of(name):
        raise unknown_refrigerant(catalogue, name)
    found = rules.offer(name, application)
    if not found.families:
        reasons = " ".join(dict.fromkeys(r.why for r in found.refused))
        raise RequestError(wording.NO_VALVE(refrigerant=name, application=application, reasons=reasons))
    return found


def unknown_refrigerant(catalogue: Catalogue, name: str) -> RequestError:
    """What is wrong with a name of no refrigerant and no group: for a refrigerant that there is no other one is meant."""
    known = list(dict.fromkeys([*catalogue.refrigerants, *catalogue.groups]))
    if name in catalogue.known_refrigerants:
        return RequestError(input_errors.IN_NO_GROUP(refrigerant=str(name), known=", ".join(known)))
    return RequestError(unknown(input_errors.A_REFRIGERANT_OR_GROUP(), name, known))


def offers(catalogue: Catalogue) -> dict[str, dict[str, Offer]]:
    """What is offered by application and by refrigerant or group, for whoever cannot ask again."""
    rules = Rules.of(catalogue)
    names = dict.fromkeys((*catalogue.refrigerants, *catalogue.groups))
    return {own: {name: rules.offer(name, own) for name in names} for own in catalogue.applications}


def charges_of(catalogue: Catalogue, family: str, name: str, application: str) -> dict[str, str]:
    """The bulb charge that a family fits for each member of a group (or for one refrigerant); without one, no entry."""
    kind = catalogue.applications[application].temperature_range
    members = catalogue.groups[name].members if name in catalogue.groups else (name,)
    elements = {m: catalogue.families[family].element_for(m, kind) for m in members}
    return {m: element.name for m, element in elements.items() if element is not None}


def different_charges(catalogue: Catalogue, family: str, name: str, application: str) -> str:
    """The bulb charges that a family fits for the members of a group, as a list, where they differ; else nothing."""
    charges = charges_of(catalogue, family, name, application)
    if len(set(charges.values())) < 2:
        return ""
    return ", ".join(wording.CHARGE_FOR(charge=charge, refrigerant=member) for member, charge in charges.items())


def mixed_charges(catalogue: Catalogue) -> dict[tuple[str, str], str]:
    """Families and groups whose members take different bulb charges, with a list of these.

    A group is one table and one valve in one box, so such a table would name the wrong charge for some member.
    """
    found: dict[tuple[str, str], str] = {}
    for c in catalogue.combinations:
        listed = different_charges(catalogue, c.family, c.group, c.application)
        if listed:
            found.setdefault((c.family, c.group), listed)
    return found


def without_charge(catalogue: Catalogue) -> list[Combination]:
    """The combinations whose family has no bulb charge for any member: tables in which every window is empty."""
    return [c for c in catalogue.combinations if not charges_of(catalogue, c.family, c.group, c.application)]


def offered_families(
    catalogue: Catalogue, name: str, application: str, family: str | None = None, valve_kind: str | None = None
) -> list[Family]:
    """The families that a catalogue offers for a case, those of one kind of valve, or the one that is asked for.

    Raises
    ------
    RequestError
        As `offer` and `valve_kind_named`, and if the family asked for is not in the catalogue, not offered here or of
        another kind, or none of the kind is offered here.
    """
    found = offer(catalogue, name, application)
    if family is None:
        offered = [catalogue.families[own] for own in found.families]
        of_kind = [own for own in offered if is_of_kind(own, valve_kind)]
        if not of_kind and valve_kind is not None:
            kind = kind_wording.NAMES[valve_kind_named(valve_kind)]()
            there = listed(
                [
                    kind_wording.FAMILY_OF_KIND(family=own.display_name, kind=kind_wording.NAMES[own.kind]())
                    for own in offered
                ]
            )
            raise RequestError(
                kind_wording.NOT_OFFERED(kind=kind, refrigerant=name, application=application, families=there)
            )
        return of_kind
    own = family_of(catalogue.families, family)
    if own.name not in found.families:
        why = found.why_not(own.name)
        raise RequestError(
            wording.NOT_OFFERED_IN(family=own.display_name, refrigerant=name, application=application, reason=why)
        )
    if valve_kind is not None and not is_of_kind(own, valve_kind):
        kinds = kind_wording.NAMES[own.kind](), kind_wording.NAMES[valve_kind_named(valve_kind)]()
        raise RequestError(kind_wording.OTHER_KIND(family=own.display_name, kind=kinds[0], asked=kinds[1]))
    return [own]


def refuse_different_charges(catalogue: Catalogue, families: Sequence[Family], name: str, application: str) -> None:
    """Refuse a group for whose members one of the families fits different bulb charges.

    Raises
    ------
    RequestError
        If there is one.
    """
    for family in families:
        charges = different_charges(catalogue, family.name, name, application)
        if charges:
            raise RequestError(wording.MIXED_CHARGES(family=family.display_name, group=name, charges=charges))


def refuse_unapproved(catalogue: Catalogue, family: Family, refrigerant: str) -> None:
    """Refuse a refrigerant that a family is not approved for.

    Raises
    ------
    RequestError
        If it is not.
    """
    why = family.approved.why_not(refrigerant, catalogue.records[refrigerant].safety_group)
    if why:
        raise RequestError(wording.NOT_OFFERED_FOR(family=family.display_name, refrigerant=refrigerant, reason=why))


def covers(application: Application, sst_k: float) -> bool:
    """Whether a suction temperature [K] lies within those of an application."""
    return bool(application.sst_k[0] - _NEAR_K <= sst_k <= application.sst_k[-1] + _NEAR_K)


def check_covered(catalogue: Catalogue, name: str, application: str, sst_k: float) -> None:
    """Refuse a suction temperature [K] outside an application's own.

    Raises
    ------
    RequestError
        If it is outside; the message names the applications that cover it, of those offered for the refrigerant.
    """
    own = catalogue.applications[application]
    if covers(own, sst_k):
        return
    others, sst = ", ".join(_covering(catalogue, name, sst_k)), both_scales(sst_k)
    if others:
        text = wording.SST_OUTSIDE(
            application=application, range=range_text(own), sst=sst, refrigerant=name, others=others
        )
    else:
        text = wording.SST_NOT_COVERED(application=application, range=range_text(own), sst=sst, refrigerant=name)
    raise RequestError(text)


def application_for(catalogue: Catalogue, name: str, sst_k: float) -> str:
    """The one application that covers a suction temperature [K] and has valves for a refrigerant or group.

    A refrigerant in no group of the catalogue has no offer of its own: every application that covers it counts.

    Raises
    ------
    RequestError
        If none does, or several do; the message lists them.
    """
    found = _covering(catalogue, name, sst_k)
    at = both_scales(sst_k)
    if len(found) == 1:
        return found[0]
    if found:
        raise RequestError(wording.SEVERAL_APPLICATIONS(sst=at, refrigerant=name, applications=", ".join(found)))
    by_range: dict[str, list[str]] = {}
    for own in offered_in(catalogue, name):
        by_range.setdefault(range_text(catalogue.applications[own]), []).append(own)
    text = [
        wording.APPLICATIONS_COVER(len(names), applications=listed(names), range=own) for own, names in by_range.items()
    ]
    for own, application in catalogue.applications.items():
        if covers(application, sst_k):
            text.append(why_no_valve(catalogue, name, own))
    raise RequestError(wording.NO_APPLICATION(refrigerant=name, sst=at, details="; ".join(text)))


def why_no_valve(catalogue: Catalogue, name: str, application: str) -> str:
    """Why no valve is offered for a refrigerant or group in an application that covers the case."""
    reasons = " ".join(dict.fromkeys(r.why for r in Rules.of(catalogue).offer(name, application).refused)).rstrip(".")
    return wording.NO_VALVE_IN(application=application, refrigerant=name, reasons=reasons)


def _covering(catalogue: Catalogue, name: str, sst_k: float) -> list[str]:
    return [own for own in offered_in(catalogue, name) if covers(catalogue.applications[own], sst_k)]


def offered_in(catalogue: Catalogue, name: str) -> list[str]:
    """The applications in which a catalogue has valves for a refrigerant or group; all for one that is in no group."""
    rules = Rules.of(catalogue)
    if rules.groups_of(name):
        return [own for own in catalogue.applications if rules.offer(name, own).families]
    if name not in catalogue.refrigerants:
        raise unknown_refrigerant(catalogue, name)
    return list(catalogue.applications)


def range_text(application: Application) -> str:
    """The suction temperatures of an application, for readers of either scale."""
    coldest, warmest = float(application.sst_k[0]), float(application.sst_k[-1])
    ends = [(kelvin * 1.8 - 459.67, kelvin - 273.15) for kelvin in (coldest, warmest)]
    (low_f, low_c), (high_f, high_c) = ((round(f, 1) + 0.0, round(c, 1) + 0.0) for f, c in ends)
    return input_errors.TEMPERATURE_RANGE(
        from_fahrenheit=f"{low_f:g}", to_fahrenheit=f"{high_f:g}", from_celsius=f"{low_c:g}", to_celsius=f"{high_c:g}"
    )
