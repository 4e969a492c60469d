"""The language of a publication: its texts, its decimal sign, its digit groups and its dates.

Each language beside English is a folder in `languages`: `messages.po` with the texts, in the format of GNU gettext, and
`terms.csv` with the terms of the trade that they use.  A language of a region (`es-US`) has the texts of the language, and the
decimal sign and the dates of the region.

References
----------
ISO 80000-1:2022, 7.3.1: digits are grouped by a small space, never by a comma or a point, which somebody reads as the
decimal sign (from memory).
"""

from __future__ import annotations

import datetime
import functools
import gettext
import io
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from pathlib import Path

from tablegen.wording.message import translated

ENGLISH = "en"
# Where Spanish has a decimal point.
REGIONAL = ("es-MX", "es-US")
FOLDER = Path(__file__).parent / "languages"
CATALOGUE = "messages.po"
_POINT, _SMALL_SPACE = ".", "\N{NARROW NO-BREAK SPACE}"
# A figure of four digits is not parted.
_GROUPED_FROM, _GROUP = 5, 3


@dataclass(frozen=True, slots=True)
class _Figures:
    """How figures are written."""

    decimal: str = _POINT
    group: str = ""


_CODE: ContextVar[str] = ContextVar("language", default=ENGLISH)
_FIGURES: ContextVar[_Figures] = ContextVar("figures", default=_Figures())  # noqa: B039 (frozen)


def languages() -> list[str]:
    """The codes of the languages that publications may be printed in, English first."""
    return [ENGLISH, *sorted(path.parent.name for path in FOLDER.glob(f"*/{CATALOGUE}"))]


def printed_codes() -> list[str]:
    """`languages()`, and those of regions that write figures otherwise."""
    return [*languages(), *REGIONAL]


def texts_of(code: str) -> str:
    """The language that one of a region has its texts from.

    >>> texts_of("es-US"), texts_of("fr")
    ('es', 'fr')
    """
    return code.partition("-")[0]


def language() -> str:
    """The code of the language within the block of `speaking`."""
    return _CODE.get()


@contextmanager
def speaking(code: str) -> Iterator[None]:
    """Texts, figures and dates in another language within the block.

    Parameters
    ----------
    code : str
        One of `printed_codes()`.
    """
    code_before = _CODE.set(code)
    figures_before = _FIGURES.set(_figures(code))
    try:
        with translated(_translations(texts_of(code))):
            yield
    finally:
        _CODE.reset(code_before)
        _FIGURES.reset(figures_before)


def figure(text: str) -> str:
    """A figure, with a point as the decimal sign, as the language writes it.

    >>> figure("12345.6")
    '12345.6'
    >>> with speaking("de"):
    ...     figure("1234.5"), figure("12345.6").replace("\\u202f", " ")
    ('1234,5', '12 345,6')
    >>> with speaking("es-US"):
    ...     figure("1234.5")
    '1234.5'
    """
    style = _FIGURES.get()
    if style.decimal == _POINT and not style.group:
        return text
    whole, point, rest = text.partition(_POINT)
    sign = whole[: len(whole) - len(whole.lstrip("-+\N{MINUS SIGN}"))]
    digits = whole.removeprefix(sign)
    if len(digits) >= _GROUPED_FROM and digits.isdigit():
        first = len(digits) % _GROUP
        digits = style.group.join([*([digits[:first]] if first else []), *_threes(digits[first:])])
    return f"{sign}{digits}{style.decimal if point else ''}{rest}"


def number(text: str) -> float:
    """The number that a printed figure states.

    >>> with speaking("fr"):
    ...     number(figure("-12345.6"))
    -12345.6
    """
    return float(plain(text).replace("\N{MINUS SIGN}", "-"))


def plain(text: str) -> str:
    """A figure of the language with a point as its decimal sign and nothing between its digits."""
    style = _FIGURES.get()
    return (text.replace(style.group, "") if style.group else text).replace(style.decimal, _POINT)


def decimal_sign() -> str:
    """What parts the whole of a figure from its fraction."""
    return _FIGURES.get().decimal


def group_sign() -> str:
    """What parts the thousands of a figure of five digits and more."""
    return _FIGURES.get().group


@contextmanager
def plain_figures() -> Iterator[None]:
    """Figures as a program reads them within the block."""
    before = _FIGURES.set(_Figures())
    try:
        yield
    finally:
        _FIGURES.reset(before)


def whole(count: int) -> str:
    """A whole number with its digits in groups.

    >>> whole(12500), whole(1024)
    ('12,500', '1,024')
    """
    return f"{count:,}" if language() == ENGLISH else figure(str(count))


def date_text(date: datetime.date | str) -> str:
    """A date; in English as ISO 8601 has it, in another language in words.

    An earlier release states its date as a text; one that is no date stays as it is.
    """
    if language() == ENGLISH:
        return str(date)
    if isinstance(date, str):
        try:
            date = datetime.date.fromisoformat(date)
        except ValueError:
            return str(date)
    from babel.dates import format_date

    return format_date(date, "long", locale=language().replace("-", "_"))


def _threes(digits: str) -> list[str]:
    return [digits[i : i + _GROUP] for i in range(0, len(digits), _GROUP)]


@functools.cache
def _figures(code: str) -> _Figures:
    if code == ENGLISH:
        return _Figures()
    from babel.numbers import get_decimal_symbol

    return _Figures(get_decimal_symbol(code.replace("-", "_")), _SMALL_SPACE)


@functools.cache
def _translations(code: str) -> gettext.NullTranslations:
    """The texts of a language; what is not translated stays English."""
    if code == ENGLISH:
        return gettext.NullTranslations()
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    with (FOLDER / code / CATALOGUE).open("rb") as file:
        catalogue = read_po(file, locale=code)
    compiled = io.BytesIO()
    write_mo(compiled, catalogue)
    compiled.seek(0)
    return gettext.GNUTranslations(compiled)
