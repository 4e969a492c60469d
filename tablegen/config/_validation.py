"""Turn what pydantic found into one line per problem, with its place and the next thing to do."""

from __future__ import annotations

import re
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from tablegen.config.fields import AtKey, BadText, Model
from tablegen.config.parsed import KeyPath
from tablegen.config.source import Document, spell
from tablegen.errors import BadValue, ConfigError, Problem, near
from tablegen.units import with_comma

M = TypeVar("M", bound=Model)


def validate(model: type[M], document: Document) -> M:
    """A document as a model.

    Raises
    ------
    ConfigError
        With every problem in the document.
    """
    try:
        return model.model_validate(document.data)
    except ValidationError as error:
        details = error.errors(include_url=False)
        cut = _comma_cut(document, details)
        found = [_problem(document, model, d) for d in details if _written_path(document, d["loc"]) not in cut]
        found += [document.problem(path, str(with_comma(text))) for path, text in cut.items() if text]
        raise ConfigError(found) from error


def _problem(document: Document, model: type[Model], detail: ErrorDetails) -> Problem:
    path = _written_path(document, detail["loc"])
    value, kind, context = detail["input"], detail["type"], detail.get("ctx", {})
    error = context.get("error")
    if isinstance(error, AtKey):
        base, path = path, path + error.path
        if isinstance(error, BadText):
            return document.problem(path, _of_text(document, base, error))
    return document.problem(path, _text(model, path, value, kind, context, detail))


def _of_text(document: Document, base: KeyPath, error: BadText) -> str:
    """What is wrong with a value as it is written, with the earlier one that it contradicts."""
    own = _as_written(document, base + error.path)
    if error.other is None:
        return f"{own} is not allowed; {error.rule}"
    other = base + error.other
    earlier = f"{spell(other)} {_as_written(document, other)} (line {document.place(other).line})"
    return f"{own} is not above {earlier}; {error.rule}: one of the two is wrong"


def _as_written(document: Document, path: KeyPath) -> str:
    data: Any = document.data
    for key in path:
        data = data[key]
    return f"[{', '.join(map(str, data))}]" if isinstance(data, list) else repr(str(data))


def _comma_cut(document: Document, details: list[ErrorDetails]) -> dict[KeyPath, str]:
    """Values that a decimal comma cut in two within braces, `{kv: 16,0 L/h}`, whole, by the paths of both halves."""
    found: dict[KeyPath, str] = {}
    for path in (_written_path(document, d["loc"]) for d in details if d["type"] == "extra_forbidden"):
        data: Any = document.data
        for key in path[:-1]:
            data = data[key]
        keys = list(data)
        index = keys.index(path[-1])
        if not index:
            continue
        rest, before = str(path[-1]), keys[index - 1]
        if data[path[-1]] is None and rest[:1].isdigit() and str(data[before]).lstrip("+-").isdigit():
            found[(*path[:-1], before)] = f"{data[before]},{rest}"
            found[path] = ""
    return found


def _written_path(document: Document, loc: tuple[int | str, ...]) -> KeyPath:
    """The path as written: pydantic puts the names of union members into it, which the file does not hold."""
    path: list[int | str] = []
    data: Any = document.data
    tagged: Any = None
    for depth, key in enumerate(loc):
        if isinstance(data, dict) and data is not tagged and data.get("kind") == key:
            tagged = data
        elif _has(data, key):
            path.append(key)
            data = data[key]
        elif depth == len(loc) - 1 and isinstance(data, dict):
            path.append(key)
    return tuple(path)


def _has(data: Any, key: int | str) -> bool:
    """Whether a key is in a mapping, or an item in a list."""
    if isinstance(data, list):
        return isinstance(key, int) and key < len(data)
    return isinstance(data, dict) and key in data


def _text(
    model: type[Model], path: KeyPath, value: Any, kind: str, context: dict[str, Any], detail: ErrorDetails
) -> str:
    if kind == "missing":
        if isinstance(detail["loc"][-1], int):
            return f"{_items(len(value))} is not allowed; it must have at least {detail['loc'][-1] + 1}"
        return "the key is missing; it is required"
    if kind == "extra_forbidden":
        allowed = _keys_at(model, path[:-1])
        listed = f"; allowed are {', '.join(allowed)}" if allowed else ""
        return f"the key is not known{listed}{near(str(path[-1]), allowed)}"
    if kind == "value_error":
        error = context.get("error")
        if isinstance(error, BadValue):
            return str(error)
        return str(error) if isinstance(error, ValueError) else detail["msg"]
    if kind in ("too_short", "too_long"):
        return _size(context)
    if kind in ("enum", "literal_error"):
        allowed = str(context.get("expected", "")).replace(" or ", ", ").replace("'", "").split(", ")
        return f"{value!r} is not allowed; must be one of {', '.join(allowed)}{near(str(value), allowed)}"
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        tags = str(context.get("expected_tags", "")).replace("'", "")
        given = value.get("kind") if isinstance(value, dict) else value
        if given is None:
            return f"the key 'kind' is missing{'; must be one of ' + tags if tags else '; it is required'}"
        return f"kind {given!r} is not allowed; must be one of {tags}{near(str(given), tags.split(', '))}"
    shown = "a mapping" if isinstance(value, dict) else "a list" if isinstance(value, list) else repr(value)
    shown = "an empty value" if value is None else shown
    return f"{shown} is not allowed; {_rule(detail['msg'])}"


def _size(context: dict[str, Any]) -> str:
    """What is wrong with the length of a list or a mapping."""
    is_mapping = context.get("field_type") == "Dictionary"
    parts = "keys" if is_mapping else "items"
    bound, limit = ("least", context["min_length"]) if "min_length" in context else ("most", context["max_length"])
    shown = _items(context["actual_length"], is_mapping)
    return f"{shown} is not allowed; it must have at {bound} {limit} {parts if limit != 1 else parts[:-1]}"


def _items(count: int, is_mapping: bool = False) -> str:
    """A list or mapping by its length."""
    what, part = ("mapping", "key") if is_mapping else ("list", "item")
    return f"a {what} of {count} {part}{'s' if count != 1 else ''}" if count else f"an empty {what}"


def _rule(message: str) -> str:
    """Pydantic's sentence in the words of a config reader."""
    message = re.sub(r"valid dictionary or (instance|object) .*", "mapping of keys and values", message)
    for theirs, ours in (
        ("Input should be", "it must be"),
        ("a valid dictionary", "a mapping of keys and values"),
        ("a valid list", "a list"),
        ("a valid tuple", "a list"),
        ("Field required", "it is required"),
        ("greater than or equal to", "at least"),
        ("less than or equal to", "at most"),
    ):
        message = message.replace(theirs, ours)
    return message[0].lower() + message[1:]


def _keys_at(model: type[Model], path: KeyPath) -> list[str]:
    """The keys that a model takes at a path, as far as its annotations tell."""
    models: list[type[Model]] = [model]
    for key in path:
        if isinstance(key, int):
            continue
        models = [m for at in models if key in at.model_fields for m in _models_in(at.model_fields[key].annotation)]
    return [name for at in models for name in at.model_fields]


def _models_in(annotation: Any) -> list[type[Model]]:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return [annotation]
    return [m for inner in getattr(annotation, "__args__", ()) for m in _models_in(inner)]
