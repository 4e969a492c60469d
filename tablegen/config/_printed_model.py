"""What every publication's file has: its name, and each way in which it is printed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from importlib.util import find_spec
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config._company_model import Region
from tablegen.config.fields import BadKey, LanguageCode, LoadUnit, Model, Name, UnitSystem, twice
from tablegen.model.publications import Printed
from tablegen.units import print_unit
from tablegen.wording import command_line
from tablegen.wording import config_errors as wording
from tablegen.wording.language import ENGLISH


class PrintModel(Model):
    """Paper and units that a publication is printed with, and whether its graphs are written as files too."""

    paper: Literal["a4", "letter"]
    units: UnitSystem
    load_unit: LoadUnit | None = None
    graph_files: bool = False
    png_files: bool = False

    @model_validator(mode="after")
    def _with_library(self) -> Self:
        if self.png_files and find_spec("pypdfium2") is None:
            raise BadKey(command_line.PNG_LIBRARY_MISSING(), "png_files")
        return self

    @property
    def suffix(self) -> str:
        """What is added to the name of the file."""
        load = f"-{self.load_unit.replace('/', '').replace('_', '-')}" if self.load_unit else ""
        return f"{self.paper}-{self.units}{load}".lower()

    def inputs(self, name: str, publication: str, region: str, language: str) -> Printed:
        """Paper and units of the file with this name, of a publication for a region in a language."""
        temperature = print_unit("temperature", self.units)
        load = print_unit("load", self.units, self.load_unit)
        offset = temperature.of(0.0)
        return Printed(
            name=name,
            paper=self.paper,
            units=self.units,
            load_unit=self.load_unit or load.label,
            load_unit_w=1.0 / load.of(1.0),
            temperature_scale=temperature.of(1.0) - offset,
            temperature_offset=offset,
            graph_files=self.graph_files,
            png_files=self.png_files,
            publication=publication,
            region=region,
            language=language,
        )


class PrintedModel(Model):
    """What every publication has: its name, each way in which it is printed, and a region other than the company's."""

    publication: Name
    region: Region | None = None
    prints: Annotated[list[PrintModel], Field(min_length=1)]

    @model_validator(mode="after")
    def _once(self) -> Self:
        if (again := twice([(p.paper, p.units, p.load_unit) for p in self.prints])) is not None:
            raise BadKey(wording.SAME_PRINT_TWICE(), "prints", again)
        return self

    def language_in(self, catalogue: str) -> str:
        """The language that it is printed in, in a catalogue of a language."""
        return ENGLISH

    def printed(self, language: str, *part: str) -> Iterator[Printed]:
        """Each way in which it is printed, the first to a file of its own name, to which those of a part are added."""
        publication = "-".join((self.publication, *part))
        for index, made in enumerate(self.prints):
            name = publication if index == 0 else f"{publication}-{made.suffix}"
            yield made.inputs(name, publication, self.region or "", self.language_in(language))

    def parts(self, families: Iterable[str]) -> list[tuple[str, ...]]:
        """What names its documents beside its own name, of the families of a catalogue: nothing for the publication itself."""
        return [()]


class TranslatedModel(PrintedModel):
    """A publication that may be in another language than the catalogue."""

    language: LanguageCode | None = None

    def language_in(self, catalogue: str) -> str:
        """Its own language, else that of the catalogue."""
        return self.language or catalogue
