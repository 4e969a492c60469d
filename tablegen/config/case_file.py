"""Files of cases: what is asked of `pick`, `convert`, `retrofit` or `trace`, one case or a list of them.

A case has the keys of the command's options.  In a list, keys beside `cases` are those of every case that has none of
its own.  A case that cannot be used is a problem of its own, and the others are answered.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from tablegen.config._validation import validate
from tablegen.config.document import ConfigDocument, KeyPath, Place, Yaml, read_document, spell
from tablegen.config.fields import Day, Heading, Model, Number
from tablegen.errors import BadValue, ConfigError, FileProblem
from tablegen.units import to_si
from tablegen.wording import cases as wording
from tablegen.wording import config_errors, input_errors

MOST_CASES = 500
_LIST = "cases"
# Options whose parameters have another name.
_OPTIONS = {"set": "overrides", "was_set": "was_overrides"}


def _text(value: object) -> str:
    """A text, or a name that is a number."""
    if isinstance(value, bool) or not isinstance(value, (str, int, float)) or not str(value).strip():
        raise BadValue(repr(value), config_errors.MUST_BE_TEXT())
    return str(value)


def _quantity(kind: str) -> BeforeValidator:
    """A validator of a quantity that keeps it as it is written."""

    def read(value: object) -> str:
        to_si(value, kind)
        return " ".join(str(value).split())

    return BeforeValidator(read)


def _parts(value: object) -> list[str]:
    """Loads or shares: a list, or one text with commas between."""
    parts = value.split(",") if isinstance(value, str) else value
    if not isinstance(parts, list) or not parts:
        raise BadValue(repr(value), config_errors.MUST_BE_LIST())
    texts = [_text(part).strip() for part in parts]
    for text in texts:
        to_si(text, "share" if text.endswith(("percent", "%")) else "load")
    return texts


def _overrides(value: object) -> list[str]:
    """Other values for keys of the application: a list of KEY=VALUE, one of them, or a mapping."""
    if isinstance(value, dict):
        return [f"{path}={leaf}" for path, leaf in _leaves(value)]
    parts = [value] if isinstance(value, str) else value
    if not isinstance(parts, list):
        raise BadValue(repr(value), config_errors.MUST_BE_LIST())
    return [_text(part) for part in parts]


def _leaves(value: dict[str, Yaml], above: str = "") -> Iterator[tuple[str, Yaml]]:
    for key, own in value.items():
        if isinstance(own, dict):
            yield from _leaves(own, f"{above}{key}.")
        else:
            yield f"{above}{key}", own


Words = Annotated[str, BeforeValidator(_text)]
OwnTemperature = Annotated[str, _quantity("temperature")]
OwnStep = Annotated[str, _quantity("temperature difference")]
OwnLoad = Annotated[str, _quantity("load")]
OwnLength = Annotated[str, _quantity("length")]
Parts = Annotated[list[str], BeforeValidator(_parts)]
Overrides = Annotated[list[str], BeforeValidator(_overrides)]


class CaseModel(Model):
    """What every case may have; `name` and `date` are for its record."""

    name: Heading | None = None
    date: Day | None = None
    refrigerant: Words | None = None
    sst: OwnTemperature | None = None
    box: OwnTemperature | None = None
    coil_difference: OwnStep | None = None
    application: Words | None = None


class PickCaseModel(CaseModel):
    """A load for which a valve is sought."""

    load: OwnLoad | None = None
    overrides: Overrides | None = None
    split: Parts | None = None
    family: Words | None = None
    valve_kind: Words | None = None
    connections: Words | None = None
    capillary: OwnLength | None = None
    quantity: Annotated[int, Field(ge=1)] | None = None
    job: Words | None = None
    part_numbers: Words | None = None
    stock: Words | None = None
    all_sizes: bool | None = None


class ConvertCaseModel(CaseModel):
    """A capacity that is stated at other temperatures."""

    capacity: OwnLoad | None = None
    condensing: OwnTemperature | None = None
    basis: Literal["bubble", "dew", "mid"] | None = None
    subcooling: OwnStep | None = None
    liquid: OwnTemperature | None = None
    stated_sst: OwnTemperature | None = None
    back: bool | None = None


class RetrofitCaseModel(CaseModel):
    """An existing valve on another system."""

    family: Words | None = None
    size: Words | None = None
    load: OwnLoad | None = None
    overrides: Overrides | None = None
    was: Words | None = None
    was_load: OwnLoad | None = None
    was_application: Words | None = None
    was_overrides: Overrides | None = None
    charge: Words | None = None
    static_superheat: OwnStep | None = None
    turns: Number | None = None


class TraceCaseModel(CaseModel):
    """A load window to follow step by step."""

    family: Words | None = None
    size: Words | None = None
    overrides: Overrides | None = None
    limit: Literal["minimum", "maximum"] | None = None
    detail: Literal["summary", "steps", "full"] | None = None


CASE_MODELS: dict[str, type[CaseModel]] = {
    "pick": PickCaseModel,
    "convert": ConvertCaseModel,
    "retrofit": RetrofitCaseModel,
    "trace": TraceCaseModel,
}


@dataclass(frozen=True, slots=True)
class WrittenCase:
    """One case of a file: where it is written, and its model, or the problems where it is none."""

    document: ConfigDocument
    line: int
    model: CaseModel | None
    problems: tuple[FileProblem, ...] = ()


@dataclass(frozen=True, slots=True)
class CaseFile:
    """The cases of a file in order; a file of one case need not have a list."""

    file: str
    is_list: bool
    cases: tuple[WrittenCase, ...]


def read_cases(path: Path, command: str, instead: Mapping[str, Sequence[str]]) -> CaseFile:
    """The cases of a file for a command; `instead` names the keys whose place a key takes.

    Raises
    ------
    ConfigError
        If the file cannot be read, or has no list of cases where it should.
    """
    document = read_document(path)
    if _LIST not in document.data:
        return CaseFile(document.file, False, (_case(_renamed(document), 1, command),))
    listed = document.value((_LIST,))
    if not isinstance(listed, list) or not listed:
        raise ConfigError([document.problem((_LIST,), wording.CASES_ARE_A_LIST())])
    if len(listed) > MOST_CASES:
        raise ConfigError([document.problem((_LIST,), wording.TOO_MANY_CASES(count=len(listed), most=MOST_CASES))])
    common = _renamed(
        ConfigDocument(document.file, {k: v for k, v in document.data.items() if k != _LIST}, document.places)
    )
    made = []
    for index, own in enumerate(listed):
        line = document.place((_LIST, index)).line
        if isinstance(own, dict):
            part = _renamed(document.part((_LIST, index)))
            places = {**common.places, **part.places}
            replaced = {other for key in part.data for other in instead.get(key, ())}
            shared = {key: value for key, value in common.data.items() if key not in replaced}
            made.append(_case(ConfigDocument(document.file, {**shared, **part.data}, places), line, command))
        else:
            problem = FileProblem(document.file, line, spell((_LIST, index)), config_errors.MUST_BE_MAPPING())
            made.append(WrittenCase(document, line, None, (problem,)))
    return CaseFile(document.file, True, tuple(made))


def case_of(data: dict[str, Yaml], file: str, command: str) -> WrittenCase:
    """A case that a record has."""
    return _case(ConfigDocument(file, data), 0, command)


def _case(document: ConfigDocument, line: int, command: str) -> WrittenCase:
    try:
        return WrittenCase(document, line, validate(CASE_MODELS[command], document))
    except ConfigError as error:
        return WrittenCase(document, line, None, error.problems)


def _renamed(document: ConfigDocument) -> ConfigDocument:
    """A document whose keys are parameters, where they were written as options."""

    def own(key: str) -> str:
        name = key.strip().removeprefix("--").replace("-", "_")
        return _OPTIONS.get(name, name)

    found: dict[str, Yaml] = {}
    for key, value in document.data.items():
        if own(key) in found:
            first = next(name for name in document.data if own(name) == own(key))
            text = input_errors.DUPLICATE_KEY(name=repr(own(key)), line=document.place((first,)).line)
            raise ConfigError([document.problem((key,), text)])
        found[own(key)] = value
    places: dict[KeyPath, Place] = {
        (own(str(path[0])), *path[1:]): place for path, place in document.places.items() if path and path[0] != _LIST
    }
    return ConfigDocument(document.file, found, places)
