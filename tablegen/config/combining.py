"""Families x groups x applications, less what rules leave out and what families are not approved for."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import TypeAlias

from tablegen.config import convert
from tablegen.config.catalogue_model import GroupModel, LeaveOutModel
from tablegen.config.family_model import FamilyModel, ThermostaticModel
from tablegen.config.reader import Reader
from tablegen.config.source import Document
from tablegen.errors import unknown
from tablegen.model.inputs import Combination, LeftOut
from tablegen.model.registry import Registry

# Every name that a rule may use, by key: whatever there is, also what the catalogue does not list.
Known: TypeAlias = Mapping[str, Collection[str]]
# Where a name is kept that the catalogue does not list.
_KEPT = {"family": "its file in families/", "group": "it in groups.yaml", "application": "its file in applications/"}


def check_rules(reader: Reader, document: Document, rules: Sequence[LeaveOutModel], known: Known) -> None:
    """The names in `leave_out` are among the known ones of their key; problems are kept by the reader."""
    for index, rule in enumerate(rules):
        for key, names in known.items():
            for place, name in enumerate(rule.named(key)):
                if name not in names:
                    is_list = ("leave_out", index, key, place) in document.places
                    path = ("leave_out", index, key, place) if is_list else ("leave_out", index, key)
                    hint = f"delete the rule's name, or keep {_KEPT[key]} (the catalogue need not list it)"
                    text = f"{unknown(f'the {key} of a rule', name, names)}; {hint}"
                    reader.problems.append(document.problem(path, text))


def kept_of(
    reader: Reader,
    document: Document,
    rules: Sequence[LeaveOutModel],
    combinations: Sequence[Combination],
    known: Known | None = None,
) -> tuple[tuple[Combination, ...], tuple[LeftOut, ...]]:
    """What the rules leave, and those rules that take something with how much each takes.

    A rule that could take nothing whatever the catalogue listed of all `known` names is a problem; one whose families,
    groups or applications are not in use is none.  Without `known` no rule is one.
    """
    made = [
        LeftOut(
            families=r.named("family"), groups=r.named("group"), applications=r.named("application"), why=r.why, count=0
        )
        for r in rules
    ]
    first = [_first(made, combination) for combination in combinations]
    kept = tuple(c for c, rule in zip(combinations, first, strict=True) if rule is None)
    counts = [first.count(index) for index in range(len(made))]
    if known is not None and not all(counts):
        every = (Combination(f, g, e) for f in known["family"] for g in known["group"] for e in known["application"])
        useful = {_first(made, combination) for combination in every}
        for index, count in enumerate(counts):
            if not count and index not in useful:
                text = "it leaves out nothing: no such combination, or an earlier rule has it"
                reader.problems.append(document.problem(("leave_out", index), text))
    if not kept:
        reader.problems.append(document.problem(("leave_out",), "nothing is left to print"))
    return kept, tuple(replace(rule, count=count) for rule, count in zip(made, counts, strict=True) if count)


def _first(rules: Sequence[LeftOut], combination: Combination) -> int | None:
    """The first rule that takes a combination."""
    return next((index for index, rule in enumerate(rules) if rule.takes(combination)), None)


def approved_of(
    families: Mapping[str, tuple[Document, FamilyModel]],
    groups: Mapping[str, GroupModel],
    registry: Registry,
    combinations: Sequence[Combination],
) -> tuple[tuple[Combination, ...], tuple[LeftOut, ...]]:
    """The combinations whose family is approved for every member of the group, and rules for those that are not.

    A group is one table: a member that a family is not approved for takes the whole group from that family.
    """
    refused: dict[tuple[str, str], list[Combination]] = {}
    why: dict[tuple[str, str], str] = {}
    for c in combinations:
        if (c.family, c.group) not in refused:
            approved = convert.approval(families[c.family][1])
            reasons = (approved.why_not(m, registry.records[m].safety_group) for m in groups[c.group].members)
            why[c.family, c.group] = next((reason for reason in reasons if reason), "")
            refused[c.family, c.group] = []
        if why[c.family, c.group]:
            refused[c.family, c.group].append(c)
    kept = tuple(c for c in combinations if not why[c.family, c.group])
    rules = tuple(
        LeftOut(
            families=(family,),
            groups=(group,),
            applications=tuple(c.application for c in taken),
            why=why[family, group],
            count=len(taken),
        )
        for (family, group), taken in refused.items()
        if taken
    )
    return kept, rules


def check_mixed_approvals(
    reader: Reader,
    document: Document,
    groups: Mapping[str, GroupModel],
    registry: Registry,
    families: Mapping[str, tuple[Document, FamilyModel]],
    combinations: Sequence[Combination],
) -> None:
    """A family is approved for all members of a group that it is combined with, or for none of them."""
    for family, group in dict.fromkeys((c.family, c.group) for c in combinations):
        approved = convert.approval(families[family][1])
        whys = [approved.why_not(m, registry.records[m].safety_group) for m in groups[group].members]
        if any(whys) and not all(whys):
            text = (
                f"{families[family][1].name} cannot be offered for the group: {next(filter(None, whys))[:-1]}; a group "
                "is one table: put that member in a group of its own, or leave the family out for this one"
            )
            reader.problems.append(document.problem(("groups", group, "members"), text))


def check_approvals(reader: Reader, family: tuple[Document, FamilyModel], registry: Registry) -> None:
    """Approved refrigerants are known, and no charge is meant for one that is not approved."""
    document, model = family
    for index, name in enumerate(model.approved.refrigerants):
        if name not in registry:
            text = unknown("a refrigerant", name, registry)
            reader.problems.append(document.problem(("approved", "refrigerants", index), text))
    approved = convert.approval(model)
    for index, charge in enumerate(model.charges if isinstance(model, ThermostaticModel) else ()):
        for place, name in enumerate(charge.refrigerants):
            # An unknown name is reported with the charge.
            why = approved.why_not(name, registry.records[name].safety_group) if name in registry else ""
            if why:
                text = f"{name!r} is not allowed; {why[0].lower()}{why[1:-1]} (see 'approved')"
                reader.problems.append(document.problem(("charges", index, "refrigerants", place), text))
