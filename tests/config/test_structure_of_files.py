"""Every value of every demo file put out of shape: it is read, or refused in lines; nothing else is raised."""

import contextlib
import copy
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tablegen.config import _reader
from tablegen.config._application_model import ApplicationModel
from tablegen.config._catalogue_model import CatalogueModel, GroupsModel
from tablegen.config._input_files import shown_name
from tablegen.config._publications import PUBLICATION_KINDS
from tablegen.config._validation import validate
from tablegen.config.document import ConfigDocument, document_of
from tablegen.config.family_model import FAMILY_KINDS
from tablegen.config.loader import load_catalogue
from tablegen.config.refrigerant_files import RefrigerantModel
from tablegen.errors import ConfigError

CONFIGS = Path(__file__).resolve().parents[2] / "configs"
# Refrigerants are all of one shape: a blend with pairs of its own, and a single component.
FILES = [
    path.relative_to(CONFIGS).as_posix()
    for path in sorted(CONFIGS.rglob("*.yaml"))
    if path.parent.name != "refrigerants" or path.stem in ("R448A", "R453A", "R134a")
]
BY_KIND = {**FAMILY_KINDS, **PUBLICATION_KINDS}
BY_PLACE = {
    "applications": ApplicationModel,
    "refrigerants": RefrigerantModel,
    "catalogue.yaml": CatalogueModel,
    "groups.yaml": GroupsModel,
}
Path_ = tuple[str | int, ...]


def values(data: Any, path: Path_ = ()) -> Iterator[tuple[Path_, Any]]:
    """Every value below the top with its path."""
    if path:
        yield path, data
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in items:
        yield from values(value, (*path, key))


def out_of_shape(value: Any) -> list[Any]:
    """What may replace a value: shorter, longer, empty, another kind of thing."""
    if isinstance(value, list):
        return [value[:-1], [*value, *value[-1:]], [], None, "x", {"a": 1}]
    if isinstance(value, dict):
        return [dict(list(value.items())[:-1]), {**value, "extra": 1}, {}, None, "x", [], [value]]
    return [[value], {"a": value}, [], {}, None, 3, True, ""]


def replaced(data: Any, path: Path_, new: Any) -> Any:
    """The same with another value at a path; the first is not changed."""
    if not path:
        return new
    data = copy.copy(data)
    data[path[0]] = replaced(data[path[0]], path[1:], new)
    return data


def mutants(document: ConfigDocument) -> Iterator[ConfigDocument]:
    for path, value in values(document.data):
        for new in out_of_shape(value):
            yield ConfigDocument(document.file, replaced(document.data, path, new), document.places)


def is_refused(name: str, document: ConfigDocument) -> bool:
    """Whether the file by itself is refused; what its kind is, is looked at by the loader."""
    kind = document.data.get("kind")
    place = name.split("/")[0]
    model = BY_PLACE.get(place) or BY_KIND.get(kind if isinstance(kind, str) else "")
    if model is None:
        return False
    with contextlib.suppress(ConfigError):
        validate(model, document.without("by_refrigerant"))
        return False
    return True


@pytest.mark.parametrize("most", [1, pytest.param(30, marks=pytest.mark.slow)])
@pytest.mark.parametrize("name", FILES)
def test_a_value_out_of_shape_is_read_or_refused(name, most, monkeypatch):
    """All of them by themselves; of those that are sound by themselves some in their catalogue as well."""
    path = CONFIGS / name
    sound = [m for m in mutants(document_of(path.read_bytes(), name)) if not is_refused(name, m)]
    shown = shown_name(path)
    for mutant in sound[:: -(-len(sound) // most)]:
        monkeypatch.setattr(
            _reader, "document_of", lambda content, at, own=mutant: own if at == shown else document_of(content, at)
        )
        with contextlib.suppress(ConfigError):
            load_catalogue(CONFIGS / "catalogue.yaml")


@pytest.mark.parametrize(
    ("point", "text"),
    [
        ("[-10 degF]", "a list of 1 item is not allowed; must have at least 2"),
        ("[]", "an empty list is not allowed; must have at least 1"),
        ("[-10 degF, 43.1 psi_absolute, 1]", "a list of 3 items is not allowed; must have at most 2 items"),
    ],
)
def test_a_charge_point_that_is_no_pair_is_refused_by_line(point, text):
    content = (CONFIGS / "families" / "alder.yaml").read_text(encoding="utf-8")
    content = content.replace("[-10 degF, 43.1 psi_absolute]", point, 1)
    line = 1 + content[: content.index(f"- {point}")].count("\n")
    with pytest.raises(ConfigError) as caught:
        validate(FAMILY_KINDS["thermostatic"], document_of(content.encode(), "alder.yaml"))
    assert f"alder.yaml:{line}: charges[0].points[0]: {text}" in str(caught.value)
