"""A record of one case: what was asked, the answer, and what it was computed from; a file that people can read.

The same case from the same inputs has the same bytes and the same file name, on any day.  What a reader was shown is in
`figures`, so that a later answer can be compared with it; `answer` has all data in SI.
"""

from __future__ import annotations

import hashlib
import itertools
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from tablegen.errors import ConfigError, FileProblem
from tablegen.report.json_export import JsonValue, as_object
from tablegen.sweep.identity import fingerprint, versions
from tablegen.wording import again as wording

if TYPE_CHECKING:
    from tablegen.model.inputs import Catalogue
    from tablegen.report.answer import Answer, AnswerTable, Value

# Raised where what a record contains, or how it is compared, changes.
LAYOUT = 1
_SUFFIX = ".json"
_NBSP = "\N{NO-BREAK SPACE}"
_NOT_IN_NAMES = re.compile(r"[^a-z0-9]+")
_LONGEST_NAME = 60
_PLACE = ("written_as",)
MAX_RECORD_BYTES = 5_000_000
_COMMANDS, _UNITS = ("pick", "convert", "retrofit", "trace"), ("IP", "SI")


@dataclass(frozen=True, slots=True)
class PrintedFigure:
    """A text that a reader was shown: in which part of the answer, in which row, under which label, and as what."""

    part: str
    row: str
    label: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseRecord:
    """What a record contains.

    Attributes
    ----------
    command : str
        What was asked: "pick", "convert", "retrofit" or "trace".
    case : mapping
        The parameters as they were given, quantities with units.
    units : str
        Of the printed figures.
    heading, verdict
        The question and the answer in a sentence or two.
    passed : bool
        Whether the answer was yes.
    valves : tuple of str
        Of a pick the first choice for each load; "" where no valve covers one.
    figures : tuple of PrintedFigure
        What a reader was shown.
    catalogue : mapping of str to str
        Name, title, revision, date and the fingerprint of its data.
    inputs : mapping of str to str
        The SHA-256 of each file that the answer was computed from.
    versions : mapping of str to str
        Of this program and the libraries that figures depend on.
    answer : JSON value
        The whole answer in SI.
    """

    command: str
    case: Mapping[str, JsonValue]
    units: str
    heading: str
    verdict: tuple[str, ...]
    passed: bool
    valves: tuple[str, ...]
    figures: tuple[PrintedFigure, ...]
    catalogue: Mapping[str, str]
    inputs: Mapping[str, str]
    versions: Mapping[str, str]
    answer: JsonValue

    @classmethod
    def of(
        cls,
        command: str,
        case: Mapping[str, JsonValue],
        answer: Answer,
        catalogue: Catalogue,
        more_inputs: Mapping[str, str],
    ) -> CaseRecord:
        """The record of an answer that a catalogue gives; `more_inputs` are files that are not the catalogue's."""
        printing = catalogue.printing
        return cls(
            command=command,
            case=case,
            units=answer.units,
            heading=_plain(answer.heading),
            verdict=tuple(map(_plain, answer.summary)),
            passed=answer.passed,
            valves=tuple(_valves(answer)) if command == "pick" else (),
            figures=tuple(_figures(answer)),
            catalogue={
                "name": catalogue.name,
                "title": printing.title,
                "revision": printing.revision,
                "date": printing.date.isoformat(),
                "data": fingerprint(catalogue.data_files),
            },
            inputs=dict(sorted({**catalogue.files, **more_inputs}.items())),
            versions=versions(),
            answer=as_object(answer),
        )

    @property
    def file_name(self) -> str:
        """From the case's own name and date; without a name from what is asked."""
        name = _NOT_IN_NAMES.sub("-", str(self.case.get("name", "")).lower()).strip("-")[:_LONGEST_NAME].strip("-")
        if not name:
            content = json.dumps([self.command, self.units, sorted(self.case.items())])
            name = hashlib.sha256(content.encode()).hexdigest()[:12]
        day = str(self.case.get("date", ""))
        return "-".join(filter(None, (self.command, name, day))) + _SUFFIX

    def to_text(self) -> str:
        """The file's text."""
        content: dict[str, JsonValue] = {
            "record": LAYOUT,
            "command": self.command,
            "case": dict(self.case),
            "units": self.units,
            "heading": self.heading,
            "verdict": list(self.verdict),
            "passed": self.passed,
            "valves": list(self.valves),
            "catalogue": dict(self.catalogue),
            "versions": dict(self.versions),
            "inputs": dict(self.inputs),
            "figures": [[own.part, own.row, own.label, own.text] for own in self.figures],
            "answer": self.answer,
        }
        return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def record_of(content: bytes, file: str) -> CaseRecord:
    """The record in a file's bytes; `file` is its name in messages.

    Raises
    ------
    ConfigError
        If it is none, or one of another layout.
    """
    try:
        data = json.loads(content.decode("utf-8"))
    except (ValueError, RecursionError) as error:
        line = error.lineno if isinstance(error, json.JSONDecodeError) else 0
        raise ConfigError([FileProblem(file, line, "", wording.NO_RECORD())]) from None
    if not isinstance(data, dict) or "record" not in data:
        raise ConfigError([FileProblem(file, 0, "", wording.NO_RECORD())])
    if data["record"] != LAYOUT:
        raise ConfigError([FileProblem(file, 0, "record", wording.OTHER_LAYOUT(layout=LAYOUT))])
    for key, kind in _KINDS.items():
        if not isinstance(data.get(key), kind):
            raise ConfigError([FileProblem(file, 0, key, wording.INCOMPLETE())])
    if data["units"] not in _UNITS or data["command"] not in _COMMANDS:
        raise ConfigError([FileProblem(file, 0, "", wording.INCOMPLETE())])
    figures = data["figures"]
    if not all(isinstance(own, list) and len(own) == 4 and all(isinstance(t, str) for t in own) for own in figures):
        raise ConfigError([FileProblem(file, 0, "figures", wording.INCOMPLETE())])
    return CaseRecord(
        command=data["command"],
        case=data["case"],
        units=data["units"],
        heading=data["heading"],
        verdict=_texts(data["verdict"]),
        passed=data["passed"],
        valves=_texts(data["valves"]),
        figures=tuple(PrintedFigure(*own) for own in figures),
        catalogue=_texts_by_key(data["catalogue"]),
        inputs=_texts_by_key(data["inputs"]),
        versions=_texts_by_key(data["versions"]),
        answer=cast(JsonValue, data["answer"]),
    )


_KINDS: Mapping[str, type] = {
    **dict.fromkeys(("command", "units", "heading"), str),
    **dict.fromkeys(("case", "catalogue", "inputs", "versions", "answer"), dict),
    **dict.fromkeys(("verdict", "valves", "figures"), list),
    "passed": bool,
}


def _texts(values: list[object]) -> tuple[str, ...]:
    return tuple(map(str, values))


def _texts_by_key(values: dict[str, object]) -> dict[str, str]:
    return {key: str(value) for key, value in values.items()}


def _plain(text: str) -> str:
    return text.replace(_NBSP, " ")


def _valves(answer: Answer) -> Iterator[str]:
    """The first choice for each load, with its charge where there is an order."""
    for section in answer.every_section():
        known = section.record()
        if "first_family" in known:
            orders = [own.record() for own in section.sections if own.key == "order"]
            yield _plain(", ".join(f"{own['family']} {own['size']}, {own['charge']}" for own in orders))


def _figures(answer: Answer) -> Iterator[PrintedFigure]:
    """What a reader is shown, but for cautions and what every revision changes: the imprint, and the end of an order line."""
    for section in answer.every_section():
        name = _plain(section.heading) if section is not answer else ""
        if section.key == "order":
            caution = f"; {section.record()['caution']}; "
            for text in section.summary:
                own = text.replace(caution, "; ", 1).rpartition("; ")[0]
                yield PrintedFigure(name, "", wording.ANSWER(), _plain(own))
            continue
        if section.summary:
            yield PrintedFigure(name, "", wording.ANSWER(), _plain(" ".join(section.summary)))
        for note in section.notes:
            yield PrintedFigure(name, "", wording.NOTE(), _plain(note))
        for fact in section.facts:
            if fact.label:
                yield PrintedFigure(name, "", _plain(fact.label), _plain(fact.value.text))
        for table in section.tables:
            if table.is_printed:
                yield from _cells(name, table)


def _cells(section: str, table: AnswerTable) -> Iterator[PrintedFigure]:
    """Every printed cell that is not the name of its row; rows of one name are numbered."""
    above = ", ".join(filter(None, (section, _plain(table.title))))
    printed = table.printed_columns()
    seen: dict[str, int] = {}
    for row in table.rows[: table.printed_rows]:
        values = [row[i] for i in printed]
        count = _names(values)
        name = _plain(" ".join(value.text for value in values[:count]))
        seen[name] = seen.get(name, 0) + 1
        shown = name if seen[name] == 1 else f"{name} ({seen[name]})"
        for i, value in list(zip(printed, values, strict=True))[count:]:
            # A line of a config file says where a figure is, and nothing of it.
            if table.columns[i].keys != _PLACE:
                yield PrintedFigure(above, shown, _plain(table.columns[i].label), _plain(value.text))


def _names(values: Sequence[Value]) -> int:
    """How many of a row's first cells name it: those with names alone as data, and always one."""
    names = itertools.takewhile(lambda own: own.data and all(isinstance(datum, str) for datum in own.data), values[:-1])
    return max(1, sum(1 for _ in names))
