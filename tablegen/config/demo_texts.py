"""What a catalogue of other valves still has of the demo and would print: company, notice, date, and the sources of applications."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from tablegen.config import packaged_configs
from tablegen.config._applications import BY_REFRIGERANT
from tablegen.config._input_files import SUFFIX, shown_name
from tablegen.config.document import ConfigDocument, KeyPath, Yaml, read_document, spell
from tablegen.wording import config_errors as wording
from tablegen.wording.message import Message

_OF_COMPANY = ("name", "address", "contact", "logo", "wholesaler")
_OF_CATALOGUE = ("notice", "date")
_SOURCE = "source"


def demo_texts(path: Path) -> Iterator[str]:
    """A note for each file of a catalogue that has own valves and still says what the demo says.

    Parameters
    ----------
    path : Path
        The catalogue's file, which is sound.
    """
    demo = packaged_configs()
    catalogue = read_document(path)
    families = catalogue.value(("families",))
    demo_families = {own.stem for own in (demo / "families").glob(f"*{SUFFIX}")}
    if not isinstance(families, list) or set(map(str, families)) <= demo_families:
        return
    templates = [demo, *sorted((Path(__file__).parent / "starts").iterdir())]
    named = str(catalogue.value(("company",)))
    files: list[tuple[str, ConfigDocument, tuple[str, ...]]] = [("catalogue.yaml", catalogue, _OF_CATALOGUE)]
    # A company may be stated by its name alone.
    if named.endswith(SUFFIX):
        files.insert(0, ("company.yaml", read_document(path.parent / named), _OF_COMPANY))
    for name, document, keys in files:
        known = [read_document(own / name).data for own in templates if (own / name).exists()]
        found: list[KeyPath] = [
            (key,) for key in keys if any(_is_same(document, own, key, path.parent) for own in known)
        ]
        yield from _note(wording.STILL_THE_DEMO, document, found)
    applications = catalogue.value(("applications",))
    for application in applications if isinstance(applications, list) else []:
        own, template = (folder / "applications" / f"{application}{SUFFIX}" for folder in (path.parent, demo))
        if template.exists():
            document = read_document(own)
            yield from _note(wording.STILL_THE_DEMO_SYSTEM, document, list(_sourced(document, read_document(template))))


def _note(message: Message, document: ConfigDocument, found: list[KeyPath]) -> Iterator[str]:
    if found:
        place = document.place(found[0])
        keys = ", ".join(map(spell, found))
        yield message(file=shown_name(Path(place.file)), line=place.line, keys=keys)


def _is_same(document: ConfigDocument, template: dict[str, Yaml], key: str, folder: Path) -> bool:
    own, theirs = document.data.get(key), template.get(key)
    if own is None or theirs is None:
        return False
    if key == "logo":
        return (folder / str(own)).read_bytes() == (packaged_configs() / str(theirs)).read_bytes()
    return own == theirs


def _sourced(document: ConfigDocument, template: ConfigDocument) -> Iterator[KeyPath]:
    """The sections of an application, for all or for one refrigerant, that cite what the demo cites."""
    parts: list[KeyPath] = [(), *((BY_REFRIGERANT, name) for name in document.mapping(BY_REFRIGERANT))]
    for part in parts:
        for section in document.mapping(*part):
            path = (*part, section, _SOURCE)
            source = document.value(path)
            if source is not None and source == template.value(path):
                yield path[:-1]
