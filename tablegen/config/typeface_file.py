"""The typeface of a company: its files, and whether they draw every character that the pages print."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from tablegen.config._input_files import path_beside, shown_name
from tablegen.config._reader import Reader
from tablegen.config.document import ConfigDocument, KeyPath, Yaml
from tablegen.config.truetype import MAX_BYTES, TrueType, read_truetype
from tablegen.errors import BadValue
from tablegen.model.company import Typeface
from tablegen.wording import typeface as wording
from tablegen.wording.characters import printed_characters

_KEY, _FACES = "typeface", ("regular", "bold", "italic")
# Reasons of empty cells are marked in the italic face, by a letter; the others set everything.
_MARKS = frozenset("abcdefghijklmnopqrstuvwxyz\N{EN DASH}")
# Mean widths of digits and letters of the built-in faces [type sizes], and how much wider others may be: tables and wall
# charts are laid out for these. `tests/config/test_company_typeface.py` compares them.
WIDTHS, WIDER = {"regular": 0.4725, "bold": 0.5076}, 1.15
# Characters that a message names.
_MOST = 8


def read_typeface(reader: Reader, document: ConfigDocument, languages: Collection[str]) -> Typeface | None:
    """The typeface that the file of a company names; None without one, or with its problems noted.

    Characters are missed in what was read so far, and in the wording in some languages.
    """
    names = document.mapping(_KEY)
    found = {face: _read(reader, document, face, str(names[face])) for face in _FACES if names.get(face)}
    faces = {face: own for face, own in found.items() if own is not None}
    if len(faces) < len(found) or "regular" not in faces:
        return None
    for face, widest in WIDTHS.items():
        if face in faces and faces[face].width > WIDER * widest:
            share = f"{faces[face].width / widest:.2f}"
            rule = wording.TOO_WIDE(share=share, most=f"{WIDER:g}")
            reader.refuse(document, (_KEY, face), str(BadValue(repr(str(names[face])), rule)))
    wanted = printed_characters(tuple(sorted(languages)))
    for face, own in faces.items():
        lacked = sorted((_MARKS if face == "italic" else wanted) - own.characters)
        if lacked:
            name = str(names[face])
            reader.refuse(document, (_KEY, face), _listed(name, lacked))
    upright = {face: own.characters for face, own in faces.items() if face != "italic"}
    for own_document in reader.documents:
        for path, text in _texts(own_document.data):
            for face, characters in upright.items():
                lacked = [sign for sign in dict.fromkeys(text) if sign not in characters and sign not in wanted]
                if any(not sign.isspace() for sign in lacked):
                    rule = wording.TEXT_LACKS(face=str(names[face]), characters=_characters(lacked[:_MOST]))
                    reader.refuse(own_document, path, rule)
                    break
    return Typeface(**{face: own.content for face, own in faces.items()})


def _read(reader: Reader, document: ConfigDocument, face: str, name: str) -> TrueType | None:
    try:
        path = path_beside(reader.folder, name)
        content = reader.bytes_of(path, MAX_BYTES, wording.TYPEFACES_ARE_SMALL())
        return None if content is None else read_truetype(content, repr(shown_name(path)))
    except BadValue as error:
        reader.refuse(document, (_KEY, face), str(error))
        return None


def _texts(value: Yaml, path: KeyPath = ()) -> Iterator[tuple[KeyPath, str]]:
    """Every text of a config with its key."""
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, dict):
        for key, own in value.items():
            yield from _texts(own, (*path, key))
    elif isinstance(value, list):
        for number, own in enumerate(value):
            yield from _texts(own, (*path, number))


def _listed(name: str, lacked: list[str]) -> str:
    characters, count = _characters(lacked[:_MOST]), len(lacked)
    if count <= _MOST:
        return wording.LACKS(face=name, characters=characters)
    return wording.LACKS_AND_MORE(face=name, characters=characters, count=count - _MOST)


def _characters(lacked: list[str]) -> str:
    return ", ".join(wording.CHARACTER(sign=repr(sign), code=f"{ord(sign):04X}") for sign in lacked)
