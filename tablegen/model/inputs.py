"""What a catalogue is made of, in SI: the frozen inputs of a sweep."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from tablegen.errors import FileProblem
from tablegen.model.company import PrintSettings, Wholesaler
from tablegen.model.nearby_parts import NearbyPart
from tablegen.model.offered_choices import Approval, Offered
from tablegen.model.part_numbers import PartNumber
from tablegen.model.publications import (
    Booklet,
    Combination,
    CounterChart,
    Handout,
    LeaveOutRule,
    ShelfLabels,
    Unstocked,
)
from tablegen.model.registry import PropertyUncertainty, RefrigerantRecord
from tablegen.model.scatter import InstallationScatter, ProductionScatter, Tolerance
from tablegen.model.stock import Stock
from tablegen.physics.actuators import Actuator
from tablegen.physics.arrays import Floats
from tablegen.physics.connection import kv_of_port
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.flow import FlowLaw
from tablegen.physics.rating import ValveRating
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import OperatingCondition, SystemInputs
from tablegen.physics.valve import FactorySetting, OpeningCharacteristic, Stem
from tablegen.physics.windows import Valve


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """One size of a family: Kv at rated stroke [m3/h], and capacity [W] at the family's rating (NaN without one).

    `name` is its key in files, data sets and commands; `display_name` is what is printed, the key if none is given.
    `port_design` names what it has in place of the family's own data, empty for nothing. Kv is that of the valve with its
    connections, whose own is `connection_kv_m3h` [m3/h], None without a loss there; `is_kv_of_port` says that the config
    states Kv (or capacity) without them.
    """

    name: str
    kv_rated_m3h: float
    nominal_capacity_w: float = float("nan")
    kv_tolerance: Tolerance | None = None
    display_name: str = ""
    port_design: str = ""
    connection_kv_m3h: float | None = None
    is_kv_of_port: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "display_name", self.display_name or self.name)

    @property
    def connection_ratio(self) -> float | None:
        """Kv of the port over Kv of the connections [1]; None without a loss in the connections."""
        if self.connection_kv_m3h is None or not self.kv_rated_m3h < self.connection_kv_m3h:
            return None
        return float(kv_of_port(self.kv_rated_m3h, self.connection_kv_m3h)) / self.connection_kv_m3h


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerElement:
    """What a family is fitted with for some refrigerants and temperature ranges: a set bulb charge, or a drive.

    `temperature_ranges` and `refrigerants` are empty where it is for all; `min_static_superheat_k` [K] is the minimum
    static superheat of its refrigerants; `stem` is None where nothing is said of turning its spring.  At its maximum
    operating pressure the setting refrigerant evaporates at `mop_evaporating_k` [K, dew].
    """

    name: str
    title: str
    temperature_ranges: tuple[str, ...]
    refrigerants: tuple[str, ...]
    actuator: Actuator
    setting: FactorySetting | None = None
    setting_refrigerant: str = ""
    maximum_operating_pressure_pa: float | None = None
    mop_evaporating_k: float | None = None
    min_static_superheat_k: float | None = None
    static_superheat_tolerance: Tolerance | None = None
    opening_superheat_tolerance: Tolerance | None = None
    charge_pressure_tolerance: Tolerance | None = None
    stem: Stem | None = None

    def with_actuator(self, **changes: float) -> PowerElement:
        """The power element with some figures of its actuator changed."""
        return replace(self, actuator=replace(self.actuator, **changes))  # type: ignore[type-var]

    def serves(self, refrigerant: str, temperature_range: str) -> bool:
        """Whether it is meant for a refrigerant in a temperature range."""
        fits = not self.temperature_ranges or temperature_range in self.temperature_ranges
        return fits and (not self.refrigerants or refrigerant in self.refrigerants)


@dataclass(frozen=True, slots=True, kw_only=True)
class PortDesign:
    """What some sizes have in place of their family's own data; `elements` are the family's, in this port."""

    name: str
    working_pressure_gauge_pa: float
    allowed_differential_pa: float
    characteristic: OpeningCharacteristic
    elements: tuple[PowerElement, ...]
    unbalance_tolerance: Tolerance | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """One valve family; pressures [Pa], the working pressure as gauge.

    `name` is its key in files, data sets and commands; `display_name` is what it is called in print. `port_designs` are
    what its sizes name; a part of it that has the sizes of one design alone has that design's data as its own, and the
    design's name as `port_design`. `discharge` is None under every other flow law.
    """

    name: str
    display_name: str
    title: str
    note: str
    kind: str
    flow_law: FlowLaw
    flow_law_reason: str
    pressure_recovery: float
    working_pressure_gauge_pa: float
    allowed_differential_pa: float
    rating: ValveRating | None
    rating_source: str
    sizes: tuple[Size, ...]
    characteristic: OpeningCharacteristic
    elements: tuple[PowerElement, ...]
    approved: Approval
    offered: Offered = field(default_factory=Offered)
    pressure_recovery_tolerance: Tolerance | None = None
    unbalance_tolerance: Tolerance | None = None
    scatter: ProductionScatter = field(default_factory=ProductionScatter)
    port_designs: tuple[PortDesign, ...] = ()
    port_design: str = ""
    discharge: DischargeCoefficient | None = None
    discharge_source: str = ""

    def fitted_like(self, element: PowerElement) -> PowerElement:
        """The power element of the same name in this part of the family."""
        return next(own for own in self.elements if own.name == element.name)

    def element_for(self, refrigerant: str, temperature_range: str) -> PowerElement | None:
        """The first power element that fits, None where the family offers none."""
        return next((t for t in self.elements if t.serves(refrigerant, temperature_range)), None)

    def size_name(self, size: str) -> str:
        """What the size with a key is called in print."""
        return next(s.display_name for s in self.sizes if s.name == size)

    @property
    def part_name(self) -> str:
        """A name that no other part of `by_design` has: the family's own, where nothing sets its sizes apart."""
        is_part = self.port_design or self.characteristic.connection_ratio is not None
        return f"{self.name} {self.sizes[0].name}" if is_part else self.name

    def by_design(self) -> tuple[Family, ...]:
        """The family in parts whose sizes have one window for each m3/h of rated Kv; itself where all have."""
        found: dict[tuple[str, float | None], list[Size]] = {}
        for size in self.sizes:
            # A pulse-modulated port is at rated stroke whenever it is open: connections bear on its Kv alone.
            ratio = None if self.kind == "pulse_modulated" else size.connection_ratio
            found.setdefault((size.port_design, ratio), []).append(size)
        if list(found) == [(self.port_design, self.characteristic.connection_ratio)]:
            return (self,)
        return tuple(self._part(*key, tuple(sizes)) for key, sizes in found.items())

    def with_design_of(self, size: str) -> Family:
        """The part that has a size, by its key."""
        return next(part for part in self.by_design() if any(own.name == size for own in part.sizes))

    def with_elements(self, change: Callable[[PowerElement], PowerElement]) -> Family:
        """The family with every power element of its own changed."""
        return replace(self, elements=tuple(map(change, self.elements)))

    def refitted(self, size: str, element: PowerElement) -> Family:
        """The family with a power element in place of that of the same name, in the part that has a size, by its key."""
        part = self.with_design_of(size)
        elements = tuple(element if own.name == element.name else own for own in part.elements)
        if not part.port_design:
            return replace(self, elements=elements)
        designs = (replace(d, elements=elements) if d.name == part.port_design else d for d in self.port_designs)
        return replace(self, port_designs=tuple(designs))

    def alone(self, size: Size) -> Family:
        """The part with one size alone."""
        return replace(self.with_design_of(size.name), sizes=(size,))

    def _part(self, port_design: str, ratio: float | None, sizes: tuple[Size, ...]) -> Family:
        own: Family | PortDesign = next((d for d in self.port_designs if d.name == port_design), self)
        return replace(
            self,
            sizes=sizes,
            port_designs=(),
            port_design=port_design,
            characteristic=replace(own.characteristic, connection_ratio=ratio),
            elements=own.elements,
            working_pressure_gauge_pa=own.working_pressure_gauge_pa,
            allowed_differential_pa=own.allowed_differential_pa,
            unbalance_tolerance=own.unbalance_tolerance,
        )

    def valve(self, element: PowerElement, site_pressure_pa: float) -> Valve:
        """The family with one power element, at a site's atmospheric pressure [Pa].

        Raises
        ------
        ValueError
            If its sizes differ in more than Kv, so that it is not one valve: take a part of `by_design`.
        """
        [own] = self.by_design()
        return Valve(
            element.actuator,
            own.characteristic,
            own.working_pressure_gauge_pa + site_pressure_pa,
            own.allowed_differential_pa,
        )


@dataclass(frozen=True, slots=True)
class Group:
    """Refrigerants that share one printed window."""

    name: str
    title: str
    members: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Application:
    """One application of a catalogue: suction grid [K], and the inputs for every refrigerant.

    `sources` says where each part comes from; `own_heads` lists the heads that were given for one refrigerant alone;
    `scatter` is what installations differ by for each refrigerant, without an entry by nothing.
    `coil_temperature_difference_k` [K] is how far the box is above the SST, for print; None where it is not stated.
    """

    name: str
    title: str
    note: str
    temperature_range: str
    site_pressure_pa: float
    sst_k: Floats
    example_sst_k: float
    systems: Mapping[str, SystemInputs]
    sources: Mapping[str, str]
    own_heads: tuple[tuple[str, OperatingCondition], ...] = ()
    scatter: Mapping[str, InstallationScatter] = field(default_factory=dict)
    coil_temperature_difference_k: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Confidence:
    """How scatter is carried into limits.

    `share` [1] of the valves installed keep a limit, with the confidence `level` [1] in what is shared by all of them;
    either is one-sided. `samples` is the number of draws, a power of two, `seed` that of their scrambling. With
    `is_printed` tables and picks give limits at confidence; without it they are nominal, and the limits at confidence
    are given beside them.
    """

    share: float
    level: float
    samples: int
    seed: int
    is_printed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """All inputs of one build.

    `settings` are the refrigerants that valves are set with, `uncertainty` what is known of the properties of these
    and of all others by name; `files` maps each config file to its SHA-256. Without `confidence` nothing is said of
    scatter. `translations` are the catalogue's own texts in other languages, by code and text. `stock` is None where there is no
    stock sheet, so that every size is there; `unstocked` are charts and labels that are left out by it.
    `known_refrigerants` can be computed, whether a group has them or not.
    """

    name: str
    printing: PrintSettings
    families: Mapping[str, Family]
    groups: Mapping[str, Group]
    applications: Mapping[str, Application]
    combinations: tuple[Combination, ...]
    left_out: tuple[LeaveOutRule, ...]
    refrigerants: Mapping[str, Refrigerant]
    records: Mapping[str, RefrigerantRecord]
    settings: Mapping[str, Refrigerant]
    booklets: tuple[Booklet, ...]
    charts: tuple[CounterChart, ...]
    handouts: tuple[Handout, ...]
    files: Mapping[str, str]
    uncertainty: Mapping[str, PropertyUncertainty] = field(default_factory=dict)
    confidence: Confidence | None = None
    part_numbers: tuple[PartNumber, ...] = ()
    wrong_part_numbers: tuple[FileProblem, ...] = ()
    stock: Stock | None = None
    labels: tuple[ShelfLabels, ...] = ()
    translations: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    nearby_parts: tuple[NearbyPart, ...] = ()
    unstocked: tuple[Unstocked, ...] = ()
    known_refrigerants: tuple[str, ...] = ()

    @property
    def data_files(self) -> Mapping[str, str]:
        """The files that limits follow from: what is on the shelf changes none."""
        stock = "" if self.stock is None else self.stock.key
        return {name: digest for name, digest in self.files.items() if name != stock}

    @property
    def wholesaler(self) -> Wholesaler | None:
        """Whom to call: the company's wholesaler, or that of the counter charts if all have the same."""
        charts = {Wholesaler(own.wholesaler, own.telephone, own.logo) for own in self.charts}
        return self.printing.company.wholesaler or (charts.pop() if len(charts) == 1 else None)

    def numbered_valves(self, family: str, size: str, charge: str = "") -> tuple[PartNumber, ...]:
        """What has a part number and may be a valve: rows of the stock sheet of which there is any, then the list.

        Family, size and power element are keys; without a power element those of all are meant.
        """
        stocked = (item.valve for item in self.stock.items if item.quantity != 0) if self.stock else ()
        wanted = PartNumber(number="", family=family, size=size, charge=charge)
        return tuple(own for own in (*stocked, *self.part_numbers) if own.number and own.allows(wanted))

    def valve_name(self, family: str, size: str) -> str:
        """A size with its family as they are called in print, by their keys."""
        own = self.families[family]
        return f"{own.display_name} {own.size_name(size)}"

    def refrigerants_in(self, application: str) -> tuple[str, ...]:
        """The refrigerants that tables are made for in an application, in the catalogue's order."""
        groups = {c.group for c in self.combinations if c.application == application}
        return tuple(dict.fromkeys(m for name, g in self.groups.items() if name in groups for m in g.members))
