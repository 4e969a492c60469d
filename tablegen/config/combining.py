"""Families x groups x envelopes, less what rules leave out."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import TypeAlias

from tablegen.catalogue.inputs import Combination, LeftOut
from tablegen.config.catalogue_model import LeaveOutModel
from tablegen.config.reader import Reader
from tablegen.config.source import Document
from tablegen.errors import unknown

# Every name that a rule may use, by key: whatever there is, also what the catalogue does not list.
Known: TypeAlias = Mapping[str, Collection[str]]


def check_rules(reader: Reader, document: Document, rules: Sequence[LeaveOutModel], known: Known) -> None:
    """The names in `leave_out` are among the known ones of their key; mistakes are kept by the reader."""
    for index, rule in enumerate(rules):
        for key, names in known.items():
            for place, name in enumerate(rule.named(key)):
                if name not in names:
                    is_list = ("leave_out", index, key, place) in document.places
                    path = ("leave_out", index, key, place) if is_list else ("leave_out", index, key)
                    reader.mistakes.append(document.mistake(path, unknown(f"the {key} of a rule", name, names)))


def kept_of(
    reader: Reader,
    document: Document,
    rules: Sequence[LeaveOutModel],
    combinations: Sequence[Combination],
    known: Known | None = None,
) -> tuple[tuple[Combination, ...], tuple[LeftOut, ...]]:
    """What the rules leave, and those rules that take something with how much each takes.

    A rule that could take nothing whatever the catalogue listed of all `known` names is a mistake; one whose families,
    groups or envelopes are not in use is none.  Without `known` no rule is one.
    """
    made = [LeftOut(r.named("family"), r.named("group"), r.named("envelope"), r.why, 0) for r in rules]
    first = [_first(made, combination) for combination in combinations]
    kept = tuple(c for c, rule in zip(combinations, first, strict=True) if rule is None)
    counts = [first.count(index) for index in range(len(made))]
    if known is not None and not all(counts):
        every = (Combination(f, g, e) for f in known["family"] for g in known["group"] for e in known["envelope"])
        useful = {_first(made, combination) for combination in every}
        for index, count in enumerate(counts):
            if not count and index not in useful:
                text = "it leaves out nothing: no such combination, or an earlier rule has it"
                reader.mistakes.append(document.mistake(("leave_out", index), text))
    if not kept:
        reader.mistakes.append(document.mistake(("leave_out",), "nothing is left to print"))
    return kept, tuple(replace(rule, count=count) for rule, count in zip(made, counts, strict=True) if count)


def _first(rules: Sequence[LeftOut], combination: Combination) -> int | None:
    """The first rule that takes a combination."""
    return next((index for index, rule in enumerate(rules) if _takes(rule, combination)), None)


def _takes(rule: LeftOut, combination: Combination) -> bool:
    named = ((rule.families, combination.family), (rule.groups, combination.group))
    return all(not names or name in names for names, name in (*named, (rule.envelopes, combination.envelope)))
