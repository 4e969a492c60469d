"""The texts that a catalogue states in its own words, and the same catalogue in another language."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from tablegen.model.booklet_contents import BookletContents
from tablegen.model.company import ChangeReason, Company, PrintSettings, Revision
from tablegen.model.inputs import Application, Catalogue, Family, Group, PowerElement
from tablegen.model.offered_choices import ConnectionChoices, Offered
from tablegen.model.part_numbers import PartNumber
from tablegen.model.publications import CounterChart, LeaveOutRule
from tablegen.model.registry import PairSource, PropertyUncertainty
from tablegen.model.scatter import InstallationScatter, ProductionScatter
from tablegen.wording import own_texts as wording
from tablegen.wording.language import ENGLISH, texts_of

# What a reader of a publication meets; names are names in every language.
_STATED: Mapping[type, tuple[str, ...]] = {
    PrintSettings: ("title", "notice"),
    Company: ("tagline", "contact", "disclaimer", "cautions"),
    Revision: ("change",),
    ChangeReason: ("why",),
    Family: ("title", "note", "flow_law_reason"),
    PowerElement: ("title",),
    Offered: ("driver",),
    ConnectionChoices: ("choices",),
    Group: ("title",),
    Application: ("title", "note"),
    LeaveOutRule: ("why",),
    CounterChart: ("title",),
    BookletContents: ("title",),
}
_IN_A_LINE = ("title", "tagline")
# Sources: translated where the catalogue does so, else cited as they are.
_CITED: Mapping[type, tuple[str, ...]] = {
    Family: ("rating_source", "discharge_source"),
    Application: ("sources",),
    ProductionScatter: ("source",),
    InstallationScatter: ("source",),
    PropertyUncertainty: ("reason",),
    PairSource: ("source",),
    # As the family offers them.
    PartNumber: ("connections",),
}
# Where such values are.
PLACES = (
    "printing",
    "families",
    "groups",
    "applications",
    "left_out",
    "booklets",
    "charts",
    "records",
    "part_numbers",
)
_SENTENCE = re.compile("[A-Za-z].* | .*[A-Za-z]")
V = TypeVar("V")


def own_texts(catalogue: Catalogue) -> list[str]:
    """Every text that a catalogue states in its own words, once."""
    return list(dict.fromkeys(text for place in PLACES for text in _texts(getattr(catalogue, place)) if text))


def own_titles(catalogue: Catalogue) -> list[str]:
    """Those that are titles, which have one line."""
    return list(
        dict.fromkeys(text for place in PLACES for text in _texts(getattr(catalogue, place), _IN_A_LINE) if text)
    )


def untranslated(catalogue: Catalogue, texts: Mapping[str, str]) -> list[str]:
    """The texts of a catalogue that a translation lacks; one word is a name, which has none, and a number is a number."""
    return [text for text in own_texts(catalogue) if text not in texts and _SENTENCE.search(text)]


def printed_languages(catalogue: Catalogue) -> list[str]:
    """The languages that something of a catalogue is printed in, without their regions."""
    charts, booklets = [own.printed for own in catalogue.charts], [own.printed for own in catalogue.booklets]
    labels = [own.printed for own in catalogue.labels]
    codes = catalogue.printing.language, *(own.language for own in (*charts, *labels, *booklets))
    return sorted(set(map(texts_of, codes)))


def without_translations(catalogue: Catalogue) -> Iterator[str]:
    """A note for each language that something is printed in without the catalogue's own texts, and of English handouts."""
    lacking = [code for code in printed_languages(catalogue) if code != ENGLISH and code not in catalogue.translations]
    if lacking and (missing := untranslated(catalogue, {})):
        for code in lacking:
            yield wording.MISSING(len(missing), language=code)
    if catalogue.handouts and (code := catalogue.printing.language) != ENGLISH:
        names = dict.fromkeys(own.printed.publication for own in catalogue.handouts)
        yield wording.HANDOUT_IN_ENGLISH(len(names), names=", ".join(names), language=code)


def in_language(catalogue: Catalogue, code: str) -> Catalogue:
    """A catalogue whose own texts are those of a language, as far as it has them."""
    texts = catalogue.translations.get(texts_of(code), {})
    if not texts:
        return catalogue
    return replace(catalogue, **{place: _said(getattr(catalogue, place), texts) for place in PLACES})


def _texts(value: object, only: tuple[str, ...] = ()) -> Iterator[str]:
    """The texts that a value and what it is made of state, all or in fields of some names `only`."""
    for own in _parts(value):
        yield from _texts(own, only)
    for name in _STATED.get(type(value), ()):
        if not only or name in only:
            yield from _strings(getattr(value, name))


def _parts(value: object) -> Iterator[object]:
    """What a value is made of, that may state something."""
    if isinstance(value, Mapping):
        yield from value.values()
    elif isinstance(value, tuple):
        yield from value
    elif is_dataclass(value) and not isinstance(value, type):
        yield from (getattr(value, field.name) for field in fields(value))


def _strings(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for own in value:
            yield from _strings(own)


def _said(value: V, texts: Mapping[str, str]) -> V:
    """A value with its texts in another language; one that has none stays the same object."""
    found: Any = value
    if isinstance(value, Mapping):
        own = {key: _said(part, texts) for key, part in value.items()}
        found = own if any(own[key] is not part for key, part in value.items()) else value
    elif isinstance(value, ConnectionChoices):
        found = value._replace(choices=_translated(value.choices, texts))
    elif isinstance(value, tuple):
        parts = tuple(_said(part, texts) for part in value)
        found = parts if any(new is not old for new, old in zip(parts, value, strict=True)) else value
    elif is_dataclass(value) and not isinstance(value, type):
        stated = (*_STATED.get(type(value), ()), *_CITED.get(type(value), ()))
        new = {
            field.name: _translated(own, texts) if field.name in stated else _said(own, texts)
            for field in fields(value)
            if field.init and ((own := getattr(value, field.name)) is not None)
        }
        changed = {name: own for name, own in new.items() if own is not getattr(value, name)}
        found = replace(value, **changed) if changed else value
    return found  # type: ignore[no-any-return]


def _translated(value: Any, texts: Mapping[str, str]) -> Any:
    if isinstance(value, tuple):
        return tuple(_translated(own, texts) for own in value)
    if isinstance(value, Mapping):
        return {key: _translated(own, texts) for key, own in value.items()}
    return texts.get(value, value) if isinstance(value, str) else value
