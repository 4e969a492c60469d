"""Load a folder of configs into a catalogue, or say every mistake in it."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from pathlib import Path, PurePosixPath

import numpy as np

from tablegen.catalogue.inputs import Application, Catalogue, Combination, Family
from tablegen.catalogue.property_store import PropertyStore
from tablegen.config import convert
from tablegen.config.catalogue_model import CatalogueModel, GroupsModel
from tablegen.config.charge_check import check_charge
from tablegen.config.combining import check_rules, kept_of
from tablegen.config.editions import editions_of, read_editions
from tablegen.config.envelope_model import EnvelopeModel
from tablegen.config.family_model import FamilyModel, PulseModel, StepperModel, ThermostaticModel
from tablegen.config.overlay import overridden
from tablegen.config.reader import Reader
from tablegen.config.refrigerants import own_refrigerants, read_refrigerants, uncomputable
from tablegen.config.source import Document, KeyPath
from tablegen.errors import RequestError, unknown
from tablegen.physics.flow import FlowLaw
from tablegen.physics.refrigerants import Refrigerant

FAMILY_KINDS: dict[str, type[ThermostaticModel] | type[StepperModel] | type[PulseModel]] = {
    "thermostatic": ThermostaticModel,
    "stepper": StepperModel,
    "pulse_modulated": PulseModel,
}


def load_catalogue(
    path: Path,
    store: PropertyStore | None = None,
    also: Collection[str] | None = (),
    override: tuple[str | None, Document] | None = None,
) -> Catalogue:
    """Read a catalogue file and the configs in the folders beside it.

    Parameters
    ----------
    path : Path
    store : PropertyStore, optional
        Where property tables come from.
    also : collection of str or None
        Refrigerants to have ready although no group holds them; None means all of the registry.
    override : (str or None, Document), optional
        An envelope, None for the catalogue's first, and what is put over its file, for every refrigerant.

    Raises
    ------
    ConfigError
        With every mistake found; cross-references are looked at once the files themselves are sound.
    RequestError
        If a refrigerant in `also` is not known.
    """
    return _Loader(path, store or PropertyStore(), override).load(also)


class _Loader:
    """Reads files one after the other and keeps what is wrong, so that one run tells it all."""

    def __init__(self, path: Path, store: PropertyStore, override: tuple[str | None, Document] | None) -> None:
        self.override = override
        self.path = path
        self.store = store
        self.reader = Reader(path.parent)

    def load(self, also: Collection[str] | None) -> Catalogue:
        folder = self.path.parent
        document = self.reader.document(self.path)
        catalogue = self.reader.model(CatalogueModel, document)
        groups_document = self.reader.document(folder / "groups.yaml")
        groups = self.reader.model(GroupsModel, groups_document)
        refrigerants, documents = read_refrigerants(self.reader, self.store)
        families = self.reader.by_kind("families", "family", FAMILY_KINDS)
        envelopes = self._envelopes(folder, catalogue.envelopes[0] if catalogue else None)
        editions = read_editions(self.reader)
        self.reader.stop_if_wrong()
        assert document
        assert catalogue
        assert groups_document
        assert groups
        self._check_names(document, ("families",), catalogue.families, families)
        self._check_names(document, ("groups",), catalogue.groups, groups.groups)
        self._check_names(document, ("envelopes",), catalogue.envelopes, envelopes)
        self._check_names(document, ("editions",), catalogue.editions, editions)
        for name, group in groups.groups.items():
            self._check_names(groups_document, ("groups", name, "members"), group.members, refrigerants)
        known = {"family": catalogue.families, "group": catalogue.groups, "envelope": catalogue.envelopes}
        check_rules(self.reader, document, catalogue.leave_out, known)
        self._check_special(envelopes, refrigerants)
        self.reader.stop_if_wrong()
        every = [
            Combination(f, g, e) for f in catalogue.families for e in catalogue.envelopes for g in catalogue.groups
        ]
        combinations, left_out = kept_of(self.reader, document, catalogue.leave_out, every)
        self.reader.stop_if_wrong()
        used_groups = {c.group for c in combinations}
        used = list(dict.fromkeys(r for g in catalogue.groups if g in used_groups for r in groups.groups[g].members))
        for name in () if also is None else also:
            if name not in refrigerants:
                raise RequestError(unknown("a refrigerant", name, refrigerants))
        used = list(dict.fromkeys([*used, *(refrigerants if also is None else also)]))
        at_valves = _at_valves(families[name][1] for name in catalogue.families)
        wanted = [name for name in dict.fromkeys([*used, *at_valves]) if name in refrigerants]
        own = own_refrigerants(folder)
        self.reader.mistakes += uncomputable(dict.fromkeys([*wanted, *own]), refrigerants, documents)
        self.reader.stop_if_wrong()
        made = self._made(families, catalogue.families, refrigerants)
        applied = self._applied(envelopes, catalogue.envelopes, used)
        self._check_equalizers(families, combinations, applied)
        wanted_editions = [editions[name] for name in catalogue.editions]
        printed = editions_of(self.reader, wanted_editions, made, combinations)
        self.reader.stop_if_wrong()
        return Catalogue(
            catalogue.catalogue,
            convert.printing(catalogue),
            made,
            {g: convert.group(g, groups.groups[g]) for g in catalogue.groups},
            applied,
            combinations,
            left_out,
            {name: refrigerants[name] for name in used},
            {name: refrigerants.records[name] for name in used},
            {name: refrigerants[name] for name in at_valves if name in refrigerants},
            printed.booklets,
            printed.charts,
            printed.handouts,
            _files(self.reader.files, wanted),
            {name: refrigerants.records[name].uncertainty for name in wanted},
            convert.confidence(catalogue),
        )

    def _check_names(self, document: Document, path: KeyPath, given: Iterable[str], known: Iterable[str]) -> None:
        seen: set[str] = set()
        for index, name in enumerate(given):
            if name not in known:
                self.reader.mistakes.append(document.mistake((*path, index), unknown(_singular(path), name, known)))
            if name in seen:
                self.reader.mistakes.append(document.mistake((*path, index), f"{name!r} stands twice"))
            seen.add(name)

    def _check_special(
        self, envelopes: dict[str, tuple[Document, EnvelopeModel]], refrigerants: Mapping[str, Refrigerant]
    ) -> None:
        """The names in by_refrigerant are refrigerants; a misspelt one would leave its keys without effect."""
        for document, _ in envelopes.values():
            special = document.data.get("by_refrigerant", {})
            for name in special if isinstance(special, dict) else ():
                if name not in refrigerants:
                    text = unknown("a refrigerant", name, refrigerants)
                    self.reader.mistakes.append(document.mistake(("by_refrigerant", name), text))

    def _envelopes(self, folder: Path, first: str | None) -> dict[str, tuple[Document, EnvelopeModel]]:
        found = {}
        for path in sorted((folder / "envelopes").glob("*.yaml")):
            document = self.reader.document(path)
            if document is None:
                continue
            if self.override is not None and path.stem == (self.override[0] or first):
                document = overridden(document, self.override[1])
            model = self.reader.model(EnvelopeModel, document.without("by_refrigerant"))
            if model is not None:
                self.reader.check_stem(document, "envelope", model.envelope, path.stem)
                found[model.envelope] = (document, model)
        return found

    def _made(
        self,
        families: dict[str, tuple[Document, FamilyModel]],
        wanted: Iterable[str],
        refrigerants: Mapping[str, Refrigerant],
    ) -> dict[str, Family]:
        made = {}
        for name in wanted:
            document, model = families[name]
            if not self._check_rating(document, model, refrigerants):
                continue
            if not isinstance(model, ThermostaticModel):
                made[name] = convert.family(model, (convert.drive(model),), refrigerants)
                continue
            trims = []
            for index, charge in enumerate(model.charges):
                mistakes, trim = check_charge(document, ("charges", index), model, charge, refrigerants)
                self.reader.mistakes += mistakes
                if trim is not None:
                    trims.append(trim)
            made[name] = convert.family(model, tuple(trims), refrigerants)
        return made

    def _check_rating(self, document: Document, model: FamilyModel, refrigerants: Mapping[str, Refrigerant]) -> bool:
        """Whether the rating can be used: its refrigerant is known and its states exist."""
        if model.rating is None:
            return True
        if model.rating.refrigerant not in refrigerants:
            text = unknown("a refrigerant", model.rating.refrigerant, refrigerants)
            self.reader.mistakes.append(document.mistake(("rating", "refrigerant"), text))
            return False
        rating = convert.valve_rating(model.rating, refrigerants)
        recovery = model.pressure_recovery if model.pressure_recovery is not None else math.nan
        if not float(rating.capacity(np.asarray(1.0), FlowLaw(model.flow_law), recovery)) > 0.0:
            text = "the refrigerant has no such state, or no flow; look at its temperatures and pressure drop"
            self.reader.mistakes.append(document.mistake(("rating",), text))
            return False
        return True

    def _applied(
        self, envelopes: dict[str, tuple[Document, EnvelopeModel]], wanted: Iterable[str], used: list[str]
    ) -> dict[str, Application]:
        applied = {}
        for name in wanted:
            document, model = envelopes[name]
            base = document.without("by_refrigerant")
            special = document.data.get("by_refrigerant", {})
            if not isinstance(special, dict):
                text = "it must be a mapping of refrigerants to the keys that differ for them"
                self.reader.mistakes.append(document.mistake(("by_refrigerant",), text))
                continue
            made: dict[str, EnvelopeModel] = {}
            for refrigerant in used:
                own: EnvelopeModel | None = model
                if refrigerant in special:
                    own = self._own_model(document, base, refrigerant, model)
                if own is not None:
                    made[refrigerant] = own
            applied[name] = convert.application(model, made)
        return applied

    def _check_equalizers(
        self,
        families: dict[str, tuple[Document, FamilyModel]],
        combinations: Sequence[Combination],
        applied: dict[str, Application],
    ) -> None:
        """An internal equalizer feels the distributor's loss, so the two do not go together."""
        for family, envelope in sorted({(c.family, c.envelope) for c in combinations}):
            document, model = families[family]
            if not isinstance(model, ThermostaticModel) or model.equalizer != "internal" or envelope not in applied:
                continue
            if any(e.losses.distributor_pa > 0.0 for e in applied[envelope].envelopes.values()):
                text = (
                    f"'internal' is not allowed; envelope {envelope} has a distributor, whose loss an internal "
                    "equalizer would feel (use external, or set losses.distributor to 0 psi)"
                )
                self.reader.mistakes.append(document.mistake(("equalizer",), text))

    def _own_model(
        self, document: Document, base: Document, refrigerant: str, model: EnvelopeModel
    ) -> EnvelopeModel | None:
        """The envelope with a refrigerant's own keys over it; those that name the table must stay."""
        path = ("by_refrigerant", refrigerant)
        if not isinstance(document.data["by_refrigerant"][refrigerant], dict):
            self.reader.mistakes.append(document.mistake(path, "it must be a mapping of the keys that differ"))
            return None
        for key in ("envelope", "title", "application", "note", "site_pressure"):
            if key in document.data["by_refrigerant"][refrigerant]:
                text = "the key cannot differ between the refrigerants of one envelope"
                self.reader.mistakes.append(document.mistake((*path, key), text))
        own = self.reader.model(EnvelopeModel, base.overlaid(document.part(path)))
        if own is not None and convert.suction_grid(own).tolist() != convert.suction_grid(model).tolist():
            text = "suction.saturated_temperatures cannot differ between the refrigerants of one envelope"
            self.reader.mistakes.append(document.mistake((*path, "suction"), text))
        return own


def _at_valves(families: Iterable[FamilyModel]) -> list[str]:
    """The refrigerants that valves are set with, charged with or offered for."""
    names: list[str] = []
    for family in families:
        names += [family.rating.refrigerant] if family.rating else []
        for charge in family.charges if isinstance(family, ThermostaticModel) else ():
            names += [charge.setting.refrigerant, *([charge.fluid] if charge.fluid else []), *charge.refrigerants]
    return names


def _files(files: Mapping[str, str], refrigerants: Iterable[str]) -> dict[str, str]:
    """The files that a catalogue depends on: of the refrigerants only those that it uses."""
    used = set(refrigerants)
    return {
        key: digest
        for key, digest in sorted(files.items())
        if PurePosixPath(key).parent.name != "refrigerants" or PurePosixPath(key).stem in used
    }


def _singular(path: KeyPath) -> str:
    last = str(path[-1])
    return {
        "families": "a family", "groups": "a group", "envelopes": "an envelope", "editions": "an edition",
        "members": "a member",
    }[last]  # fmt: skip

