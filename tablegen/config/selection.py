"""What of a catalogue is wanted: everything, or what one case takes, with some keys of its application given otherwise."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tablegen.config._catalogue_model import CatalogueModel, GroupModel
from tablegen.config.document import ConfigDocument, KeyPath, Place, Yaml, parse_document
from tablegen.errors import BadValue, ConfigError, FileProblem, RequestError
from tablegen.wording import config_errors as wording
from tablegen.wording.message import argument

# Keys that decide for what an application's tables, and so its valves, are offered.
_OFFER = ("application", "title", "note", "temperature_range", "by_refrigerant", "scatter")
_GRID = ("suction", "sst_range")


@dataclass(frozen=True, slots=True)
class Override:
    """An application, and a document that a case puts over its file for every refrigerant."""

    application: str
    document: ConfigDocument


@dataclass(frozen=True, slots=True, kw_only=True)
class Selection:
    """What of a catalogue is wanted; without arguments everything.

    Attributes
    ----------
    refrigerant : str, optional
        A refrigerant or group: only it is computed, and charges are checked with it alone.
    application : str, optional
        The only application that is read.
    override : Override, optional
        What is put over the file of an application.
    also : sequence of str, optional
        Refrigerants to have ready although no group contains them; None means all of the registry.
    part_numbers : Path, optional
        A list of part numbers in place of the catalogue's own.
    stock : Path, optional
        A stock sheet in place of the catalogue's own.
    leaves_out_rows : bool
        Whether rows of the stock sheet that have an error are left out; else they are problems of the catalogue.
    without_stock : bool
        Whether the stock sheet is not read, because no limit follows from it.
    is_to_translate : bool
        Whether texts without a translation are no problem.
    """

    refrigerant: str | None = None
    application: str | None = None
    override: Override | None = None
    also: Sequence[str] | None = ()
    part_numbers: Path | None = None
    stock: Path | None = None
    leaves_out_rows: bool = False
    without_stock: bool = False
    is_to_translate: bool = False

    @property
    def is_whole(self) -> bool:
        """Whether nothing of the catalogue is left out."""
        return self.refrigerant is None and self.application is None

    def within(self, catalogue: CatalogueModel | None, groups: Mapping[str, GroupModel]) -> Selection:
        """The same; everything where a catalogue does not know what is wanted, for a message to name what it has."""
        applications = catalogue.applications if catalogue and self.groups(catalogue, groups) else None
        if applications is not None and self.application in (None, *applications):
            return self
        return replace(self, refrigerant=None, application=None)

    def groups(self, catalogue: CatalogueModel, groups: Mapping[str, GroupModel]) -> dict[str, GroupModel]:
        """The groups of a catalogue that are wanted: the one named, or those with a refrigerant, with it alone.

        A refrigerant alone is a case of its own; a group is one with all its members.
        """
        listed = {name: groups[name] for name in catalogue.groups if name in groups}
        name = self.refrigerant
        if name is None:
            return listed
        if name in listed:
            return {name: listed[name]}
        only = {"members": [name]}
        return {key: group.model_copy(update=only) for key, group in listed.items() if name in group.members}


def override_document(overrides: Sequence[str], given_as: str = "overrides") -> ConfigDocument:
    """The overrides, each KEY=VALUE with a key as in an application file, as one document whose places name their argument.

    Raises RequestError if one is not of this form, or its key says what the catalogue offers. Raises ConfigError if a
    value is no YAML.
    """
    option = argument(given_as)
    data: dict[str, Yaml] = {}
    places: dict[KeyPath, Place] = {}
    for text in overrides:
        key, equals, value = text.partition("=")
        steps = tuple(key.strip().split("."))
        if not equals or not all(steps):
            raise _refusal(option, text, wording.KEY_AND_VALUE())
        if steps[0] in _OFFER or steps[:2] == _GRID:
            raise _refusal(option, text, wording.KEY_OF_OFFER(key=".".join(steps)))
        at = data
        for depth, step in enumerate(steps[:-1], start=1):
            below = at.setdefault(step, {})
            if not isinstance(below, dict):
                raise _refusal(option, text, wording.KEY_HAS_VALUE(key=".".join(steps[:depth])))
            at = below
            places[steps[:depth]] = Place(option, 0)
        if steps[-1] in at:
            raise _refusal(option, text, wording.KEY_HAS_VALUE(key=".".join(steps)))
        at[steps[-1]] = _value(key, value, option)
        places[steps] = Place(option, 0)
    return ConfigDocument(option, data, places)


def _refusal(option: str, text: str, rule: str) -> RequestError:
    return RequestError(f"{option}: {BadValue(repr(text), rule)}")


def _value(key: str, text: str, option: str) -> Yaml:
    """A value as it would be in a config file."""
    try:
        return parse_document(f"value: {text.strip()}", option).data["value"]
    except ConfigError:
        problem = FileProblem(option, 0, key.strip(), str(BadValue(repr(text), wording.NO_YAML_VALUE())))
        raise ConfigError([problem]) from None
