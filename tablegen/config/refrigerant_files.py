"""Refrigerant files: what a refrigerant is made of, how dangerous it is, how well it is known; and the registry of all.

The packaged refrigerants are read, and over them those of a catalogue's own folder.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import Field, ValidatorFunctionWrapHandler, WrapValidator, model_validator

from tablegen.config import packaged_configs
from tablegen.config._input_files import SCHEMA_LINE, config_files, shown_name
from tablegen.config._reader import Reader
from tablegen.config.document import ConfigDocument, read_file
from tablegen.config.fields import (
    AbsolutePressure,
    BadKey,
    Model,
    Number,
    RefrigerantName,
    SafetyGroup,
    Share,
    Temperature,
    Text,
    twice,
)
from tablegen.config.written_forms import Written, suggested_form
from tablegen.errors import (
    BadValue,
    ConfigError,
    CriticalPointError,
    FileProblem,
    IncompletePairError,
    MissingPairError,
    PropertyError,
    near,
)
from tablegen.model.names import refrigerant_name
from tablegen.model.property_store import PropertyStore
from tablegen.model.registry import Gwp, PairSource, PropertyUncertainty, RefrigerantRecord, Registry
from tablegen.physics.definition import PairParameters, RefrigerantDefinition
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors

# The single fluids that the property library knows and that the trade uses, alone or in blends.
COMPONENTS = [
    "R12",
    "R13I1",
    "R22",
    "R23",
    "R32",
    "R115",
    "R116",
    "R124",
    "R125",
    "R134a",
    "R142b",
    "R143a",
    "R152a",
    "R161",
    "R170",
    "R218",
    "R227ea",
    "R236ea",
    "R236fa",
    "R245fa",
    "R290",
    "R600",
    "R600a",
    "R601",
    "R601a",
    "R717",
    "R744",
    "R1233zd(E)",
    "R1234yf",
    "R1234ze(E)",
    "R1234ze(Z)",
    "R1243zf",
    "R1270",
    "R1336mzz(E)",
]


def _composition(written: dict[str, object], read: ValidatorFunctionWrapHandler) -> dict[str, float]:
    """Shares by component: each is listed once, in whatever spelling, and together they are the whole."""
    shares: dict[str, float] = read(written)
    names = [refrigerant_name(key) for key in written]
    if twice := [key for index, key in enumerate(written) if names[index] in names[:index]]:
        raise BadKey(str(BadValue(repr(twice[0]), wording.LISTED_TWICE())), twice[0], is_complete=True)
    total = sum(shares.values())
    if abs(total - 1.0) > 1e-6:
        raise BadKey(wording.FRACTIONS_SUM(total=f"{100 * total:.6g}"))
    if nothing := [key for key, name in zip(written, names, strict=True) if shares[name] == 0.0]:
        raise BadKey(wording.COMPONENT_OF_ZERO(), nothing[0])
    return shares


_Component = Annotated[RefrigerantName, Written(partial(suggested_form, COMPONENTS))]
PairNumber = Annotated[Number, Field(ge=0.5, le=2.0)]


class GwpModel(Model):
    """A global warming potential over 100 years, or the figure that it is below."""

    one_of = (("value", "below"),)
    report: Literal["AR4", "AR5", "AR6"]
    value: Annotated[Number, Field(ge=0.0, le=30000.0)] | None = None
    below: Annotated[Number, Field(gt=0.0, le=30000.0)] | None = None
    source: Text

    def inputs(self) -> Gwp:
        """The potential, or its upper bound."""
        value = self.below if self.value is None else self.value
        return Gwp(self.report, value or 0.0, self.value is None, self.source)


class PairModel(Model):
    """Reducing parameters of a binary pair, in the order of `between`, or the linear rule by name."""

    between: Annotated[list[_Component], Field(min_length=2, max_length=2)]
    rule: Literal["linear"] | None = None
    beta_t: PairNumber | None = None
    gamma_t: PairNumber | None = None
    beta_v: PairNumber | None = None
    gamma_v: PairNumber | None = None
    source: Text

    @model_validator(mode="after")
    def _something(self) -> Self:
        has_none = all(value is None for value in (self.beta_t, self.gamma_t, self.beta_v, self.gamma_v))
        if (self.rule is None) == has_none:
            raise BadKey(wording.PAIR_RULE_OR_PARAMETERS())
        return self

    def inputs(self) -> PairParameters:
        """The parameters, None where the linear rule applies."""
        first, second = self.between
        return self.into(PairParameters, first=first, second=second)


class UncertaintyModel(Model):
    """How far computed and true values may lie apart: saturation pressure, liquid density, enthalpy differences."""

    pressure: Share
    density: Share
    enthalpy: Share
    reason: Text


class RefrigerantModel(Model):
    """One refrigerant; components by mass, nominal composition of ASHRAE 34."""

    refrigerant: RefrigerantName
    safety_group: SafetyGroup
    components: Annotated[dict[_Component, Share], Field(min_length=1), WrapValidator(_composition)]
    composition_source: Text
    gwp: Annotated[list[GwpModel], Field(min_length=1)]
    pairs: list[PairModel] = Field(default_factory=list)
    uncertainty: UncertaintyModel
    critical_temperature: Temperature | None = None
    critical_pressure: AbsolutePressure | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        if twice([g.report for g in self.gwp]) is not None:
            raise BadKey(wording.REPORT_TWICE(), "gwp")
        if (self.critical_temperature is None) != (self.critical_pressure is None):
            raise BadKey(wording.CRITICAL_POINT_IN_PART())
        self._check_pairs()
        return self

    def _check_pairs(self) -> None:
        seen: set[frozenset[str]] = set()
        for index, pair in enumerate(self.pairs):
            for place, name in enumerate(pair.between):
                if name not in self.components:
                    rule = wording.PAIR_OF_STRANGER(components=", ".join(self.components))
                    raise BadKey(rule + near(name, self.components), "pairs", index, "between", place)
            key = frozenset(pair.between)
            if len(key) < 2:
                raise BadKey(wording.PAIR_OF_ONE(), "pairs", index, "between")
            if key in seen:
                raise BadKey(wording.PAIR_TWICE(), "pairs", index, "between")
            seen.add(key)

    def record(self) -> RefrigerantRecord:
        """The refrigerant as the registry has it."""
        pressure = self.critical_pressure
        definition = self.into(
            RefrigerantDefinition,
            name=self.refrigerant,
            components=tuple(self.components),
            mass_fractions=tuple(self.components.values()),
            pairs=tuple(pair.inputs() for pair in self.pairs),
            critical_pressure_pa=pressure.value_pa if pressure else None,
        )
        return self.into(
            RefrigerantRecord,
            definition=definition,
            gwp=tuple(g.inputs() for g in self.gwp),
            uncertainty=self.uncertainty.into(PropertyUncertainty),
            pair_sources=tuple(PairSource(pair.between[0], pair.between[1], pair.source) for pair in self.pairs),
        )


class RefrigerantFiles(Mapping[str, RefrigerantRecord]):
    """Records by name, each read from its file when it is first asked for."""

    def __init__(self, reader: Reader) -> None:
        packaged = {p.stem: p for p in (packaged_configs() / "refrigerants").glob("*.yaml")}
        paths = packaged | reader.files_in("refrigerants")
        self.paths = {stem: paths[stem] for stem in sorted(paths) if stem == refrigerant_name(stem)}
        for stem in paths.keys() - self.paths.keys():
            text = input_errors.FILE_MISNAMED(name=refrigerant_name(stem))
            reader.problems.append(FileProblem(shown_name(paths[stem]), 0, "", text))
        self._reader = reader
        self._documents: dict[str, ConfigDocument] = {}
        self._records: dict[str, RefrigerantRecord] = {}

    def read_all(self) -> None:
        """Read every file; problems are noted by the reader."""
        for name in self.paths:
            self._read(name)

    def registry(self, store: PropertyStore) -> Registry:
        """The registry of these records, with property tables of a store."""
        return Registry(self, store, lambda name, error: ConfigError([self.problem(name, error)]))

    def problem(self, name: str, error: PropertyError) -> FileProblem:
        """What the property library could not do, at the key that most likely causes it."""
        document = self._documents[name]
        if isinstance(error, MissingPairError):
            return document.problem(("components",), wording.GIVE_PAIRS(len(error.pairs), rule=error.rule))
        if isinstance(error, IncompletePairError):
            return document.problem(("pairs", error.index), error.rule)
        has_pairs = bool(document.value(("pairs",)))
        if isinstance(error, CriticalPointError):
            path = (f"critical_{error.quantity}",)
            hint = wording.CRITICAL_POINT_OR_PAIRS() if has_pairs else wording.CRITICAL_POINT()
            return document.problem(path, str(BadValue(repr(str(document.value(path))), error.rule, hint)))
        if has_pairs:
            return document.problem(("pairs",), wording.CHECK_PAIRS(error=str(error)))
        return document.problem(("components",), str(error))

    def _read(self, name: str) -> None:
        document = self._reader.document(self.paths[name])
        model = self._reader.model(RefrigerantModel, document)
        if document is None or model is None:
            return
        self._reader.check_stem(document, "refrigerant", model.refrigerant, name)
        strange = [key for key in document.mapping("components") if refrigerant_name(key) not in COMPONENTS]
        for key in strange:
            path, component = ("components", key), refrigerant_name(key)
            self._reader.refuse_unknown(document, path, wording.A_COMPONENT(), component, COMPONENTS, key)
        if not strange:
            self._documents[name], self._records[name] = document, model.record()

    def __getitem__(self, name: str) -> RefrigerantRecord:
        if name not in self._records:
            self._read(name)
            self._reader.stop_if_wrong()
        return self._records[name]

    def __contains__(self, name: object) -> bool:
        return name in self.paths

    def __iter__(self) -> Iterator[str]:
        return iter(self.paths)

    def __len__(self) -> int:
        return len(self.paths)


def load_registry(folder: Path | None = None, store: PropertyStore | None = None) -> Registry:
    """The packaged refrigerants, and over them those of `folder`/refrigerants.

    Raises ConfigError with every problem in the files, or when a refrigerant is looked up that cannot be computed.
    """
    reader = Reader(folder or packaged_configs())
    files = RefrigerantFiles(reader)
    files.read_all()
    reader.stop_if_wrong()
    return files.registry(store or PropertyStore())


def uncomputable(names: Iterable[str], registry: Registry, files: RefrigerantFiles) -> list[FileProblem]:
    """A problem for every named refrigerant that the property library cannot give."""
    found = []
    for name in names:
        try:
            registry.computed(name)
        except PropertyError as error:
            found.append(files.problem(name, error))
    return found


def own_refrigerants(folder: Path) -> list[str]:
    """The names of a folder's refrigerant files that are not copies of packaged ones."""
    packaged = packaged_configs() / "refrigerants"
    if packaged.resolve() == (folder / "refrigerants").resolve():
        return []
    own, _ = config_files(folder / "refrigerants", "")
    return [
        path.stem
        for path in own
        if not (packaged / path.name).is_file() or _content(path) != _content(packaged / path.name)
    ]


def _content(path: Path) -> bytes:
    """The bytes of a file without a first line that names its schema."""
    content = read_file(path, shown_name(path))
    return content.partition(b"\n")[2] if content.startswith(SCHEMA_LINE.encode()) else content
