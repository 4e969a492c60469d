"""Valve families of a catalogue: what their files must agree on with each other and with the refrigerants."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from tablegen.config._charge_model import ChargeCheck, ChargeModel
from tablegen.config._reader import Reader
from tablegen.config.document import ConfigDocument, KeyPath
from tablegen.config.family_model import FamilyModel, ThermostaticModel
from tablegen.errors import BadValue
from tablegen.model.inputs import Family
from tablegen.model.registry import Registry
from tablegen.physics.flow import FlowLaw
from tablegen.physics.refrigerants import Refrigerant
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors


@dataclass(frozen=True, slots=True)
class FamilyFile:
    """A sound family file; of its charges those for `members` alone are looked at, all of them without it."""

    document: ConfigDocument
    model: FamilyModel
    members: Collection[str] | None = None

    def charges(self) -> Iterator[tuple[int, ChargeModel]]:
        """The charges that are looked at, with their index in the file."""
        for index, charge in enumerate(self.model.charges if isinstance(self.model, ThermostaticModel) else ()):
            if self.members is None or not set(self.members).isdisjoint(charge.refrigerants):
                yield index, charge

    def wanted(self, charge: ChargeModel) -> list[tuple[int, str]]:
        """The refrigerants of a charge that are looked at, with their index in the file."""
        return [(i, name) for i, name in enumerate(charge.refrigerants) if self.members is None or name in self.members]

    def refrigerants(self) -> list[str]:
        """The refrigerants that the valves are rated with, set with, charged with or offered for."""
        names = [self.model.rating.refrigerant] if self.model.rating else []
        for _, charge in self.charges():
            names += [charge.setting.refrigerant, *([charge.fluid] if charge.fluid else [])]
            names += [name for _, name in self.wanted(charge)]
        return names

    def why_not(self, refrigerant: str, registry: Registry) -> str:
        """Why the family is not approved for a refrigerant, as a sentence; empty where it is."""
        return self.model.approved.inputs().why_not(refrigerant, registry.records[refrigerant].safety_group)

    def inputs(self, reader: Reader, refrigerants: Mapping[str, Refrigerant]) -> Family | None:
        """The family; None if its rating cannot be used.  Problems are noted by the reader."""
        if not self._check_rating(reader, refrigerants):
            return None
        if not isinstance(self.model, ThermostaticModel):
            return self.model.inputs(refrigerants)
        elements = []
        for index, charge in self.charges():
            check = ChargeCheck(self.document, ("charges", index), charge, self.wanted(charge), refrigerants)
            balance = check.balance(self.model.port.unbalance)
            reader.problems += check.problems
            if balance is not None:
                elements.append(charge.element(self.model.actuator(charge, balance)))
        return self.model.inputs(elements, refrigerants)

    def _check_rating(self, reader: Reader, refrigerants: Mapping[str, Refrigerant]) -> bool:
        """Whether the rating can be used: its refrigerant is known and its states exist."""
        model = self.model
        if model.rating is None:
            return True
        if model.rating.refrigerant not in refrigerants:
            what, path = input_errors.A_REFRIGERANT(), ("rating", "refrigerant")
            reader.problems.append(self.document.unknown(path, what, model.rating.refrigerant, refrigerants))
            return False
        rating = model.rating.inputs(refrigerants)
        if not float(rating.capacity(np.asarray(1.0), FlowLaw(model.flow_law), model.recovery)) > 0.0:
            reader.refuse(self.document, ("rating",), wording.NO_RATED_FLOW())
            return False
        return True


def check_family_names(reader: Reader, families: Mapping[str, FamilyFile]) -> None:
    """No family has the name of another one, as key or in print, for commands take either."""
    taken = {key.casefold(): key for key in families}
    for key, own in families.items():
        owner = taken.setdefault(own.model.name.casefold(), key)
        if owner != key:
            rule = wording.FAMILY_NAME_TAKEN(owner=owner, file=families[owner].document.file)
            reader.refuse(own.document, ("name",), str(BadValue(repr(own.model.name), rule)))


def check_approvals(reader: Reader, families: Iterable[FamilyFile], registry: Registry) -> None:
    """Approved refrigerants are known, and no charge is for one that is not approved."""
    for own in families:
        for index, name in enumerate(own.model.approved.refrigerants):
            if name not in registry:
                path: KeyPath = ("approved", "refrigerants", index)
                reader.problems.append(own.document.unknown(path, input_errors.A_REFRIGERANT(), name, registry))
        for index, charge in own.charges():
            for place, name in own.wanted(charge):
                # An unknown name is reported with the charge.
                if name in registry and (why := own.why_not(name, registry)):
                    rule = wording.SEE_APPROVED(reason=f"{why[0].lower()}{why[1:-1]}")
                    path = ("charges", index, "refrigerants", place)
                    reader.refuse(own.document, path, str(BadValue(repr(name), rule)))
