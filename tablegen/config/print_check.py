"""What must not be printed of a sound catalogue: empty charts and handouts, a group's table of several bulb charges."""

from __future__ import annotations

from pathlib import Path

from tablegen.config.publication_model import CounterChartModel, HandoutModel, PublicationModel
from tablegen.config.publications import print_names, read_publications
from tablegen.config.reader import Reader
from tablegen.config.source import Document
from tablegen.dataset.empty_charts import empty_prints
from tablegen.errors import Problem
from tablegen.model.inputs import Catalogue
from tablegen.model.offer import mixed_charges


def check_prints(path: Path, catalogue: Catalogue) -> None:
    """Compute what counter charts and handouts of a sound catalogue show; `path` is its file.

    Raises
    ------
    ConfigError
        If one of them would show nothing for a group, or a group's members take different bulb charges.
    """
    reader = Reader(path.parent)
    groups = reader.document(path.parent / "groups.yaml")
    for (family, group), listed in mixed_charges(catalogue).items():
        assert groups
        text = (
            f"{catalogue.families[family].display_name} fits the members with different bulb charges ({listed}); a "
            "group is one table and one valve: put them in groups of their own, or leave the family out for it"
        )
        reader.problems.append(groups.problem(("groups", group, "members"), text))
    owners = {name: found for found in read_publications(reader).values() for name in print_names(found[1])}
    seen: dict[tuple[str, str], Problem] = {}
    for empty in empty_prints(catalogue):
        document, model = owners[empty.name]
        # One line, however often it is printed.
        seen.setdefault((model.publication, empty.group), _problem(document, model, empty.group, empty.why))
    reader.problems += seen.values()
    reader.stop_if_wrong()


def _problem(document: Document, model: PublicationModel, group: str, why: str) -> Problem:
    if isinstance(model, CounterChartModel):
        text = f"{group!r} is not allowed; its chart would be empty: {why}"
        return document.problem(("groups", model.groups.index(group)), text)
    assert isinstance(model, HandoutModel)
    return document.problem(("group",), f"{group!r} is not allowed; the handout would have nothing to teach: {why}")
