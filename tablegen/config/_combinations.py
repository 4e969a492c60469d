"""Families x groups x applications, without what rules leave out and what families are not approved for."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import TypeAlias

from tablegen.config._catalogue_model import GroupModel, LeaveOutModel
from tablegen.config._families import FamilyFile
from tablegen.config._reader import Reader
from tablegen.config.document import ConfigDocument
from tablegen.errors import unknown
from tablegen.model.inputs import Combination, LeaveOutRule
from tablegen.model.registry import Registry
from tablegen.wording import config_errors as wording

# Every name that a rule may use, by key: whatever there is, also what the catalogue does not list.
Known: TypeAlias = Mapping[str, Collection[str]]
_RULE_OF = {
    "family": wording.FAMILY_OF_RULE,
    "group": wording.GROUP_OF_RULE,
    "application": wording.APPLICATION_OF_RULE,
}
_HINT = {
    "family": wording.KEEP_FAMILY,
    "group": wording.KEEP_GROUP,
    "application": wording.KEEP_APPLICATION,
}


def check_rules(reader: Reader, document: ConfigDocument, rules: Sequence[LeaveOutModel], known: Known) -> bool:
    """Whether the names in `leave_out` are among the known ones of their key; problems are noted by the reader."""
    before = len(reader.problems)
    for index, rule in enumerate(rules):
        for key, names in known.items():
            for place, name in enumerate(rule.named(key)):
                if name not in names:
                    is_list = ("leave_out", index, key, place) in document.places
                    path = ("leave_out", index, key, place) if is_list else ("leave_out", index, key)
                    reader.refuse(document, path, f"{unknown(_RULE_OF[key](), name, names)}; {_HINT[key]()}")
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
    made = [
        LeaveOutRule(
            families=r.named("family"), groups=r.named("group"), applications=r.named("application"), why=r.why
        )
        for r in rules
    ]
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
        reasons[family, group] = next(filter(None, whys), "")
        if any(whys) and not all(whys):
            text = wording.APPROVED_FOR_SOME(
                family=families[family].model.name, reason=reasons[family, group].removesuffix(".")
            )
            reader.refuse(document, ("groups", group, "members"), text)
    rules = []
    for (family, group), why in reasons.items():
        taken = tuple(c.application for c in combinations if (c.family, c.group) == (family, group))
        if why:
            rules.append(
                LeaveOutRule(families=(family,), groups=(group,), applications=taken, why=why, count=len(taken))
            )
    return tuple(c for c in combinations if not reasons[c.family, c.group]), tuple(rules)
