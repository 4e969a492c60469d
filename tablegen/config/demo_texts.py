"""The demo's company and notice in a catalogue of other valves, which would be printed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from tablegen.config import packaged_configs
from tablegen.config._input_files import SUFFIX, shown_name
from tablegen.config.document import ConfigDocument, Yaml, read_document
from tablegen.wording import config_errors as wording

_OF_COMPANY = ("name", "address", "contact", "logo", "wholesaler")
_OF_CATALOGUE = ("notice",)


def demo_texts(path: Path) -> Iterator[str]:
    """A note for each file of a catalogue that has own valves and still says who the demo's company is.

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
        found = [key for key in keys if any(_is_same(document, own, key, path.parent) for own in known)]
        if found:
            place = document.place((found[0],))
            yield wording.STILL_THE_DEMO(file=shown_name(Path(place.file)), line=place.line, keys=", ".join(found))


def _is_same(document: ConfigDocument, template: dict[str, Yaml], key: str, folder: Path) -> bool:
    own, theirs = document.data.get(key), template.get(key)
    if own is None or theirs is None:
        return False
    if key == "logo":
        return (folder / str(own)).read_bytes() == (packaged_configs() / str(theirs)).read_bytes()
    return own == theirs
