"""Inputs of two releases as their manifests record them: what differs, and on which windows it can bear."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

# What differs by less came out of another order of sums.
SAME = 1e-9
Path = tuple[str, ...]
# Words of a part, and what no limit is computed from; keys that are not known here are taken to bear.
_FORMATTER = frozenset({"title", "note", "name", "display_name"})
_IDLE = {
    "families": frozenset({"flow_law_reason", "rating", "rating_source", "offered"}),
    "applications": frozenset({"example_sst_k", "sources", "own_heads"}),
    "refrigerants": frozenset({"safety_group", "gwp", "composition_source", "pair_sources"}),
}
# A floor that a power element is checked against before anything is computed.
_CHECKED = frozenset({"min_static_superheat_k"})
_IDLE_PARTS = frozenset({"printing", "booklets", "charts", "handouts", "left_out", "articles"})


class Missing:
    """Stands for a value that one of the two does not have."""

    def __repr__(self) -> str:
        return "none"


MISSING = Missing()


@dataclass(frozen=True, slots=True)
class InputChange:
    """One input that differs: its place as steps, and both values (MISSING where there is none)."""

    path: Path
    earlier: Any
    now: Any

    @property
    def text(self) -> str:
        """The place as a path: names of a list's items in brackets."""
        return path_text(self.path)


@dataclass(frozen=True, slots=True)
class WindowKey:
    """What a window is a window of; `is_new_or_gone` where only one of the two releases has it."""

    family: str
    group: str
    application: str
    size: str
    is_new_or_gone: bool


def path_text(path: Path) -> str:
    """Steps joined by points; what begins with a bracket is put on as it is."""
    text = path[0]
    for step in path[1:]:
        text += step if step.startswith("[") else f".{step}"
    return text


def changed_inputs(old: Mapping[str, Any], new: Mapping[str, Any]) -> list[InputChange]:
    """Inputs and versions of two manifests that differ, in the order of the newer one."""
    sides = [{**_ordered(record.get("inputs", {})), "versions": record.get("versions", {})} for record in (old, new)]
    return list(_walk((), *sides))


def _ordered(inputs: Mapping[str, Any]) -> dict[str, Any]:
    """Inputs with each composition as shares by component, which is how a reader thinks of it."""
    refrigerants = {}
    for name, record in inputs.get("refrigerants", {}).items():
        definition = dict(record.get("definition", {}))
        names, shares = definition.pop("components", []), definition.pop("mass_fractions", [])
        definition["mass_fractions"] = dict(zip(names, shares, strict=False))
        refrigerants[name] = {**record, "definition": definition}
    return {**inputs, "refrigerants": refrigerants}


def _walk(path: Path, old: Any, new: Any) -> Iterator[InputChange]:
    was, now = _named(old), _named(new)
    if was is not None and now is not None:
        for step in (*now, *(s for s in was if s not in now)):
            yield from _walk((*path, step), was.get(step, MISSING), now.get(step, MISSING))
    elif not _is_same(old, new):
        yield InputChange(path, old, new)


def _named(value: Any) -> dict[str, Any] | None:
    """What is below a value, by step; None for a value that is taken as a whole."""
    if isinstance(value, Mapping):
        return {str(k): v for k, v in value.items()}
    if isinstance(value, list) and value and all(isinstance(v, Mapping) for v in value):
        keys = [_item_key(v) for v in value]
        if all(keys) and len(set(keys)) == len(keys):
            return {f"[{k}]": v for k, v in zip(keys, value, strict=True)}
    return None


def _item_key(item: Mapping[str, Any]) -> str:
    """The name of a list's item: its own, or those of the part that it is."""
    if isinstance(item.get("name"), str):
        return str(item["name"])
    part = [item.get(k) for k in ("family", "group", "application")]
    return ", ".join(map(str, part)) if all(isinstance(p, str) for p in part) else ""


def _is_same(old: Any, new: Any) -> bool:
    if isinstance(old, list) and isinstance(new, list):
        return len(old) == len(new) and all(_is_same(a, b) for a, b in zip(old, new, strict=True))
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        return old.keys() == new.keys() and all(_is_same(old[k], new[k]) for k in old)
    if isinstance(old, float | int) and isinstance(new, float | int) and not isinstance(old, bool):
        return abs(old - new) <= SAME * max(abs(old), abs(new))
    return bool(old == new) if not (old is MISSING or new is MISSING) else old is new


class Bearing:
    """Which of the inputs that differ can bear on a window: those that its limits are computed from.

    That an input differs and bears on a window does not prove that it moved it; where several do, they did together.
    """

    def __init__(self, old: Mapping[str, Any], new: Mapping[str, Any], changes: Sequence[InputChange]) -> None:
        self._inputs = [dict(record.get("inputs", {})) for record in (old, new)]
        is_confident = any((inputs.get("confidence") or {}).get("is_printed") for inputs in self._inputs)
        self._changes = [
            c
            for c in changes
            if c.path[0] not in _IDLE_PARTS
            and c.path[-1] not in _FORMATTER | _CHECKED
            and (is_confident or not _is_scatter(c.path))
        ]
        self._known: dict[WindowKey, tuple[InputChange, ...]] = {}

    def on(self, key: WindowKey) -> tuple[InputChange, ...]:
        """The inputs that differ and bear on a window."""
        if key not in self._known:
            members, elements = self._members(key), self._elements(key)
            settings = {name for element in elements.values() for name in _refrigerants_of(element)}
            found = tuple(c for c in self._changes if _bears(c.path, key, members, elements, members | settings))
            self._known[key] = found
        return self._known[key]

    def _members(self, key: WindowKey) -> set[str]:
        groups = [inputs.get("groups", {}).get(key.group, {}) for inputs in self._inputs]
        return {str(member) for group in groups for member in group.get("members", ())}

    def _elements(self, key: WindowKey) -> dict[str, Mapping[str, Any]]:
        """Trims of the family that serve a member of the group in the application, in either release."""
        found: dict[str, Mapping[str, Any]] = {}
        for inputs in self._inputs:
            application = inputs.get("applications", {}).get(key.application, {}).get("temperature_range")
            for element in inputs.get("families", {}).get(key.family, {}).get("elements", ()):
                where, which = element.get("temperature_ranges") or [application], element.get("refrigerants")
                if application in where and (not which or self._members(key) & set(which)):
                    found[str(element.get("name"))] = element
        return found


def _is_scatter(path: Path) -> bool:
    """Whether an input moves limits only where tables print them at a confidence."""
    is_tolerance = any(step.endswith("_tolerance") for step in path)
    is_uncertainty = path[0] == "refrigerants" and path[2:3] == ("uncertainty",)
    return is_tolerance or is_uncertainty or path[0] == "confidence" or path[2:3] == ("scatter",)


def _refrigerants_of(element: Mapping[str, Any]) -> set[str]:
    """The refrigerants that a power element is set with or charged with."""
    actuator = element.get("actuator", {})
    charge = actuator.get("balance", {}).get("charge", {}).get("curve", {}).get("fluid")
    return {str(name) for name in (element.get("setting_refrigerant"), charge) if name}


def _bears(
    path: Path, key: WindowKey, members: set[str], elements: Mapping[str, Mapping[str, Any]], refrigerants: set[str]
) -> bool:
    part, name, *rest = (*path, "", "")
    if part == "combinations":
        return key.is_new_or_gone and name == f"[{key.family}, {key.group}, {key.application}]"
    if rest[0] in _IDLE.get(part, ()):
        return False
    if part == "families":
        return name == key.family and _bears_in_family(rest, key, elements)
    if part == "groups":
        return name == key.group
    if part == "refrigerants":
        return name in refrigerants
    if part == "applications":
        if rest[0] == "sst_k" and not key.is_new_or_gone:
            return False
        return name == key.application and (rest[0] not in ("systems", "scatter") or rest[1] in members)
    return True


def _bears_in_family(rest: Sequence[str], key: WindowKey, elements: Mapping[str, Any]) -> bool:
    if rest[0] == "sizes":
        return rest[1] == f"[{key.size}]" and rest[2] != "nominal_capacity_w"
    if rest[0] == "elements" and rest[1].startswith("["):
        return rest[1][1:-1] in elements
    return True
