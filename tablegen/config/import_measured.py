"""Measured values of a family's file that sheets replace: those that have a tolerance beside them."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.config.document import Yaml, as_mapping, mappings

_TOLERANCE = "_tolerance"
# A tolerance that is called otherwise than what it belongs to.
_TOLERANCE_OF = {"pressure_tolerance": "points"}
_NAMES = ("size", "design", "charge")


def drop_replaced(old: Mapping[str, Yaml], new: dict[str, Yaml]) -> list[str]:
    """The keys of measured values that change, such as ``sizes.45.kv``; in `new` a tolerance goes with its value.

    Parameters
    ----------
    old, new : mapping
        The family's file as it is, and with what sheets give.
    """
    return [key.removeprefix(".") for key in _replaced(old, new)]


def _replaced(old: Mapping[str, Yaml], new: dict[str, Yaml]) -> list[str]:
    found: list[str] = []
    for key, value in old.items():
        if key.endswith(_TOLERANCE):
            of = _TOLERANCE_OF.get(key, key.removesuffix(_TOLERANCE))
            if old.get(of) != new.get(of):
                found.append(f".{of}")
                if new.get(key) == value:
                    del new[key]
        elif isinstance(value, dict):
            found += [f".{key}{below}" for below in _replaced(value, as_mapping(new.get(key)))]
        else:
            others = {_name(entry): entry for entry in mappings(new.get(key))}
            for entry in mappings(value):
                name = _name(entry)
                found += [f".{key}.{name}{below}" for below in _replaced(entry, others.get(name, {}))]
    return found


def _name(entry: Mapping[str, Yaml]) -> str:
    return next((str(entry[key]) for key in _NAMES if key in entry), "")
