"""Load a folder of configs into a catalogue, or say every mistake in it."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable
from pathlib import Path
from typing import TypeVar

from tablegen.catalogue.inputs import Application, Catalogue, Combination, Family, LeftOut
from tablegen.config import convert
from tablegen.config.catalogue_model import CatalogueModel, GroupsModel
from tablegen.config.charge_check import check_charge
from tablegen.config.envelope_model import EnvelopeModel
from tablegen.config.family_model import ElectronicModel, ThermostaticModel
from tablegen.config.fields import Model
from tablegen.config.mistakes import unknown, validate
from tablegen.config.refrigerant_model import COMPONENTS, RefrigerantModel
from tablegen.config.source import Document, KeyPath, read_document
from tablegen.config.starter import packaged_configs
from tablegen.errors import ConfigError, Mistake, PropertyError
from tablegen.physics.refrigerants import Refrigerant

M = TypeVar("M", bound=Model)
FAMILY_KINDS: dict[str, type[ThermostaticModel] | type[ElectronicModel]] = {
    "thermostatic": ThermostaticModel,
    "electronic": ElectronicModel,
}


def load_catalogue(path: Path) -> Catalogue:
    """Read a catalogue file and the configs in the folders beside it.

    Raises
    ------
    ConfigError
        With every mistake found; cross-references are looked at once the files themselves are sound.
    """
    return _Loader(path).load()


class _Loader:
    """Reads files one after the other and keeps what is wrong, so that one run tells it all."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.mistakes: list[Mistake] = []
        self.files: dict[str, str] = {}

    def load(self) -> Catalogue:
        folder = self.path.parent
        document = self._read(self.path)
        catalogue = self._model(CatalogueModel, document)
        groups_document = self._read(folder / "groups.yaml")
        groups = self._model(GroupsModel, groups_document)
        refrigerants = self._refrigerants(folder)
        families = self._families(folder)
        envelopes = self._envelopes(folder)
        self._stop_if_wrong()
        assert document
        assert catalogue
        assert groups_document
        assert groups
        self._check_names(document, ("families",), catalogue.families, families)
        self._check_names(document, ("groups",), catalogue.groups, groups.groups)
        self._check_names(document, ("envelopes",), catalogue.envelopes, envelopes)
        for name, group in groups.groups.items():
            self._check_names(groups_document, ("groups", name, "members"), group.members, refrigerants)
        self._check_rules(document, catalogue)
        self._check_special(envelopes, refrigerants)
        self._stop_if_wrong()
        combinations, left_out = self._combinations(document, catalogue)
        self._stop_if_wrong()
        used_groups = {c.group for c in combinations}
        used = {r: refrigerants[r] for g in catalogue.groups if g in used_groups for r in groups.groups[g].members}
        made = self._made(families, catalogue.families, refrigerants)
        applied = self._applied(envelopes, catalogue.envelopes, list(used))
        self._check_equalizers(families, combinations, applied)
        return Catalogue(
            catalogue.catalogue,
            convert.printing(catalogue),
            made,
            {g: convert.group(g, groups.groups[g]) for g in catalogue.groups},
            applied,
            tuple(combinations),
            tuple(left_out),
            used,
            self._finish(),
        )

    def _finish(self) -> dict[str, str]:
        self._stop_if_wrong()
        return dict(sorted(self.files.items()))

    def _stop_if_wrong(self) -> None:
        if self.mistakes:
            raise ConfigError(self.mistakes)

    def _read(self, path: Path, shown: str = "") -> Document | None:
        shown = shown or shown_name(path)
        try:
            document = read_document(path, shown)
        except ConfigError as error:
            self.mistakes += error.mistakes
            return None
        try:
            key = path.relative_to(self.path.parent).as_posix()
        except ValueError:
            key = f"packaged/{path.parent.name}/{path.name}"
        self.files[key] = hashlib.sha256(path.read_bytes()).hexdigest()
        return document

    def _model(self, model: type[M], document: Document | None) -> M | None:
        if document is None:
            return None
        try:
            return validate(model, document)
        except ConfigError as error:
            self.mistakes += error.mistakes
            return None

    def _check_names(self, document: Document, path: KeyPath, given: Iterable[str], known: Iterable[str]) -> None:
        seen: set[str] = set()
        for index, name in enumerate(given):
            if name not in known:
                self.mistakes.append(document.mistake((*path, index), unknown(_singular(path), name, known)))
            if name in seen:
                self.mistakes.append(document.mistake((*path, index), f"{name!r} stands twice"))
            seen.add(name)

    def _check_rules(self, document: Document, catalogue: CatalogueModel) -> None:
        """The names in leave_out are such as the catalogue holds."""
        for index, rule in enumerate(catalogue.leave_out):
            for key, name, known in (
                ("family", rule.family, catalogue.families),
                ("group", rule.group, catalogue.groups),
                ("envelope", rule.envelope, catalogue.envelopes),
            ):
                if name is not None and name not in known:
                    text = unknown(f"the {key} of a rule", name, known)
                    self.mistakes.append(document.mistake(("leave_out", index, key), text))

    def _check_special(
        self, envelopes: dict[str, tuple[Document, EnvelopeModel]], refrigerants: dict[str, Refrigerant]
    ) -> None:
        """The names in by_refrigerant are refrigerants; a misspelt one would leave its keys without effect."""
        for document, _ in envelopes.values():
            special = document.data.get("by_refrigerant", {})
            for name in special if isinstance(special, dict) else ():
                if name not in refrigerants:
                    text = unknown("a refrigerant", name, refrigerants)
                    self.mistakes.append(document.mistake(("by_refrigerant", name), text))

    def _refrigerants(self, folder: Path) -> dict[str, Refrigerant]:
        """The packaged registry, with the catalogue's own refrigerants over it."""
        paths = {p.stem: p for p in sorted((packaged_configs() / "refrigerants").glob("*.yaml"))}
        paths |= {p.stem: p for p in sorted((folder / "refrigerants").glob("*.yaml"))}
        found: dict[str, Refrigerant] = {}
        for stem, path in sorted(paths.items()):
            document = self._read(path)
            model = self._model(RefrigerantModel, document)
            if document is None or model is None:
                continue
            self._check_stem(document, "refrigerant", model.refrigerant, stem)
            strange = [c for c in model.components if c not in COMPONENTS]
            for component in strange:
                place = ("components", component)
                self.mistakes.append(document.mistake(place, unknown("a component", component, COMPONENTS)))
            if not strange:
                try:
                    found[model.refrigerant] = Refrigerant(convert.refrigerant_definition(model))
                except PropertyError as error:
                    self.mistakes.append(document.mistake(("components",), str(error)))
        return found

    def _check_stem(self, document: Document, key: str, name: str, stem: str) -> None:
        if name != stem:
            text = f"{name!r} is not allowed; it must be {stem!r}, as the file is called"
            self.mistakes.append(document.mistake((key,), text))

    def _families(self, folder: Path) -> dict[str, tuple[Document, ThermostaticModel | ElectronicModel]]:
        found = {}
        for path in sorted((folder / "families").glob("*.yaml")):
            document = self._read(path)
            if document is None:
                continue
            kind = document.data.get("kind")
            if not isinstance(kind, str) or kind not in FAMILY_KINDS:
                missing = "the key is missing; it is required"
                text = missing if kind is None else unknown("kind", str(kind), FAMILY_KINDS)
                self.mistakes.append(document.mistake(("kind",), text))
                continue
            model = self._model(FAMILY_KINDS[kind], document)
            if model is not None:
                self._check_stem(document, "family", model.family, path.stem)
                found[model.family] = (document, model)
        return found

    def _envelopes(self, folder: Path) -> dict[str, tuple[Document, EnvelopeModel]]:
        found = {}
        for path in sorted((folder / "envelopes").glob("*.yaml")):
            document = self._read(path)
            if document is None:
                continue
            model = self._model(EnvelopeModel, document.without("by_refrigerant"))
            if model is not None:
                self._check_stem(document, "envelope", model.envelope, path.stem)
                found[model.envelope] = (document, model)
        return found

    def _combinations(
        self, document: Document, catalogue: CatalogueModel
    ) -> tuple[list[Combination], list[LeftOut]]:
        """Families x groups x envelopes, less what is left out; a rule that leaves out nothing is a mistake."""
        kept, left = [], []
        hits = [0] * len(catalogue.leave_out)
        for family in catalogue.families:
            for envelope in catalogue.envelopes:
                for group in catalogue.groups:
                    one = Combination(family, group, envelope)
                    rules = [
                        i
                        for i, rule in enumerate(catalogue.leave_out)
                        if rule.family in (None, family)
                        and rule.group in (None, group)
                        and rule.envelope in (None, envelope)
                    ]
                    if rules:
                        hits[rules[0]] += 1
                        left.append(LeftOut(one, catalogue.leave_out[rules[0]].why))
                    else:
                        kept.append(one)
        for index, count in enumerate(hits):
            if not count:
                text = "it leaves out nothing: no such combination, or an earlier rule has it"
                self.mistakes.append(document.mistake(("leave_out", index), text))
        if not kept:
            self.mistakes.append(document.mistake(("leave_out",), "nothing is left to print"))
        return kept, left

    def _made(
        self,
        families: dict[str, tuple[Document, ThermostaticModel | ElectronicModel]],
        wanted: Iterable[str],
        refrigerants: dict[str, Refrigerant],
    ) -> dict[str, Family]:
        made = {}
        for name in wanted:
            document, model = families[name]
            if isinstance(model, ElectronicModel):
                made[name] = convert.family(model, (convert.drive(model),))
                continue
            trims = []
            for index, charge in enumerate(model.charges):
                mistakes, trim = check_charge(document, ("charges", index), model, charge, refrigerants)
                self.mistakes += mistakes
                if trim is not None:
                    trims.append(trim)
            made[name] = convert.family(model, tuple(trims))
        return made

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
                self.mistakes.append(document.mistake(("by_refrigerant",), text))
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
        families: dict[str, tuple[Document, ThermostaticModel | ElectronicModel]],
        combinations: list[Combination],
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
                self.mistakes.append(document.mistake(("equalizer",), text))

    def _own_model(
        self, document: Document, base: Document, refrigerant: str, model: EnvelopeModel
    ) -> EnvelopeModel | None:
        """The envelope with a refrigerant's own keys over it; those that name the table must stay."""
        path = ("by_refrigerant", refrigerant)
        if not isinstance(document.data["by_refrigerant"][refrigerant], dict):
            self.mistakes.append(document.mistake(path, "it must be a mapping of the keys that differ"))
            return None
        for key in ("envelope", "title", "application", "note", "site_pressure"):
            if key in document.data["by_refrigerant"][refrigerant]:
                text = "the key cannot differ between the refrigerants of one envelope"
                self.mistakes.append(document.mistake((*path, key), text))
        own = self._model(EnvelopeModel, base.overlaid(document.part(path)))
        if own is not None and convert.suction_grid(own).tolist() != convert.suction_grid(model).tolist():
            text = "suction.saturated_temperatures cannot differ between the refrigerants of one envelope"
            self.mistakes.append(document.mistake((*path, "suction"), text))
        return own


def shown_name(path: Path) -> str:
    """A path as a person at the prompt would write it."""
    relative = os.path.relpath(path)
    return str(path) if relative.startswith("..") else Path(relative).as_posix()


def _singular(path: KeyPath) -> str:
    last = str(path[-1])
    return {"families": "a family", "groups": "a group", "envelopes": "an envelope", "members": "a member"}[last]

