"""The family on the bench: what its file says, and what stays sound when a fragment takes the place of keys in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from tablegen.bench.readings import ChargeOnBench, StatedFlow, ValveOnBench
from tablegen.config._charge_model import ChargeCheck
from tablegen.config._reader import Problems
from tablegen.config._validation import validate
from tablegen.config.bench_file import Expected
from tablegen.config.document import ConfigDocument, Yaml, as_mapping, mappings, read_document
from tablegen.config.family_model import FAMILY_KINDS, FamilyModel, StepperModel, ThermostaticModel
from tablegen.errors import ConfigError, FileProblem, RequestError
from tablegen.model.inputs import Family
from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator
from tablegen.physics.refrigerants import Refrigerant
from tablegen.wording import fit as wording

# A liquid charge is given by its fluid; the others may be given by points.
_BY_POINTS = ("gas", "cross", "adsorption")


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchFamily:
    """A family's document and model, and the same as the fit and the reader of bench files need it.

    `port_design` is that of the sizes tested, "" for none.
    """

    document: ConfigDocument
    model: FamilyModel
    family: Family
    valve: ValveOnBench
    port_design: str = ""

    @property
    def sizes(self) -> list[dict[str, Yaml]]:
        """The entries under `sizes` as they are written."""
        return mappings(self.document.value(("sizes",)))

    @property
    def charges(self) -> list[dict[str, Yaml]]:
        """The entries under `charges` as they are written."""
        return mappings(self.document.value(("charges",)))

    @property
    def design(self) -> dict[str, Yaml]:
        """The port design of the sizes tested as it is written; empty for none."""
        designs = mappings(self.document.value(("port_designs",))) if self.port_design else []
        return next((own for own in designs if own["design"] == self.port_design), {})

    def stated(self, key: str) -> dict[str, Yaml]:
        """What is written of the sizes tested under a key: by their port design, or else by the family."""
        return as_mapping(self.design.get(key)) or self.document.mapping(key)

    def expected(
        self, refrigerants: Mapping[str, Refrigerant], charge: str | None, has_readings: bool = True
    ) -> Expected:
        """What a bench file may speak of; `charge` stands where a row names none."""
        charges = tuple(self.valve.charges)
        default = charge or (charges[0] if len(charges) == 1 else "")
        steps = self.model.full_steps if isinstance(self.model, StepperModel) else None
        is_internal = isinstance(self.model, ThermostaticModel) and self.model.equalizer == "internal"
        sizes = {size.name: size.display_name for size in self.family.sizes}
        return Expected(
            sizes=sizes,
            charges=charges,
            refrigerants=tuple(refrigerants),
            default_charge=default,
            full_steps=steps,
            is_internally_equalized=is_internal,
            has_readings=has_readings,
        )

    def of_sizes(self, sizes: Iterable[str], settings: Mapping[str, Refrigerant]) -> tuple[BenchFamily, Family]:
        """The same for the sizes that a bench file has, by their names in print, and the part with their port design.

        Raises RequestError if the sizes have several, for a fit is one of one port.
        """
        tested = {str(size) for size in sizes if size}
        parts = [own for own in self.family.by_design() if tested & {size.display_name for size in own.sizes}]
        designs = {part.port_design: part for part in parts} or {"": self.family.by_design()[0]}
        if len(designs) > 1:
            of_design = [", ".join(s.display_name for s in part.sizes if s.display_name in tested) for part in parts]
            raise RequestError(wording.SEVERAL_DESIGNS(sizes="; ".join(of_design)))
        [part] = designs.values()
        valve = _valve(self.model, part, settings)
        return replace(self, valve=valve, port_design=part.port_design), part


def bench_family(folder: Path, family: Family, settings: Mapping[str, Refrigerant]) -> BenchFamily:
    """A family of a loaded catalogue in `folder`; `settings` has the refrigerants that valves are set with."""
    path = folder / "families" / f"{family.name}.yaml"
    document = read_document(path)
    model = validate(FAMILY_KINDS[family.kind], document)
    valve = _valve(model, family, settings)
    return BenchFamily(document=document, model=model, family=family, valve=valve)


def _valve(model: FamilyModel, family: Family, settings: Mapping[str, Refrigerant]) -> ValveOnBench:
    kinds = {c.charge: c.kind for c in model.charges} if isinstance(model, ThermostaticModel) else {}
    charges = {}
    minimum = 0.0
    for element in family.elements:
        if isinstance(element.actuator, ElectronicActuator):
            minimum = element.actuator.minimum
        if isinstance(element.actuator, ThermostaticActuator) and element.setting is not None:
            minimum = element.actuator.min_stable
            charges[element.name] = ChargeOnBench(
                element.actuator.balance.charge,
                element.setting,
                settings[element.setting_refrigerant],
                kinds[element.name] in _BY_POINTS,
            )
    has_characteristic = family.kind != "pulse_modulated"
    # By the names in print, which rows have.
    tolerances = {size.display_name: size.kv_tolerance for size in family.sizes if size.kv_tolerance is not None}
    sizes = {size.display_name: size.kv_rated_m3h for size in family.sizes}
    recovery = family.pressure_recovery_tolerance
    stated = StatedFlow(
        kv_m3h=sizes,
        characteristic=family.characteristic,
        pressure_recovery=family.pressure_recovery,
        discharge=family.discharge,
        kv_deviation={name: tolerance.standard_deviation / sizes[name] for name, tolerance in tolerances.items()},
        recovery_deviation=0.0 if recovery is None else recovery.standard_deviation / family.pressure_recovery,
    )
    return ValveOnBench(
        family=family.name,
        stop=family.characteristic.stop,
        min_opening=minimum,
        law=family.flow_law,
        has_characteristic=has_characteristic,
        charges=charges,
        stated=stated,
    )


def pasted(document: ConfigDocument, fragment: Mapping[str, Yaml]) -> ConfigDocument:
    """A family's document with a fragment in it.

    Each key takes the place of the same key, a new one comes behind the one before it in the fragment; under `charges`
    each charge takes the place of the one of its name, and so does a port design.
    """
    data, before = dict(document.data), ""
    for key, value in fragment.items():
        if key in data or before not in data:
            data[key] = value
        else:
            at = list(data).index(before) + 1
            data = dict([*list(data.items())[:at], (key, value), *list(data.items())[at:]])
        before = key
    for key, name in (("charges", "charge"), ("port_designs", "design")):
        if own := {str(entry[name]): entry for entry in mappings(fragment.get(key))}:
            data[key] = [own.get(str(entry[name]), entry) for entry in mappings(document.data[key])]
    return ConfigDocument(document.file, data, document.places)


def problems_with(
    bench: BenchFamily, fragment: Mapping[str, Yaml], refrigerants: Mapping[str, Refrigerant]
) -> tuple[FileProblem, ...]:
    """What would be wrong in the family's file with a fragment in it; lines are those of the file as it is."""
    document = pasted(bench.document, fragment)
    try:
        model = validate(FAMILY_KINDS[bench.family.kind], document)
    except ConfigError as error:
        return error.problems
    found = Problems()
    if isinstance(model, ThermostaticModel):
        design = next((own for own in model.port_designs if own.design == bench.port_design), None)
        port = (model if design is None else model.with_design(design)).port
        changed = {str(charge["charge"]) for charge in mappings(fragment.get("charges"))}
        for index, charge in enumerate(model.charges):
            # The port acts at the setting's own drop, and a setting is not moved by it.
            if charge.charge in changed:
                wanted = list(enumerate(charge.refrigerants))
                ChargeCheck(
                    found=found, document=document, index=index, charge=charge, wanted=wanted, refrigerants=refrigerants
                ).balance(port.unbalance)
    return tuple(found.problems)
