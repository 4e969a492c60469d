"""The mapping file of a table from elsewhere: which column is what, and what its names are called in the catalogue."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any, ClassVar, Self

from pydantic import BeforeValidator, Field, model_validator

from tablegen.config._validation import validate
from tablegen.config.document import ConfigDocument, read_document
from tablegen.config.fields import BadKey, Model, OneOf
from tablegen.errors import BadValue
from tablegen.units import unit_named
from tablegen.wording import config_errors as wording

# What a quantity is measured in; the other columns are names.
KINDS: Mapping[str, str] = {"sst": "temperature", "minimum": "load", "maximum": "load"}
NAMED = ("family", "size", "refrigerant", "application")
_MAX_LENGTH = 120
_MAX_NAMES = 2_000


def _text(value: object) -> str:
    """A name or heading as the table spells it, which may be a number."""
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise BadValue(repr(value), wording.MUST_BE_TEXT())
    text = " ".join(str(value).split())
    if not 0 < len(text) <= _MAX_LENGTH:
        raise BadValue(repr(text[:40]), wording.TEXT_TOO_LONG(most=_MAX_LENGTH, count=len(text)))
    return text


TableText = Annotated[str, BeforeValidator(_text)]
# A name of the table: the catalogue's, or nothing where that has no counterpart.
Names = Annotated[dict[TableText, TableText | None], Field(max_length=_MAX_NAMES)]


class TableColumnModel(Model):
    """A column by its heading, with a unit where the heading has none; or one value for every row."""

    one_of: ClassVar[OneOf] = (("column", "value"),)
    column: TableText | None = None
    unit: TableText | None = None
    value: TableText | None = None

    @model_validator(mode="before")
    @classmethod
    def _heading_alone(cls, data: Any) -> Any:
        return {"column": data} if isinstance(data, (str, int, float)) and not isinstance(data, bool) else data


class TableColumnsModel(Model):
    """The columns; those that are left out are taken by their obvious names."""

    family: TableColumnModel | None = None
    size: TableColumnModel | None = None
    refrigerant: TableColumnModel | None = None
    application: TableColumnModel | None = None
    sst: TableColumnModel | None = None
    minimum: TableColumnModel | None = None
    maximum: TableColumnModel | None = None

    @model_validator(mode="after")
    def _units(self) -> Self:
        for name in (*NAMED, *KINDS):
            own: TableColumnModel | None = getattr(self, name)
            if own is None:
                continue
            if name in KINDS and own.value is not None:
                raise BadKey(wording.COLUMN_OF_FIGURES(), name, "value")
            if own.unit is not None:
                if name not in KINDS:
                    raise BadKey(wording.COLUMN_OF_NAMES(), name, "unit")
                try:
                    unit_named(KINDS[name], own.unit)
                except BadValue as error:
                    raise BadKey(str(error), name, "unit", is_complete=True) from None
        return self


class TableNamesModel(Model):
    """Names of the table by the names that the catalogue has for them."""

    families: Names = Field(default_factory=dict)
    sizes: Names = Field(default_factory=dict)
    refrigerants: Names = Field(default_factory=dict)
    applications: Names = Field(default_factory=dict)


class MappingModel(Model):
    """A mapping file."""

    columns: TableColumnsModel = Field(default_factory=TableColumnsModel)
    names: TableNamesModel = Field(default_factory=TableNamesModel)


def read_mapping(path: Path) -> tuple[ConfigDocument, MappingModel]:
    """The mapping in a file, and its document.

    Raises ConfigError with every problem, by file, line and key.
    """
    document = read_document(path)
    return document, validate(MappingModel, document)
