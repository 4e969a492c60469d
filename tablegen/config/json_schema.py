"""JSON Schema (draft 2020-12) of each kind of config file, from its model: keys, units and closed lists for editors.

A schema states what one value may be; rules over several values, and names that other files must have, stay with
`tablegen check`.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator, Mapping
from functools import reduce
from operator import or_
from typing import Annotated, Any

from pydantic import Field, TypeAdapter
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from tablegen.config._application_model import ApplicationModel
from tablegen.config._applications import BY_REFRIGERANT, SAME_FOR_ALL
from tablegen.config._catalogue_model import CatalogueModel, GroupsModel
from tablegen.config._company_model import CompanyModel
from tablegen.config._languages import LanguageModel
from tablegen.config._nearby_part_model import PART_KINDS
from tablegen.config._publications import PUBLICATION_KINDS
from tablegen.config.family_model import FAMILY_KINDS
from tablegen.config.fields import Model
from tablegen.config.refrigerant_files import RefrigerantModel
from tablegen.config.written_forms import refrigerant_form
from tablegen.wording import application_keys, catalogue_keys, valve_keys
from tablegen.wording import schema as wording
from tablegen.wording.message import Message

MODELS: Mapping[str, tuple[type[Model], ...]] = {
    "catalogue": (CatalogueModel,),
    "groups": (GroupsModel,),
    "company": (CompanyModel,),
    "family": tuple(FAMILY_KINDS.values()),
    "application": (ApplicationModel,),
    "publication": tuple(PUBLICATION_KINDS.values()),
    "refrigerant": (RefrigerantModel,),
    "language": (LanguageModel,),
    "part": tuple(PART_KINDS.values()),
}
_KEYS: Mapping[str, Message] = {**catalogue_keys.KEYS, **application_keys.KEYS, **valve_keys.KEYS}
_VALUES: Mapping[str, Mapping[str, Message]] = {
    **catalogue_keys.VALUES,
    **application_keys.VALUES,
    **valve_keys.VALUES,
}
# Part of an application that replaces some of its keys.
_PART = "_part"


def schema_of(kind: str) -> dict[str, object]:
    """The schema of a kind of config file, one of `MODELS`."""
    models = MODELS[kind]
    union: Any = models[0] if len(models) == 1 else Annotated[reduce(or_, models), Field(discriminator="kind")]
    adapter: TypeAdapter[object] = TypeAdapter(union)
    made = adapter.json_schema(schema_generator=_Generator)
    if kind == "application":
        _add_parts(made)
    return {
        "$schema": _Generator.schema_dialect,
        "title": f"tablegen {kind}",
        "description": f"{wording.FILES[kind]()} {wording.NOT_ALL()}",
        **made,
    }


def schema_file(kind: str) -> str:
    """The name of the file of a kind's schema."""
    return f"{kind}.schema.json"


def schema_text(kind: str) -> str:
    """The schema of a kind as its file has it."""
    return json.dumps(schema_of(kind), indent=1, ensure_ascii=False) + "\n"


def said_of(model: type[Model], key: str) -> Message | None:
    """The sentence about a key of a model: its own, that of a model it is made of, or that of every model."""
    message: Message | None = _stated(_KEYS, model, key)
    return message


def _stated(texts: Mapping[str, Any], model: type[Model], key: str) -> Any:
    names = [f"{own.__name__}.{key}" for own in model.__mro__]
    return next((texts[name] for name in (*names, key) if name in texts), None)


class _Generator(GenerateJsonSchema):
    """Pydantic's schema with what each key and value means, and without what is only of use in Python."""

    def field_title_should_be_set(self, schema: object) -> bool:
        """A key is its own title."""
        return False

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        """A key that may be left out; one without a value is most likely not finished."""
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        """With the default where it is written as it is read: a quantity's has no unit any more."""
        found = super().default_schema(schema)
        if not isinstance(found.get("default"), (str, bool)):
            found.pop("default", None)
        return found

    def dict_schema(self, schema: core_schema.DictSchema) -> JsonSchemaValue:
        """With the same for every key: pydantic would let any other key through."""
        found = super().dict_schema(schema)
        found.pop("patternProperties", None)
        keys, values = (self.generate_inner(schema[own]) for own in ("keys_schema", "values_schema"))
        return {**found, "propertyNames": keys, "additionalProperties": values}

    def tagged_union_schema(self, schema: core_schema.TaggedUnionSchema) -> JsonSchemaValue:
        """Without the keyword that JSON Schema does not have."""
        found = super().tagged_union_schema(schema)
        found.pop("discriminator", None)
        return found

    def model_schema(self, schema: core_schema.ModelSchema) -> JsonSchemaValue:
        """With a sentence about each key, and the keys of which exactly one is given."""
        found, model = super().model_schema(schema), schema["cls"]
        found.pop("title", None)
        found.pop("description", None)
        for key, own in found.get("properties", {}).items():
            own.update(_described(model, key, own))
        if model.one_of:
            found["allOf"] = [{"oneOf": [{"required": [key]} for key in keys]} for keys in model.one_of]
        return found


def _described(model: type[Model], key: str, own: Mapping[str, Any]) -> Iterator[tuple[str, object]]:
    """Description of a key, and of each value of a closed list."""
    says = [message()] if (message := said_of(model, key)) is not None else []
    meanings: Mapping[str, Message] = _stated(_VALUES, model, key) or {}
    target = own.get("items", own)
    values = [str(value) for value in target.get("enum", [target["const"]] if "const" in target else ())]
    if known := [wording.VALUE(value=value, meaning=meanings[value]()) for value in values if value in meanings]:
        says.append(wording.VALUES(values="; ".join(known)))
    if "description" in own:
        says.append(str(own["description"]))
    yield "description", " ".join(says)
    if own is target and "enum" in own and known:
        # Not of the standard: editors show it beside each value.
        yield "enumDescriptions", [meanings[value]() if value in meanings else "" for value in values]


def _add_parts(made: dict[str, Any]) -> None:
    """To an application, the keys that differ for a refrigerant: each may be left out, and none is the table's own."""
    definitions = made["$defs"]
    parts = {f"{name}{_PART}": _part_of(own) for name, own in definitions.items()}
    top = _part_of({key: made[key] for key in ("type", "properties", "additionalProperties")})
    top["properties"] = {key: own for key, own in top["properties"].items() if key not in SAME_FOR_ALL}
    definitions |= {**parts, f"{ApplicationModel.__name__}{_PART}": top}
    message = said_of(ApplicationModel, BY_REFRIGERANT)
    made["properties"][BY_REFRIGERANT] = {
        "description": message() if message else "",
        "type": "object",
        "propertyNames": refrigerant_form(),
        "additionalProperties": {"$ref": f"#/$defs/{ApplicationModel.__name__}{_PART}"},
    }


def _part_of(value: Any) -> Any:
    """A schema of which every key may be left out."""
    if isinstance(value, dict):
        found = {
            "anyOf" if key == "oneOf" else key: _part_of(own)
            for key, own in value.items()
            if key not in ("required", "allOf", "default")
        }
        if isinstance(found.get("$ref"), str):
            found["$ref"] += _PART
        return found
    return [_part_of(own) for own in value] if isinstance(value, list) else copy.copy(value)
