"""An application for every refrigerant: its file, what differs for some, and what a case puts over both."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from tablegen.config._application_model import ApplicationModel, HeadModel
from tablegen.config._reader import Reader
from tablegen.config.document import ConfigDocument, Yaml
from tablegen.config.fields import Model
from tablegen.config.selection import Override
from tablegen.model.inputs import Application
from tablegen.model.names import refrigerant_name
from tablegen.physics.system import OperatingCondition
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors

BY_REFRIGERANT = "by_refrigerant"
HEAD_KEYS = HeadModel.one_of[0]
# What belongs to a key that was omitted.
_COMPANIONS = {"condensing_temperature": ("basis",)}
# Keys of the table itself.
SAME_FOR_ALL = ("application", "title", "temperature_range", "note", "site_pressure", "coil_temperature_difference")


class _WholeModel(ApplicationModel):
    """An application file: what differs for some refrigerants is taken from it before the rest is read."""

    @classmethod
    def known_keys(cls) -> list[str]:
        return [*super().known_keys(), BY_REFRIGERANT]


class _OwnModel(ApplicationModel):
    """An application with a refrigerant's own keys over it."""

    @classmethod
    def known_keys(cls) -> list[str]:
        return [key for key in super().known_keys() if key not in SAME_FOR_ALL]


def read_application(
    reader: Reader, document: ConfigDocument, stem: str, override: Override | None
) -> ApplicationFile | None:
    """An application's file, with an override over it if it is that one's; None, if it is not sound."""
    if override is not None and stem == override.application:
        document = overridden(document, override.document)
    model = reader.model(_WholeModel, document.without(BY_REFRIGERANT))
    if model is None:
        return None
    reader.check_stem(document, "application", model.application, stem)
    return ApplicationFile(document, model)


@dataclass(frozen=True, slots=True)
class ApplicationFile:
    """A sound application file, for all refrigerants that it gives no keys of their own."""

    document: ConfigDocument
    model: ApplicationModel

    def inputs(self, reader: Reader, refrigerants: Iterable[str]) -> Application:
        """The application for some refrigerants; problems in what is special to one of them are noted by the reader."""
        if not isinstance(self.document.data.get(BY_REFRIGERANT, {}), dict):
            reader.refuse(self.document, (BY_REFRIGERANT,), wording.BY_REFRIGERANT_MAPPING())
        keys = own_keys(self.document)
        own = {name: self._own_model(reader, keys[name]) if name in keys else self.model for name in refrigerants}
        models = {name: model for name, model in own.items() if model is not None}
        sources = self.model.sources()
        for name, model in models.items():
            for part, text in model.sources().items():
                if text != self.model.sources().get(part):
                    sources[part] = ". ".join(filter(None, (sources.get(part), f"{name}: {text}")))
        sst_k = self.model.suction.sst_range.grid()
        scatter = {name: model.installation_scatter() for name, model in models.items()}
        return self.model.into(
            Application,
            name=self.model.application,
            site_pressure_pa=self.model.site_pressure.value_pa,
            sst_k=sst_k,
            # The grid's own number, not the config's, so that rows compare equal.
            example_sst_k=float(sst_k[np.argmin(np.abs(sst_k - self.model.suction.example_sst))]),
            systems={name: model.inputs() for name, model in models.items()},
            sources=sources,
            own_heads=own_heads(self.document),
            scatter={name: found for name, found in scatter.items() if found is not None},
        )

    def check_refrigerants(self, reader: Reader, known: Iterable[str]) -> None:
        """The refrigerants that have keys of their own are known, and each is there once."""
        first: dict[str, str] = {}
        for key in self.document.mapping(BY_REFRIGERANT):
            name, path = refrigerant_name(key), (BY_REFRIGERANT, key)
            if name not in known:
                reader.refuse_unknown(self.document, path, input_errors.A_REFRIGERANT(), name, known, key)
            elif first.setdefault(name, key) != key:
                line = self.document.place((BY_REFRIGERANT, first[name])).line
                reader.refuse(self.document, path, input_errors.DUPLICATE_KEY(name=repr(key), line=line))

    def _own_model(self, reader: Reader, key: str) -> ApplicationModel | None:
        """The application with a refrigerant's own keys over it; those of the table must not differ."""
        path = (BY_REFRIGERANT, key)
        if not isinstance(self.document.value(path), dict):
            reader.refuse(self.document, path, wording.OWN_KEYS_MAPPING())
            return None
        for same in SAME_FOR_ALL:
            if same in self.document.mapping(*path):
                reader.refuse(self.document, (*path, same), wording.SAME_FOR_ALL(key=same))
        base = self.document.without(BY_REFRIGERANT)
        own = reader.model(_OwnModel, overlaid(base, self.document.part(path)))
        if own is not None and not np.array_equal(own.suction.sst_range.grid(), self.model.suction.sst_range.grid()):
            reader.refuse(self.document, (*path, "suction"), wording.SAME_FOR_ALL(key="suction.sst_range"))
        return own


def own_keys(document: ConfigDocument) -> dict[str, str]:
    """The keys under which an application gives what differs for a refrigerant, by refrigerant."""
    return {refrigerant_name(key): key for key in document.mapping(BY_REFRIGERANT)}


def overlaid(base: ConfigDocument, over: ConfigDocument) -> ConfigDocument:
    """A document with another over it, key by key, each with its own place.

    Of keys that exclude each other in a section the given one stays.
    """
    data = dict(base.data)
    for section, given in over.data.items():
        below = data.get(section)
        if isinstance(given, dict) and isinstance(below, dict):
            omitted = {key for keys in _alternatives(section) if keys & set(given) for key in keys - set(given)}
            omitted |= {c for key in omitted for c in _COMPANIONS.get(key, ()) if c not in given}
            data[section] = {key: value for key, value in below.items() if key not in omitted}
    return ConfigDocument(base.file, _merged(data, over.data), {**base.places, **over.places})


def _alternatives(section: str) -> list[set[str]]:
    """Of each of these a section takes one key."""
    field = ApplicationModel.model_fields.get(section)
    model = field.annotation if field is not None else None
    return [set(keys) for keys in model.one_of] if isinstance(model, type) and issubclass(model, Model) else []


def _merged(base: Mapping[str, Yaml], over: Mapping[str, Yaml]) -> dict[str, Yaml]:
    merged = dict(base)
    for key, value in over.items():
        below = merged.get(key)
        merged[key] = _merged(below, value) if isinstance(below, dict) and isinstance(value, dict) else value
    return merged


def overridden(document: ConfigDocument, over: ConfigDocument) -> ConfigDocument:
    """An application with another document over it, whatever the refrigerant: over what is special to some as well."""
    special = document.mapping(BY_REFRIGERANT)
    if special:
        own_over = over.without(*SAME_FOR_ALL)
        own: dict[str, Yaml] = {
            key: overlaid(document.part((BY_REFRIGERANT, key)), own_over).data if isinstance(keys, dict) else keys
            for key, keys in special.items()
        }
        document = replace(document, data={**document.data, BY_REFRIGERANT: own})
    return overlaid(document, over)


def own_heads(document: ConfigDocument) -> tuple[tuple[str, OperatingCondition], ...]:
    """The heads that an application gives for one refrigerant alone; one under an override is not."""
    return tuple(
        (name, condition)
        for name, key in own_keys(document).items()
        for condition in OperatingCondition
        if head_key(document, BY_REFRIGERANT, key, condition.value) and not is_overridden(document, condition)
    )


def head_key(document: ConfigDocument, *path: str) -> str:
    """The key under which a section gives a head, "" if it gives none."""
    section = document.mapping(*path)
    return next((key for key in HEAD_KEYS if key in section), "")


def is_overridden(document: ConfigDocument, condition: OperatingCondition) -> bool:
    """Whether a head was put over what the file says, for one case."""
    path = (condition.value, head_key(document, condition.value))
    return document.place(path).file != document.file
