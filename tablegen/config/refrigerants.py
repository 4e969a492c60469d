"""Load the refrigerants: the packaged ones, with a catalogue's own over them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from tablegen.config.folder import config_files
from tablegen.config.reader import Reader
from tablegen.config.refrigerant_model import COMPONENTS, RefrigerantModel
from tablegen.config.source import Document
from tablegen.config.starter import packaged_configs
from tablegen.errors import (
    ConfigError,
    CriticalPointError,
    IncompletePairError,
    MissingPairError,
    Problem,
    PropertyError,
    unknown,
)
from tablegen.model.property_store import PropertyStore
from tablegen.model.registry import Gwp, PairSource, PropertyUncertainty, RefrigerantRecord, Registry
from tablegen.physics.definition import PairParameters, RefrigerantDefinition


def load_registry(folder: Path | None = None, store: PropertyStore | None = None) -> Registry:
    """The packaged refrigerants, and over them those of `folder`/refrigerants.

    Raises
    ------
    ConfigError
        With every problem in the files, or when a refrigerant is looked up that cannot be computed.
    """
    reader = Reader(folder or packaged_configs())
    registry, _ = read_refrigerants(reader, store or PropertyStore())
    reader.stop_if_wrong()
    return registry


def read_refrigerants(reader: Reader, store: PropertyStore) -> tuple[Registry, dict[str, Document]]:
    """The registry of the sound files, and the document of each; problems are kept by the reader."""
    records: dict[str, RefrigerantRecord] = {}
    documents: dict[str, Document] = {}
    for stem, path in refrigerant_files(reader).items():
        found = _read(reader, stem, path)
        if found is not None:
            document, record = found
            records[record.definition.name], documents[record.definition.name] = record, document
    return _registry(records, documents, store), documents


def refrigerants_as_asked(reader: Reader, store: PropertyStore) -> tuple[Registry, dict[str, Document]]:
    """As `read_refrigerants`, but a file is read when its refrigerant is first looked up, and a problem raised then."""
    documents: dict[str, Document] = {}
    return _registry(_RecordsAsAsked(reader, documents), documents, store), documents


def _registry(
    records: Mapping[str, RefrigerantRecord], documents: Mapping[str, Document], store: PropertyStore
) -> Registry:
    return Registry(records, store, lambda name, error: ConfigError([_problem(documents[name], error)]))


def refrigerant_files(reader: Reader) -> dict[str, Path]:
    """The files by the names of their refrigerants: the packaged ones, and over them those of the reader's folder."""
    paths = {p.stem: p for p in (packaged_configs() / "refrigerants").glob("*.yaml")}
    paths |= {p.stem: p for p in reader.files_in("refrigerants")}
    return dict(sorted(paths.items()))


def _read(reader: Reader, stem: str, path: Path) -> tuple[Document, RefrigerantRecord] | None:
    document = reader.document(path)
    model = reader.model(RefrigerantModel, document)
    if document is None or model is None:
        return None
    reader.check_stem(document, "refrigerant", model.refrigerant, stem)
    strange = [c for c in model.components if c not in COMPONENTS]
    for component in strange:
        place = ("components", component)
        reader.problems.append(document.problem(place, unknown("a component", component, COMPONENTS)))
    return None if strange else (document, refrigerant_record(model))


class _RecordsAsAsked(Mapping[str, RefrigerantRecord]):
    """Records by name, each read when it is first asked for; `documents` is filled on the way."""

    def __init__(self, reader: Reader, documents: dict[str, Document]) -> None:
        self._reader, self._documents = reader, documents
        self._paths = refrigerant_files(reader)
        self._records: dict[str, RefrigerantRecord] = {}

    def __getitem__(self, name: str) -> RefrigerantRecord:
        if name not in self._records:
            found = _read(self._reader, name, self._paths[name])
            self._reader.stop_if_wrong()
            assert found
            self._documents[name], self._records[name] = found
        return self._records[name]

    def __contains__(self, name: object) -> bool:
        return name in self._paths

    def __iter__(self) -> Iterator[str]:
        return iter(self._paths)

    def __len__(self) -> int:
        return len(self._paths)


def uncomputable(names: Iterable[str], registry: Registry, documents: dict[str, Document]) -> list[Problem]:
    """A problem for every named refrigerant that the property library cannot give."""
    found = []
    for name in names:
        try:
            registry.computed(name)
        except PropertyError as error:
            found.append(_problem(documents[name], error))
    return found


def _problem(document: Document, error: PropertyError) -> Problem:
    """What the property library could not do, at the key that most likely causes it."""
    if isinstance(error, MissingPairError):
        them = "them" if len(error.pairs) > 1 else "it"
        text = (
            f"{error.rule}; give {them} under 'pairs' with a source (beta_t and gamma_t, or 'rule: linear', which "
            "may miss the pressure by 15 percent)"
        )
        return document.problem(("components",), text)
    if isinstance(error, IncompletePairError):
        return document.problem(("pairs", error.index), error.rule)
    has_pairs = bool(document.data.get("pairs"))
    if isinstance(error, CriticalPointError):
        key = f"critical_{error.quantity}"
        doubt = "; or the parameters under 'pairs' are wrong" if has_pairs else ""
        hint = f"leave critical_temperature and critical_pressure both away to have them computed{doubt}"
        return document.problem((key,), f"{str(document.data.get(key))!r} is not allowed; {error.rule} ({hint})")
    if has_pairs:
        return document.problem(("pairs",), f"{error} (look at the parameters of the pairs)")
    return document.problem(("components",), str(error))


def own_refrigerants(folder: Path) -> list[str]:
    """The names of a folder's refrigerant files that are not copies of packaged ones."""
    packaged = packaged_configs() / "refrigerants"
    if packaged.resolve() == (folder / "refrigerants").resolve():
        return []
    own, _ = config_files(folder / "refrigerants", "")
    return [
        path.stem
        for path in own
        if not (packaged / path.name).is_file() or path.read_bytes() != (packaged / path.name).read_bytes()
    ]


def refrigerant_record(model: RefrigerantModel) -> RefrigerantRecord:
    """A refrigerant's record from its config."""
    return RefrigerantRecord(
        definition=_definition(model),
        safety_group=model.safety_group,
        gwp=tuple(
            Gwp(g.report, g.below if g.value is None else g.value, g.value is None, g.source)  # type: ignore[arg-type]
            for g in model.gwp
        ),
        uncertainty=PropertyUncertainty(
            model.uncertainty.pressure, model.uncertainty.density, model.uncertainty.enthalpy, model.uncertainty.reason
        ),
        composition_source=model.composition_source,
        pair_sources=tuple(PairSource(p.between[0], p.between[1], p.source) for p in model.pairs),
    )


def _definition(model: RefrigerantModel) -> RefrigerantDefinition:
    return RefrigerantDefinition(
        name=model.refrigerant,
        components=tuple(model.components),
        mass_fractions=tuple(model.components.values()),
        pairs=tuple(
            PairParameters(p.between[0], p.between[1], p.beta_t, p.gamma_t, p.beta_v, p.gamma_v) for p in model.pairs
        ),
        critical_temperature_k=model.critical_temperature,
        critical_pressure_pa=model.critical_pressure.value_pa if model.critical_pressure else None,
    )
