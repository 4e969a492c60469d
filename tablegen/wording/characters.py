"""The characters that publications may print, beside those of a catalogue's own texts."""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from pathlib import Path

from tablegen.wording.language import CATALOGUE, ENGLISH, FOLDER, texts_of

# Letters, digits and signs of names, figures and units.
_PLAIN = frozenset(map(chr, range(0x20, 0x7F)))
# Signs that pages set between and beside texts: spaces, dashes, quotes, units, symbols of formulas and of notes.
_SIGNS = frozenset("\N{NO-BREAK SPACE}\N{MINUS SIGN}\N{EN DASH}\N{RIGHT SINGLE QUOTATION MARK}…•·×°²³½√Δηρφ")
# A character that a module has by its name.
_NAMED = re.compile(r"\\N\{([^}]+)\}")


@cache
def printed_characters(languages: tuple[str, ...]) -> frozenset[str]:
    """Every character of the wording in some languages, of figures, units and signs.

    They are looked for in the files of this package, so that no module has to be imported for its texts.

    Parameters
    ----------
    languages : tuple of str
        Codes.
    """
    files = [*sorted(Path(__file__).parent.glob("*.py"))]
    files += [FOLDER / texts_of(code) / CATALOGUE for code in languages if code != ENGLISH]
    found = set(_PLAIN | _SIGNS)
    for path in files:
        text = path.read_text(encoding="utf-8")
        found.update(text)
        found.update(unicodedata.lookup(name) for name in _NAMED.findall(text))
    return frozenset(sign for sign in found if sign.isprintable() or (sign.isspace() and sign != "\n"))
