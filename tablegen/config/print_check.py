"""Charts and handouts that would be empty: refused by the line that asks for them."""

from __future__ import annotations

from pathlib import Path

from tablegen.catalogue.empty_prints import empty_prints
from tablegen.catalogue.inputs import Catalogue
from tablegen.config.edition_model import CounterChartModel, EditionModel, HandoutModel
from tablegen.config.editions import print_names, read_editions
from tablegen.config.reader import Reader
from tablegen.config.source import Document
from tablegen.errors import Mistake


def check_prints(path: Path, catalogue: Catalogue) -> None:
    """Compute what counter charts and handouts of a sound catalogue show; `path` is its file.

    Raises
    ------
    ConfigError
        If one of them would show nothing for a group.
    """
    reader = Reader(path.parent)
    owners = {
        name: found for found in read_editions(reader).values() for name in print_names(found[1])
    }
    seen: dict[tuple[str, str], Mistake] = {}
    for empty in empty_prints(catalogue):
        document, model = owners[empty.name]
        # One line, however often it is printed.
        seen.setdefault((model.edition, empty.group), _mistake(document, model, empty.group, empty.why))
    reader.mistakes += seen.values()
    reader.stop_if_wrong()


def _mistake(document: Document, model: EditionModel, group: str, why: str) -> Mistake:
    if isinstance(model, CounterChartModel):
        text = f"{group!r} is not allowed; its chart would be empty: {why}"
        return document.mistake(("groups", model.groups.index(group)), text)
    assert isinstance(model, HandoutModel)
    return document.mistake(("group",), f"{group!r} is not allowed; the handout would have nothing to teach: {why}")
