"""Valve families of a catalogue: what their files must agree on with each other and with the refrigerants."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from tablegen.config._charge_model import check_charge
from tablegen.config._reader import Reader
from tablegen.config.document import Document
from tablegen.config.family_model import FamilyModel, ThermostaticModel
from tablegen.errors import BadValue, unknown
from tablegen.model.inputs import Family
from tablegen.model.registry import Registry
from tablegen.physics.flow import FlowLaw
from tablegen.physics.refrigerants import Refrigerant
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors


@dataclass(frozen=True, slots=True)
class FamilyFile:
    """A sound family file."""

    document: Document
    model: FamilyModel

    def for_members(self, members: Collection[str]) -> FamilyFile:
        """The family with those charges alone that are for some refrigerants, and for these alone."""
        if not isinstance(self.model, ThermostaticModel):
            return self
        charges = [
            charge.model_copy(update={"refrigerants": [name for name in charge.refrigerants if name in members]})
            for charge in self.model.charges
        ]
        update = {"charges": [charge for charge in charges if charge.refrigerants]}
        return FamilyFile(self.document, self.model.model_copy(update=update))

    def refrigerants(self) -> list[str]:
        """The refrigerants that the valves are rated with, set with, charged with or offered for."""
        names = [self.model.rating.refrigerant] if self.model.rating else []
        for charge in self.model.charges if isinstance(self.model, ThermostaticModel) else ():
            names += [charge.setting.refrigerant, *([charge.fluid] if charge.fluid else []), *charge.refrigerants]
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
        balances = []
        for index, charge in enumerate(self.model.charges):
            path, unbalance = ("charges", index), self.model.port.unbalance
            problems, balance = check_charge(self.document, path, charge, unbalance, refrigerants)
            reader.problems += problems
            balances.append(balance)
        return self.model.inputs(balances, refrigerants)

    def _check_rating(self, reader: Reader, refrigerants: Mapping[str, Refrigerant]) -> bool:
        """Whether the rating can be used: its refrigerant is known and its states exist."""
        model = self.model
        if model.rating is None:
            return True
        if model.rating.refrigerant not in refrigerants:
            text = unknown(input_errors.A_REFRIGERANT(), model.rating.refrigerant, refrigerants)
            reader.refuse(self.document, ("rating", "refrigerant"), text)
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
                text = unknown(input_errors.A_REFRIGERANT(), name, registry)
                reader.refuse(own.document, ("approved", "refrigerants", index), text)
        for index, charge in enumerate(own.model.charges if isinstance(own.model, ThermostaticModel) else ()):
            for place, name in enumerate(charge.refrigerants):
                # An unknown name is reported with the charge.
                if name in registry and (why := own.why_not(name, registry)):
                    rule = wording.SEE_APPROVED(reason=f"{why[0].lower()}{why[1:-1]}")
                    path = ("charges", index, "refrigerants", place)
                    reader.refuse(own.document, path, str(BadValue(repr(name), rule)))
