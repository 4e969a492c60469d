"""Inputs of two releases as their manifests record them: what differs, and which windows it can affect."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from tablegen.dataset.release import Manifest, as_list, as_mapping
from tablegen.dataset.release_files import Json

# What differs by less came out of another order of sums.
_SAME = 1e-9
# Texts, and what no limit is computed from; keys that are not known here are taken to have an effect.
_TEXTS = frozenset({"title", "note", "name", "display_name"})
_WITHOUT_EFFECT = {
    "families": frozenset({"flow_law_reason", "rating", "rating_source", "offered"}),
    "applications": frozenset({"example_sst_k", "sources", "own_heads", "coil_temperature_difference_k"}),
    "refrigerants": frozenset({"safety_group", "gwp", "composition_source", "pair_sources"}),
}
# A minimum that a power element is checked against before anything is computed.
_CHECKED = frozenset({"min_static_superheat_k"})
_PARTS_WITHOUT_EFFECT = frozenset({"printing", "booklets", "charts", "labels", "handouts", "left_out", "part_numbers"})

KeySteps = tuple[str, ...]


class Missing:
    """For a value that one of the two releases does not have."""

    def __repr__(self) -> str:
        return "none"


MISSING = Missing()


@dataclass(frozen=True, slots=True)
class InputChange:
    """One input that differs: its path as steps, and both values (MISSING where there is none)."""

    path: KeySteps
    earlier: Json | Missing
    now: Json | Missing

    @property
    def text(self) -> str:
        """The path as text: names of a list's items in brackets."""
        return path_text(self.path)


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowKey:
    """What a window is a window of; `is_in_one_release` where the other has no such window."""

    family: str
    group: str
    application: str
    size: str
    is_in_one_release: bool


def path_text(path: KeySteps) -> str:
    """The path of an input as text: steps joined by points; what begins with a bracket is appended as it is.

    Parameters
    ----------
    path : tuple of str

    Returns
    -------
    str

    Examples
    --------
    >>> path_text(("families", "alder", "sizes", "[45]", "kv_rated_m3h"))
    'families.alder.sizes[45].kv_rated_m3h'
    """
    text = path[0]
    for step in path[1:]:
        text += step if step.startswith("[") else f".{step}"
    return text


def changed_inputs(old: Manifest, new: Manifest) -> list[InputChange]:
    """Inputs and versions of two manifests that differ.

    Parameters
    ----------
    old, new : Manifest

    Returns
    -------
    list of InputChange
        In the order of the newer one, values in SI.
    """
    was, now = (_inputs_of(manifest) for manifest in (old, new))
    return list(_walk((), was, now))


def _inputs_of(manifest: Manifest) -> dict[str, Json]:
    """Inputs with each composition as shares by component, which is how a reader thinks of it; then the versions."""
    refrigerants: dict[str, Json] = {}
    for name, record in as_mapping(manifest.inputs.get("refrigerants")).items():
        own = as_mapping(record)
        definition = dict(as_mapping(own.get("definition")))
        names, shares = as_list(definition.pop("components", None)), as_list(definition.pop("mass_fractions", None))
        definition["mass_fractions"] = dict(zip(map(str, names), shares, strict=False))
        refrigerants[name] = {**own, "definition": definition}
    return {**manifest.inputs, "refrigerants": refrigerants, "versions": dict(manifest.versions)}


def _walk(path: KeySteps, old: Json | Missing, new: Json | Missing) -> Iterator[InputChange]:
    was, now = _named(old), _named(new)
    if was is not None and now is not None:
        for step in (*now, *(s for s in was if s not in now)):
            yield from _walk((*path, step), was.get(step, MISSING), now.get(step, MISSING))
    elif not _is_same(old, new):
        yield InputChange(path, old, new)


def _named(value: Json | Missing) -> Mapping[str, Json] | None:
    """What is below a value, by step; None for a value that is taken as a whole."""
    if isinstance(value, dict):
        return value
    if isinstance(value, list) and value:
        items = [item for item in value if isinstance(item, dict)]
        keys = [_item_key(item) for item in items]
        if len(items) == len(value) and all(keys) and len(set(keys)) == len(keys):
            return {f"[{key}]": item for key, item in zip(keys, items, strict=True)}
    return None


def _item_key(item: Mapping[str, Json]) -> str:
    """The name of a list's item: its own, or those of the table that it is."""
    if isinstance(item.get("name"), str):
        return str(item["name"])
    table = [item.get(key) for key in ("family", "group", "application")]
    return ", ".join(map(str, table)) if all(isinstance(name, str) for name in table) else ""


def _is_same(old: Json | Missing, new: Json | Missing) -> bool:
    if isinstance(old, list) and isinstance(new, list):
        return len(old) == len(new) and all(_is_same(a, b) for a, b in zip(old, new, strict=True))
    if isinstance(old, dict) and isinstance(new, dict):
        return old.keys() == new.keys() and all(_is_same(old[key], new[key]) for key in old)
    if isinstance(old, float | int) and isinstance(new, float | int) and not isinstance(old, bool):
        return abs(old - new) <= _SAME * max(abs(old), abs(new))
    if isinstance(old, Missing):
        # What an earlier version did not know, and this one has without a value, states nothing.
        return new in (None, "", []) or new is False or isinstance(new, Missing)
    return not isinstance(new, Missing) and old == new


class InputEffects:
    """Which of the inputs that differ can affect a window: those that its limits are computed from.

    That an input differs and affects a window does not prove that it changed it; where several do, they did together.
    """

    def __init__(self, old: Manifest, new: Manifest, changes: Sequence[InputChange]) -> None:
        self._inputs = [as_mapping(dict(manifest.inputs)) for manifest in (old, new)]
        is_confident = any(as_mapping(own.get("confidence")).get("is_printed") for own in self._inputs)
        self._changes = [
            change
            for change in changes
            if change.path[0] not in _PARTS_WITHOUT_EFFECT
            and change.path[-1] not in _TEXTS | _CHECKED
            and (is_confident or not _is_scatter(change.path))
        ]
        self._known: dict[WindowKey, tuple[InputChange, ...]] = {}

    def on(self, key: WindowKey) -> tuple[InputChange, ...]:
        """The inputs that differ and affect a window."""
        if key not in self._known:
            members = self._members(key)
            elements = self._elements(key, members)
            settings = {name for element in elements.values() for name in _refrigerants_of(element)}
            scope = _Scope(
                key=key,
                members=members,
                elements=frozenset(elements),
                refrigerants=members | settings,
                designs=self._designs(key),
            )
            self._known[key] = tuple(change for change in self._changes if scope.has(change.path))
        return self._known[key]

    def _members(self, key: WindowKey) -> frozenset[str]:
        groups = [as_mapping(as_mapping(own.get("groups")).get(key.group)) for own in self._inputs]
        return frozenset(str(member) for group in groups for member in as_list(group.get("members")))

    def _designs(self, key: WindowKey) -> frozenset[str]:
        """The port designs of the window's size, in either release."""
        families = [as_mapping(as_mapping(own.get("families")).get(key.family)) for own in self._inputs]
        sizes = [as_mapping(size) for family in families for size in as_list(family.get("sizes"))]
        return frozenset(str(size.get("port_design", "")) for size in sizes if size.get("name") == key.size)

    def _elements(self, key: WindowKey, members: frozenset[str]) -> dict[str, dict[str, Json]]:
        """Power elements of the family that are for a member of the group in the application, in either release."""
        found: dict[str, dict[str, Json]] = {}
        for own in self._inputs:
            application = as_mapping(as_mapping(own.get("applications")).get(key.application))
            temperature_range = application.get("temperature_range")
            family = as_mapping(as_mapping(own.get("families")).get(key.family))
            for element in map(as_mapping, as_list(family.get("elements"))):
                ranges = as_list(element.get("temperature_ranges")) or [temperature_range]
                refrigerants = set(map(str, as_list(element.get("refrigerants"))))
                if temperature_range in ranges and (not refrigerants or members & refrigerants):
                    found[str(element.get("name"))] = element
        return found


def _is_scatter(path: KeySteps) -> bool:
    """Whether an input affects limits only where tables print them at a confidence."""
    is_tolerance = any(step.endswith("_tolerance") for step in path)
    is_uncertainty = path[0] == "refrigerants" and path[2:3] == ("uncertainty",)
    return is_tolerance or is_uncertainty or path[0] == "confidence" or path[2:3] == ("scatter",)


def _refrigerants_of(element: Json) -> set[str]:
    """The refrigerants that a power element is set with or charged with."""
    charge = element
    for step in ("actuator", "balance", "charge", "curve"):
        charge = as_mapping(as_mapping(charge).get(step))
    names = as_mapping(element).get("setting_refrigerant"), as_mapping(charge).get("fluid")
    return {str(name) for name in names if name}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scope:
    """What a window is computed from: its own names, members of its group, power elements, all refrigerants of these."""

    key: WindowKey
    members: frozenset[str]
    elements: frozenset[str]
    refrigerants: frozenset[str]
    designs: frozenset[str]

    def has(self, path: KeySteps) -> bool:
        """Whether an input is among it."""
        part, name, *rest = (*path, "", "")
        key = self.key
        if part == "combinations":
            return key.is_in_one_release and name == f"[{key.family}, {key.group}, {key.application}]"
        if rest[0] in _WITHOUT_EFFECT.get(part, ()):
            return False
        if part == "families":
            return name == key.family and self._has_in_family(rest)
        if part == "groups":
            return name == key.group
        if part == "refrigerants":
            return name in self.refrigerants
        if part == "applications":
            if rest[0] == "sst_k" and not key.is_in_one_release:
                return False
            return name == key.application and (rest[0] not in ("systems", "scatter") or rest[1] in self.members)
        return True

    def _has_in_family(self, rest: Sequence[str]) -> bool:
        if rest[0] == "sizes":
            return rest[1] == f"[{self.key.size}]" and rest[2] != "nominal_capacity_w"
        if rest[0] == "port_designs" and rest[1].startswith("["):
            is_own = rest[1][1:-1] in self.designs
            return is_own and (len(rest) < 3 or self._has_in_family(rest[2:]))
        if rest[0] == "elements" and len(rest) > 1 and rest[1].startswith("["):
            return rest[1][1:-1] in self.elements
        return True
