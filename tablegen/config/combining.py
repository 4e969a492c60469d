"""Families x groups x envelopes, less what rules leave out."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from tablegen.catalogue.inputs import Combination, LeftOut
from tablegen.config.catalogue_model import LeaveOutModel
from tablegen.config.reader import Reader
from tablegen.config.source import Document
from tablegen.errors import unknown


def check_rules(
    reader: Reader, document: Document, rules: Sequence[LeaveOutModel], known: Mapping[str, Collection[str]]
) -> None:
    """The names in `leave_out` are among the known ones of their key; mistakes are kept by the reader."""
    for index, rule in enumerate(rules):
        for key, names in known.items():
            for place, name in enumerate(rule.named(key)):
                if name not in names:
                    is_list = ("leave_out", index, key, place) in document.places
                    path = ("leave_out", index, key, place) if is_list else ("leave_out", index, key)
                    reader.mistakes.append(document.mistake(path, unknown(f"the {key} of a rule", name, names)))


def kept_of(
    reader: Reader, document: Document, rules: Sequence[LeaveOutModel], combinations: Sequence[Combination]
) -> tuple[tuple[Combination, ...], tuple[LeftOut, ...]]:
    """What the rules leave, and the rules with how much each takes; one that takes nothing is a mistake."""
    made = [LeftOut(r.named("family"), r.named("group"), r.named("envelope"), r.why, 0) for r in rules]
    hits = [0] * len(made)
    kept = []
    for combination in combinations:
        first = next((index for index, rule in enumerate(made) if _takes(rule, combination)), None)
        if first is None:
            kept.append(combination)
        else:
            hits[first] += 1
    for index, count in enumerate(hits):
        if not count:
            text = "it leaves out nothing: no such combination, or an earlier rule has it"
            reader.mistakes.append(document.mistake(("leave_out", index), text))
    if not kept:
        reader.mistakes.append(document.mistake(("leave_out",), "nothing is left to print"))
    return tuple(kept), tuple(replace(rule, count=count) for rule, count in zip(made, hits, strict=True))


def _takes(rule: LeftOut, combination: Combination) -> bool:
    named = ((rule.families, combination.family), (rule.groups, combination.group))
    return all(not names or name in names for names, name in (*named, (rule.envelopes, combination.envelope)))
