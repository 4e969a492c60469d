"""Sentences with named placeholders, translated when they are called.

A constant states the English text once.  Calling it looks the text up in the translations of the current context and
fills the placeholders in, so that one process can print publications in several languages.  An argument of a question is written
`{--load}`: a reader at the command line meets the option, one in Python the parameter, one of a form the label of its
field; `{--load=}` says how it is given.

>>> NOT_OFFERED = Message("{family} is not offered for {refrigerant}.")
>>> NOT_OFFERED(family="Alder", refrigerant="R448A")
'Alder is not offered for R448A.'
>>> WINDOWS = Plural("{count} window of {family}", "{count} windows of {family}")
>>> WINDOWS(1, family="Alder"), WINDOWS(12, family="Alder")
('1 window of Alder', '12 windows of Alder')
>>> listed(["R448A", "R449A", "R407A"])
'R448A, R449A and R407A'
>>> Message("{--load}: it is missing")()
'load: it is missing'
"""

from __future__ import annotations

import gettext
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache, reduce
from string import Formatter
from types import MappingProxyType

_TRANSLATIONS: ContextVar[gettext.NullTranslations] = ContextVar(
    "translations",
    default=gettext.NullTranslations(),  # noqa: B039 - stateless: it returns the English text
)
_HAS_OPTIONS: ContextVar[bool] = ContextVar("has_options", default=False)
_LABELS: ContextVar[Mapping[str, str]] = ContextVar("labels", default=MappingProxyType({}))
# Arguments whose options have another name, or none.
_OPTIONS = {"overrides": "--set", "keys": "--key", "was_overrides": "--was-set", "bench": "BENCH.csv", "new": "NEW"}
_MARK = "--"


@dataclass(frozen=True, slots=True)
class Message:
    """One text for a reader; `text` must be a literal, because translators' tools read it from the source.

    Call it with a value for each placeholder.  Values are texts and whole numbers: measured figures arrive formatted,
    with their units.

    Raises
    ------
    TypeError
        On a call that lacks a placeholder or names one that the text does not have.

    Examples
    --------
    >>> Message("{family} is not offered.")(name="Alder")
    Traceback (most recent call last):
    ...
    TypeError: '{family} is not offered.' takes family; given: name
    """

    text: str

    @property
    def pattern(self) -> str:
        """The text in the current language with its placeholders, for a page that fills them in itself."""
        return _TRANSLATIONS.get().gettext(self.text)

    def __call__(self, **values: str | int) -> str:
        """The text in the current language, filled in."""
        _check(self.text, placeholders(self.text), values)
        return _filled(self.pattern, values)

    def __format__(self, spec: str) -> str:
        """Refuse to be printed uncalled, which would skip translation."""
        raise TypeError(f"call {self!r} instead of printing it")


@dataclass(frozen=True, slots=True)
class Plural:
    """A text that changes with a count: `one` for one, `many` for every other count of English.

    Call it with the count, which fills ``{count}``, and a value for each other placeholder, as `Message`.
    """

    one: str
    many: str

    @property
    def patterns(self) -> tuple[str, str]:
        """The texts for one and for many in the current language, as `Message.pattern`."""
        ngettext = _TRANSLATIONS.get().ngettext
        return ngettext(self.one, self.many, 1), ngettext(self.one, self.many, 2)

    def __call__(self, count: int, **values: str | int) -> str:
        """The text for a count in the current language, filled in."""
        _check(self.many, (placeholders(self.one) | placeholders(self.many)) - {"count"}, values)
        text = _TRANSLATIONS.get().ngettext(self.one, self.many, count)
        return _filled(text, {"count": count, **values})

    def __format__(self, spec: str) -> str:
        """Refuse to be printed uncalled, which would skip translation."""
        raise TypeError(f"call {self!r} instead of printing it")


AND = Message("{names} and {last}")
OR = Message("{names} or {last}")
CLAUSES = Message("{clauses}; {last}")


def listed(names: Sequence[str], last: Message = AND) -> str:
    """Names in a sentence, joined by commas and `last` (AND or OR); an empty text for none.

    >>> listed(["low head", "high head"], OR)
    'low head or high head'
    """
    if len(names) < 2:
        return "".join(names)
    return last(names=", ".join(names[:-1]), last=names[-1])


def in_clauses(clauses: Iterable[str]) -> str:
    """Clauses of one sentence, joined by semicolons; an empty text for none.

    >>> in_clauses(["R404A, R507A", "R134a"])
    'R404A, R507A; R134a'
    """
    first, *others = list(clauses) or [""]
    return reduce(lambda before, last: CLAUSES(clauses=before, last=last), others, first)


@contextmanager
def translated(translations: gettext.NullTranslations) -> Iterator[None]:
    """Texts in another language within the block."""
    token = _TRANSLATIONS.set(translations)
    try:
        yield
    finally:
        _TRANSLATIONS.reset(token)


@contextmanager
def with_options() -> Iterator[None]:
    """Texts for a reader at the command line within the block."""
    token = _HAS_OPTIONS.set(True)
    try:
        yield
    finally:
        _HAS_OPTIONS.reset(token)


@contextmanager
def with_labels(labels: Mapping[str, str]) -> Iterator[None]:
    """Texts for a reader of a form within the block; `labels` are those of its fields by the names of arguments."""
    token = _LABELS.set(labels)
    try:
        yield
    finally:
        _LABELS.reset(token)


def argument(name: str) -> str:
    """What the reader calls an argument of a question: a parameter in Python, an option at the command line.

    In a form it is the label of its field.

    >>> argument("was_load")
    'was_load'
    >>> with with_options():
    ...     argument("was_load")
    '--was-load'
    >>> with with_labels({"was_load": "Load of the old system"}):
    ...     argument("was_load")
    'Load of the old system'
    """
    if label := _LABELS.get().get(name):
        return label
    if not _HAS_OPTIONS.get():
        return name
    return _OPTIONS.get(name, _MARK + name.replace("_", "-"))


def _filled(text: str, values: dict[str, str | int]) -> str:
    if _MARK not in text:
        return text.format(**values)
    named = [name for name in _names(text) if name.startswith(_MARK)]
    return text.format(**values, **{name: _named(name.removeprefix(_MARK)) for name in named})


def _named(mark: str) -> str:
    name = argument(mark.removesuffix("="))
    return f"{name}=..." if mark.endswith("=") and not (_HAS_OPTIONS.get() or _LABELS.get()) else name


@cache
def placeholders(text: str) -> frozenset[str]:
    """Names of the placeholders of a text that a call gives values for.

    >>> sorted(placeholders("{family} is not offered for {refrigerant}."))
    ['family', 'refrigerant']
    """
    return frozenset(name for name in _names(text) if not name.startswith(_MARK))


def _names(text: str) -> Iterator[str]:
    return (name for _, name, _, _ in Formatter().parse(text) if name is not None)


def _check(text: str, wanted: frozenset[str], values: dict[str, str | int]) -> None:
    if wanted != values.keys():
        takes, given = (", ".join(sorted(names)) or "nothing" for names in (wanted, values))
        raise TypeError(f"{text!r} takes {takes}; given: {given}")
