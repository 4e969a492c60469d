"""Valve families and what they are combined with: what their files must agree on with each other, with the refrigerants
and with the rules of a catalogue.
"""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from tablegen.config._catalogue_model import GroupModel, LeaveOutModel
from tablegen.config._charge_model import ChargeCheck, ChargeModel
from tablegen.config._reader import Reader
from tablegen.config.document import ConfigDocument, KeyPath
from tablegen.config.family_model import FamilyModel, ThermostaticModel
from tablegen.errors import BadValue, unknown
from tablegen.model.inputs import Family, PowerElement
from tablegen.model.offered_choices import Approval
from tablegen.model.publications import Combination, LeaveOutRule
from tablegen.model.registry import Registry
from tablegen.physics.flow import FlowLaw
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.valve import ForceBalance
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors

# Every name that a rule may use, by key: whatever there is, also what the catalogue does not list.
Known: TypeAlias = Mapping[str, Collection[str]]
# For each of these what an unknown name is none of, and how to keep what is left out by mistake.
_OF_RULE = {
    "family": (wording.FAMILY_OF_RULE, wording.KEEP_FAMILY),
    "group": (wording.GROUP_OF_RULE, wording.KEEP_GROUP),
    "application": (wording.APPLICATION_OF_RULE, wording.KEEP_APPLICATION),
}


@dataclass(frozen=True, slots=True)
class FamilyFile:
    """A sound family file; of its charges those for `members` alone are looked at, all of them without it."""

    document: ConfigDocument
    model: FamilyModel
    members: Collection[str] | None = None

    def charges(self) -> Iterator[tuple[int, ChargeModel]]:
        """The charges that are looked at, with their index in the file."""
        for index, charge in enumerate(self.model.charges if isinstance(self.model, ThermostaticModel) else ()):
            if self.wanted(charge):
                yield index, charge

    def wanted(self, charge: ChargeModel) -> list[tuple[int, str]]:
        """The refrigerants of a charge that are looked at, with their index in the file."""
        return [(i, name) for i, name in enumerate(charge.refrigerants) if self.members is None or name in self.members]

    def refrigerants(self) -> list[str]:
        """The refrigerants that the valves are rated with, set with, charged with or offered for."""
        names = [self.model.rating.refrigerant] if self.model.rating else []
        for _, charge in self.charges():
            names += [charge.setting.refrigerant, *([charge.fluid] if charge.fluid else [])]
            names += [name for _, name in self.wanted(charge)]
        return names

    def why_not(self, refrigerant: str, registry: Registry) -> str:
        """Why the family is not approved for a refrigerant, as a sentence; empty where it is."""
        return self.model.approved.into(Approval).why_not(refrigerant, registry.records[refrigerant].safety_group)

    def inputs(self, reader: Reader, refrigerants: Mapping[str, Refrigerant]) -> Family | None:
        """The family; None if its rating cannot be used.  Problems are noted by the reader."""
        model, rating = self.model, self.model.rating
        if rating is not None and rating.refrigerant not in refrigerants:
            what = input_errors.A_REFRIGERANT()
            reader.refuse_unknown(self.document, ("rating", "refrigerant"), what, rating.refrigerant, refrigerants)
            return None
        if rating is not None:
            flow = rating.inputs(refrigerants).capacity(
                np.asarray(1.0), model.flow_law, model.recovery, model.discharge
            )
            if model.discharge is not None and not np.isfinite(float(flow)):
                plain = rating.inputs(refrigerants).capacity(np.asarray(1.0), FlowLaw.ORIFICE, np.nan)
                if float(plain) > 0.0:
                    reader.refuse(self.document, ("rating",), wording.RATING_OUTSIDE_FLOW_LAW())
                    return None
            if not float(flow) > 0.0:
                reader.refuse(self.document, ("rating",), wording.NO_RATED_FLOW())
                return None
        if not isinstance(model, ThermostaticModel):
            designs = [model.design_inputs(own, [model.with_design(own).drive()]) for own in model.port_designs]
            return self._checked(reader, model.inputs([model.drive()], refrigerants, designs))
        set_charges: list[tuple[ChargeModel, ForceBalance]] = []
        for index, charge in self.charges():
            check = ChargeCheck(
                found=reader,
                document=self.document,
                index=index,
                charge=charge,
                wanted=self.wanted(charge),
                refrigerants=refrigerants,
            )
            balance = check.balance(model.port.unbalance)
            if balance is not None:
                set_charges.append((charge, balance))

        def elements(of: ThermostaticModel) -> list[PowerElement]:
            return [charge.element(of.actuator(charge, balance), refrigerants) for charge, balance in set_charges]

        designs = [model.design_inputs(own, elements(model.with_design(own))) for own in model.port_designs]
        return self._checked(reader, model.inputs(elements(model), refrigerants, designs))

    def _checked(self, reader: Reader, family: Family) -> Family:
        """The family; what its sizes cannot be with the loss of their connections is noted."""
        for i, size in enumerate(family.sizes):
            most = size.connection_kv_m3h
            if most is not None and not size.kv_rated_m3h < most:
                rule = wording.CONNECTIONS_TOO_SMALL(size=size.display_name, kv=f"{size.kv_rated_m3h:.4g}")
                reader.refuse(self.document, self._loss_path(i), rule)
        for i, (before, size) in enumerate(itertools.pairwise(family.sizes), start=1):
            kv = [own.kv_rated_m3h for own in (before, size)]
            # As written they ascend; a loss may change their order.
            if size.is_kv_of_port and not kv[1] > kv[0]:
                rule = wording.KV_WITH_CONNECTIONS_ASCENDS(kv=f"{kv[1]:.4g}", before=f"{kv[0]:.4g}")
                reader.refuse(self.document, self._loss_path(i), rule)
        return family

    def _loss_path(self, i: int) -> KeyPath:
        """Where the loss of a size's connections is given."""
        size, key = self.model.sizes[i], "connection_loss"
        if size.connection_loss is not None:
            return ("sizes", i, key, "kv")
        for j, design in enumerate(self.model.port_designs):
            if design.design == size.port_design and design.connection_loss is not None:
                return ("port_designs", j, key, "kv")
        return (key, "kv") if self.model.connection_loss is not None else ("sizes", i)


def check_family_names(reader: Reader, families: Mapping[str, FamilyFile]) -> None:
    """No family has the name of another one, as key or in print, for commands take either."""
    taken = {key.casefold(): key for key in families}
    for key, own in families.items():
        owner = taken.setdefault(own.model.name.casefold(), key)
        if owner != key:
            rule = wording.FAMILY_NAME_TAKEN(owner=owner, file=families[owner].document.file)
            reader.refuse(own.document, ("name",), str(BadValue(repr(own.model.name), rule)))


def check_approved(reader: Reader, document: ConfigDocument, names: Sequence[str], registry: Registry) -> None:
    """Approved refrigerants are known; problems are noted by the reader."""
    for index, name in enumerate(names):
        if name not in registry:
            path = ("approved", "refrigerants", index)
            reader.refuse_unknown(document, path, input_errors.A_REFRIGERANT(), name, registry)


def check_approvals(reader: Reader, families: Iterable[FamilyFile], registry: Registry) -> None:
    """Approved refrigerants are known, and no charge is for one that is not approved."""
    for own in families:
        check_approved(reader, own.document, own.model.approved.refrigerants, registry)
        for index, charge in own.charges():
            for place, name in own.wanted(charge):
                # An unknown name is reported with the charge.
                if name in registry and (why := own.why_not(name, registry)):
                    rule = wording.SEE_APPROVED(reason=f"{why[0].lower()}{why[1:-1]}")
                    below = ("charges", index, "refrigerants", place)
                    reader.refuse(own.document, below, str(BadValue(repr(name), rule)))


def check_rules(reader: Reader, document: ConfigDocument, rules: Sequence[LeaveOutModel], known: Known) -> bool:
    """Whether the names in `leave_out` are among the known ones of their key; problems are noted by the reader."""
    before = len(reader.problems)
    for index, rule in enumerate(rules):
        for key, names in known.items():
            for place, name in enumerate(rule.named(key)):
                if name not in names:
                    what, hint = _OF_RULE[key]
                    path: KeyPath = ("leave_out", index, key, place)
                    # A single name stands for a list of one.
                    path = path if path in document.places else path[:-1]
                    reader.refuse(document, path, f"{unknown(what(), name, names)}; {hint()}")
    return len(reader.problems) == before


def without_left_out(
    reader: Reader,
    document: ConfigDocument,
    rules: Sequence[LeaveOutModel],
    combinations: Sequence[Combination],
    known: Known,
) -> tuple[tuple[Combination, ...], tuple[LeaveOutRule, ...]]:
    """What the rules leave, and those rules that take something with how much each takes.

    A rule that could take nothing whatever the catalogue listed of all `known` names is a problem; one whose families,
    groups or applications are not in use is none.
    """
    made = [rule.inputs() for rule in rules]
    first = [_first(made, combination) for combination in combinations]
    left = tuple(c for c, rule in zip(combinations, first, strict=True) if rule is None)
    counts = [first.count(index) for index in range(len(made))]
    if not all(counts):
        every = (Combination(f, g, e) for f in known["family"] for g in known["group"] for e in known["application"])
        useful = {_first(made, combination) for combination in every}
        for index, count in enumerate(counts):
            if not count and index not in useful:
                reader.refuse(document, ("leave_out", index), wording.RULE_TAKES_NOTHING())
    if not left:
        reader.refuse(document, ("leave_out",), wording.NOTHING_LEFT())
    return left, tuple(replace(rule, count=count) for rule, count in zip(made, counts, strict=True) if count)


def _first(rules: Sequence[LeaveOutRule], combination: Combination) -> int | None:
    """The first rule that takes a combination."""
    return next((index for index, rule in enumerate(rules) if rule.takes(combination)), None)


def without_unapproved(
    reader: Reader,
    document: ConfigDocument,
    families: Mapping[str, FamilyFile],
    groups: Mapping[str, GroupModel],
    registry: Registry,
    combinations: Sequence[Combination],
) -> tuple[tuple[Combination, ...], tuple[LeaveOutRule, ...]]:
    """The combinations whose family is approved for the group's members, and a rule for those that are not.

    A group is one table: a family that is approved for some of its members alone is a problem of `document`.
    """
    reasons: dict[tuple[str, str], str] = {}
    for family, group in dict.fromkeys((c.family, c.group) for c in combinations):
        whys = [families[family].why_not(member, registry) for member in groups[group].members]
        why = reasons[family, group] = next(filter(None, whys), "")
        if any(whys) and not all(whys):
            text = wording.APPROVED_FOR_SOME(family=families[family].model.name, reason=why.removesuffix("."))
            reader.refuse(document, ("groups", group, "members"), text)
    rules = []
    for (family, group), why in reasons.items():
        taken = tuple(c.application for c in combinations if (c.family, c.group) == (family, group))
        if why:
            rules.append(
                LeaveOutRule(families=(family,), groups=(group,), applications=taken, why=why, count=len(taken))
            )
    return tuple(c for c in combinations if not reasons[c.family, c.group]), tuple(rules)
