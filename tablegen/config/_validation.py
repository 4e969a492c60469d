"""A document as a model, or one line for each value in it that is not allowed: place, value, rule, hint."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias, TypeVar, get_args

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from tablegen.config.document import ConfigDocument, KeyPath, Yaml, spell, value_at
from tablegen.config.fields import BadKey, Model, within
from tablegen.errors import BadValue, ConfigError, FileProblem, near, shown
from tablegen.units import with_comma
from tablegen.wording import config_errors as wording
from tablegen.wording.message import Message

M = TypeVar("M", bound=Model)
_Located: TypeAlias = tuple[KeyPath, ErrorDetails]
_MAX_SHOWN = 100
# Keys and values that config files had before the first release, by their old names.  A message says the new name where
# it is an allowed key.
OLD_KEYS: Mapping[str, tuple[str, ...]] = {
    "envelope": ("application",),
    "envelopes": ("applications",),
    "edition": ("publication",),
    "editions": ("publications",),
    "house": ("company", "wholesaler"),
    "articles": ("part_numbers",),
    "company": ("name", "wholesaler"),
    "least": ("minimum",),
    "greatest": ("maximum",),
    "coldest": ("minimum",),
    "warmest": ("maximum",),
    "saturated_temperatures": ("sst_range",),
    "printed_example": ("example_sst",),
    "least_stable": ("minimum_stable",),
    "least_stable_line": ("minimum_stable_line",),
    "least_static_superheat": ("minimum_static_superheat",),
    "least_steps": ("minimum_steps",),
    "least_duty": ("minimum_duty",),
    "greatest_duty": ("maximum_duty",),
    "least_capacity": ("minimum_capacity",),
    "exponent": ("re_expansion_exponent",),
    "return_superheat": ("return_gas_superheat",),
    "discharge_loss": ("discharge_line_loss",),
}
OLD_VALUES = {"held": "constant", "confident": "at_confidence"}
# What the validating library calls a value of the wrong type.
_TYPES: Mapping[str, Message] = {
    "dict_type": wording.MUST_BE_MAPPING,
    "model_type": wording.MUST_BE_MAPPING,
    "model_attributes_type": wording.MUST_BE_MAPPING,
    "list_type": wording.MUST_BE_LIST,
    "tuple_type": wording.MUST_BE_LIST,
    "int_type": wording.MUST_BE_WHOLE,
    "int_from_float": wording.MUST_BE_WHOLE,
    "string_type": wording.MUST_BE_TEXT,
    "finite_number": wording.MUST_BE_FINITE,
}


def validate(model: type[M], document: ConfigDocument) -> M:
    """A document as a model.

    Raises ConfigError with every problem in the document.
    """
    try:
        return model.model_validate(document.data)
    except ValidationError as error:
        raise ConfigError(_problems(model, document, error.errors(include_url=False))) from error


@dataclass(frozen=True, slots=True)
class OldName:
    """A key, or a value with `is_value`, that has another name today."""

    path: KeyPath
    new: str
    is_value: bool = False


def old_names(model: type[Model], document: ConfigDocument) -> list[OldName]:
    """The keys and values of a document that have a name from before the first release; none below such a key."""
    try:
        model.model_validate(document.data)
    except ValidationError as error:
        located = _located(document, error.errors(include_url=False))
        keys = [OldName(path, new) for path, new in _renamed(model, located).items()]
        values = [
            OldName(path, new, True)
            for path, own in located
            if own["type"] in ("literal_error", "enum") and (new := _new_value(own["input"], _choices(own)))
        ]
        return [*keys, *values]
    return []


def _located(document: ConfigDocument, details: Iterable[ErrorDetails]) -> list[_Located]:
    """Each problem with the path at which its key is written."""
    return [(_written_path(document, detail["loc"]), detail) for detail in details]


def _unknown(located: Iterable[_Located]) -> list[KeyPath]:
    return [path for path, detail in located if detail["type"] == "extra_forbidden"]


def _renamed(model: type[Model], located: Iterable[_Located]) -> dict[KeyPath, str]:
    """The keys that are not known but had their names before, with those of today."""
    return {path: new for path in _unknown(located) if (new := _new_name(model, path))}


def _problems(model: type[Model], document: ConfigDocument, details: Sequence[ErrorDetails]) -> list[FileProblem]:
    located = _located(document, details)
    cut = _comma_cut(document, _unknown(located))
    renamed = _renamed(model, located)
    # The key that is missing is there under its old name.
    done = {*cut, *((*path[:-1], new) for path, new in renamed.items())}
    found = [document.problem(path, str(with_comma(text))) for path, text in cut.items() if text]
    for path, detail in located:
        if path in renamed:
            found.append(document.problem(path, wording.KEY_RENAMED(new=renamed[path])))
        elif path not in done:
            found.append(_problem(model, document, path, detail))
    return found


def _problem(model: type[Model], document: ConfigDocument, path: KeyPath, detail: ErrorDetails) -> FileProblem:
    error = detail.get("ctx", {}).get("error")
    if isinstance(error, BadKey):
        return document.problem((*path, *error.path), _of_bad_key(document, path, error))
    return document.problem(path, str(error) if isinstance(error, ValueError) else _text(model, path, detail))


def _of_bad_key(document: ConfigDocument, path: KeyPath, error: BadKey) -> str:
    """The rule that a value breaks, with the value as it is written, and the earlier one that it contradicts."""
    read = _shown(document.value((*path, *error.path)))
    if error.earlier:
        other = (*path, *error.earlier)
        return wording.NOT_ABOVE_EARLIER(
            value=read,
            earlier=f"{spell(other)} {_shown(document.value(other))}",
            line=document.place(other).line,
            rule=error.rule,
        )
    return str(BadValue(read, error.rule)) if read and not error.is_complete else error.rule


def _shown(value: Yaml) -> str:
    """A value as it is written, a long list by its length; nothing for a mapping, or where nothing is written."""
    if isinstance(value, list) and not any(isinstance(item, (list, dict)) for item in value):
        text = f"[{', '.join(map(str, value))}]"
        return text if len(text) <= _MAX_SHOWN else shown(value)
    return "" if value is None or isinstance(value, (list, dict)) else shown(value)


def _text(model: type[Model], path: KeyPath, detail: ErrorDetails) -> str:
    value, kind, context = detail["input"], detail["type"], detail.get("ctx", {})
    if kind == "missing":
        # Of a pair only the first is there.
        last = detail["loc"][-1]
        if isinstance(last, int):
            return str(BadValue(shown(value), wording.AT_LEAST_ITEMS(last + 1)))
        return wording.KEY_MISSING()
    if kind == "extra_forbidden":
        allowed = _keys_at(model, path[:-1])
        text = wording.KEY_UNKNOWN_ALLOWED(allowed=", ".join(allowed)) if allowed else wording.KEY_UNKNOWN()
        return text + near(str(path[-1]), allowed)
    if kind in ("too_short", "too_long"):
        return _size(value, context)
    if kind in ("literal_error", "enum"):
        return _of_choices(value, _choices(detail))
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        return _of_kind(value, str(context.get("expected_tags", "")))
    if bound := _bound(context):
        return str(BadValue(shown(value), bound))
    return str(BadValue(shown(value), _TYPES.get(kind, wording.MUST_BE_OTHERWISE)()))


def _bound(context: Mapping[str, float]) -> str:
    """The rule for a number out of bounds; empty where it is not about one."""
    if "gt" in context:
        return wording.ABOVE(minimum=f"{context['gt']:g}")
    if "ge" in context:
        return within(f"{context['ge']:g}", None)
    return within(None, f"{context['le']:g}") if "le" in context else ""


def _choices(detail: ErrorDetails) -> list[str]:
    """The closed list that a value is not in."""
    return str(detail.get("ctx", {}).get("expected", "")).replace(" or ", ", ").replace("'", "").split(", ")


def _new_value(value: Yaml, allowed: Sequence[str]) -> str:
    """The name of today of a value that is not allowed; empty where there is none."""
    new = OLD_VALUES.get(str(value), "")
    return new if new in allowed else ""


def _of_choices(value: Yaml, allowed: Sequence[str]) -> str:
    """A value that is not in a closed list."""
    if new := _new_value(value, allowed):
        return str(BadValue(repr(value), wording.VALUE_RENAMED(new=repr(new))))
    return str(BadValue(shown(value), wording.ONE_OF(allowed=", ".join(allowed)))) + near(str(value), allowed)


def _of_kind(value: Yaml, expected: str) -> str:
    """A mapping whose `kind` is not known, or not given."""
    tags = expected.replace("'", "")
    given = value.get("kind") if isinstance(value, dict) else value
    if given is None:
        return wording.KIND_MISSING(allowed=tags) if tags else wording.KIND_REQUIRED()
    text = str(BadValue(wording.KIND(value=shown(given)), wording.ONE_OF(allowed=tags)))
    return text + near(str(given), tags.split(", "))


def _size(value: Yaml, context: Mapping[str, int | str]) -> str:
    """What is wrong with the length of a list or a mapping."""
    is_mapping = isinstance(value, dict)
    if "min_length" in context:
        rule = (wording.AT_LEAST_KEYS if is_mapping else wording.AT_LEAST_ITEMS)(int(context["min_length"]))
    else:
        rule = (wording.AT_MOST_KEYS if is_mapping else wording.AT_MOST_ITEMS)(int(context["max_length"]))
    return str(BadValue(shown(value), rule))


def _comma_cut(document: ConfigDocument, unknown: Sequence[KeyPath]) -> dict[KeyPath, str]:
    """Values that a decimal comma cut in two within braces, `{kv: 16,0 L/h}`, whole, by the paths of both halves."""
    found: dict[KeyPath, str] = {}
    for path in unknown:
        above = document.mapping(*path[:-1])
        rest, keys = str(path[-1]), list(above)
        index = keys.index(rest)
        if not index or above[rest] is not None or not rest[:1].isdigit():
            continue
        first = keys[index - 1]
        if str(above[first]).lstrip("+-").isdigit():
            found[(*path[:-1], first)] = f"{above[first]},{rest}"
            found[path] = ""
    return found


def _new_name(model: type[Model], path: KeyPath) -> str:
    """The name of today of a key that is not known; empty where there is none."""
    allowed = _keys_at(model, path[:-1])
    return next((new for new in OLD_KEYS.get(str(path[-1]), ()) if new in allowed), "")


def _written_path(document: ConfigDocument, loc: tuple[int | str, ...]) -> KeyPath:
    """The path as written: the validating library puts the names of union members into it."""
    path: list[int | str] = []
    data: Yaml = document.data
    tagged: Yaml = None
    for depth, key in enumerate(loc):
        if isinstance(data, dict) and data is not tagged and data.get("kind") == key:
            tagged = data
        elif _has(data, key):
            path.append(key)
            data = value_at(data, (key,))
        elif depth == len(loc) - 1 and isinstance(data, dict) and not str(key).startswith("("):
            path.append(key)
    return tuple(path)


def _has(data: Yaml, key: int | str) -> bool:
    """Whether a key is in a mapping, or an item in a list."""
    if isinstance(data, list):
        return isinstance(key, int) and key < len(data)
    return isinstance(data, dict) and key in data


def _keys_at(model: type[Model], path: KeyPath) -> list[str]:
    """The keys that a model takes at a path."""
    models: list[type[Model]] = [model]
    for key in path:
        if isinstance(key, str):
            models = [m for at in models if key in at.model_fields for m in _models_in(at.model_fields[key].annotation)]
    return [name for at in models for name in at.known_keys()]


def _models_in(annotation: object) -> list[type[Model]]:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return [annotation]
    return [m for inner in get_args(annotation) for m in _models_in(inner)]
