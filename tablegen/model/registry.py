"""Every refrigerant that a catalogue may name: its record, and its states once they are asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from tablegen.errors import PropertyError, TablegenError
from tablegen.model.property_store import PropertyStore
from tablegen.physics.definition import RefrigerantDefinition
from tablegen.physics.refrigerants import Refrigerant


@dataclass(frozen=True, slots=True)
class Gwp:
    """Global warming potential over 100 years; `value` is an upper bound where `is_below`."""

    report: str
    value: float
    is_below: bool
    source: str


@dataclass(frozen=True, slots=True)
class PropertyUncertainty:
    """How far computed and true may lie apart, as shares: saturation pressure, density, enthalpy differences."""

    pressure: float
    density: float
    enthalpy: float
    reason: str


@dataclass(frozen=True, slots=True)
class PairSource:
    """Where the parameters of a binary pair come from that are not the property library's."""

    first: str
    second: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RefrigerantRecord:
    """What is known of a refrigerant beside its states."""

    definition: RefrigerantDefinition
    safety_group: str
    gwp: tuple[Gwp, ...]
    uncertainty: PropertyUncertainty
    composition_source: str
    pair_sources: tuple[PairSource, ...]

    @property
    def is_blend(self) -> bool:
        """Whether it has more than one component."""
        return len(self.definition.components) > 1


class Registry(Mapping[str, Refrigerant]):
    """Refrigerants by name; looking one up takes its table from the store.

    Where that fails, `explain` makes the error to raise, because the reader of the records knows their lines; without
    it a PropertyError goes to the caller as it is.
    """

    def __init__(
        self,
        records: Mapping[str, RefrigerantRecord],
        store: PropertyStore,
        explain: Callable[[str, PropertyError], TablegenError] | None = None,
    ) -> None:
        self.records = records
        self._store = store
        self._explain = explain

    def __getitem__(self, name: str) -> Refrigerant:
        try:
            return self.computed(name)
        except PropertyError as error:
            if self._explain is None:
                raise
            raise self._explain(name, error) from error

    def computed(self, name: str) -> Refrigerant:
        """As looked up, but a PropertyError is left as it is."""
        return self._store.refrigerant(self.records[name].definition)

    def __contains__(self, name: object) -> bool:
        return name in self.records

    def __iter__(self) -> Iterator[str]:
        return iter(self.records)

    def __len__(self) -> int:
        return len(self.records)
