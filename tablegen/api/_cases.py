"""How a command about one case answers it, or all cases of a file, and keeps a record of each."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Generic, TypeAlias

from tablegen.api._inputs import Units
from tablegen.api._questions import INSTEAD, QUESTIONS, PickQuestion, Q, Question, as_asked, over
from tablegen.errors import ConfigError, FileProblem, OutputError, RequestError, TablegenError
from tablegen.files import read_regular
from tablegen.model.inputs import Catalogue
from tablegen.report.answer import Answer
from tablegen.wording import cases as wording
from tablegen.wording.message import argument

if TYPE_CHECKING:
    from tablegen.config.case_file import CaseFile, WrittenCase
    from tablegen.report.case_record import CaseRecord

# What a value for a key of the application is called where it is wrong.
_OVERRIDES = ("overrides", "was_overrides")


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer, and the catalogue that gave it."""

    answer: Answer
    catalogue: Catalogue


Ask: TypeAlias = Callable[[Q, "str | Path | None", "Units | None"], Answered]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking(Generic[Q]):
    """A command: its name, what a call asks, what answers it, and with which catalogue and units.

    `record` is the folder that records are kept in; None without any.
    """

    command: str
    call: Q
    ask: Ask[Q]
    catalogue: str | Path | None
    units: Units | None
    record: Path | None

    def one(self, question: Q) -> Answer:
        """The answer to one case, recorded if that is asked for."""
        found = self.ask(question, self.catalogue, self.units)
        answer = named(found.answer, question)
        return answer if self.record is None else _kept(answer, recorded(self.command, question, found), self.record)

    def every(self, cases: CaseFile) -> Answer:
        """The answers to all cases of a file."""
        from tablegen.report.answers.cases import answer_of_cases

        answers: list[tuple[int, int, Answer]] = []
        problems: list[FileProblem] = []
        for number, case in enumerate(cases.cases, start=1):
            try:
                answer = self.one(over(question_of(case, self.command, self.call), self.call))
                answers.append((number, case.line, answer))
            except TablegenError as error:
                problems += located(error, case, self.call)
        if not answers:
            raise ConfigError(problems)
        lines = tuple(dict.fromkeys(str(problem) for problem in sorted(problems)))
        if not cases.is_list:
            return answers[0][2]
        return answer_of_cases(cases.file, len(cases.cases), answers, lines)


def answered(asking: Asking[Q], case: str | Path | None) -> Answer:
    """The answer to a call, or to the cases of a file with the call's own values put over them.

    Raises
    ------
    RequestError
        If one case is asked for and cannot be answered, or the folder of records is a file.
    ConfigError
        If the catalogue or the file of cases cannot be used, or none of its cases can be answered.
    """
    if asking.record is not None and asking.record.exists() and not asking.record.is_dir():
        raise RequestError(wording.RECORD_FOLDER(folder=str(asking.record)))
    if case is None:
        return asking.one(asking.call)
    from tablegen.config.case_file import read_cases

    return asking.every(read_cases(Path(case), asking.command, INSTEAD))


def recorded(command: str, question: Question, found: Answered) -> CaseRecord:
    """The record of an answer; a list of part numbers and a stock sheet that the case names are inputs too."""
    from tablegen.report.case_record import CaseRecord

    lists = question.lists.values() if isinstance(question, PickQuestion) else ()
    more = {own: hashlib.sha256(Path(own).read_bytes()).hexdigest() for own in lists}
    return CaseRecord.of(command, as_asked(question), found.answer, found.catalogue, more)


def folder_of(record: str | Path | None) -> Path | None:
    """The folder of records that is asked for."""
    return None if record is None else Path(record)


def question_of(case: WrittenCase, command: str, like: Q) -> Q:
    """A written case as a question of the kind that a command asks.

    Raises ConfigError with its problems if it is none.
    """
    if case.model is None:
        raise ConfigError(case.problems)
    kind: type[Q] = type(like)
    assert kind is QUESTIONS[command]
    return case.model.into(kind)


def located(error: TablegenError, case: WrittenCase, call: Question) -> Iterator[FileProblem]:
    """The problems of one case with the place where it is written; what an option gives is named by its option.

    Raises what it is given if that is no problem of the case: the catalogue or the output cannot be used.
    """
    if isinstance(error, OutputError):
        raise error
    if isinstance(error, ConfigError):
        lists = {own: name for name in ("part_numbers", "stock") if (own := getattr(case.model, name, None))}
        if case.model is not None and not is_of_case(error, lists):
            raise error
        for problem in error.problems:
            name = next((own for own in _OVERRIDES if argument(own) == problem.file), "")
            if name:
                if name not in case.document.data:
                    # An option has it, so it is wrong for every case.
                    raise error
                line = case.document.place((name,)).line
                key = f"{problem.file.removeprefix('--').replace('-', '_')}: {problem.key}"
                yield FileProblem(case.document.file, line, key, problem.text)
            elif problem.file in lists:
                yield case.document.problem((lists[problem.file],), str(problem))
            else:
                yield problem
        return
    text, written = str(error), case.document.data
    for own in fields(call):
        prefix, value = f"{argument(own.name)}: ", written.get(own.name)
        is_option = getattr(call, own.name) != own.default
        if text.startswith(prefix) and not is_option:
            line = case.document.place((own.name,)).line if own.name in written else case.line
            yield FileProblem(case.document.file, line, own.name, text.removeprefix(prefix))
            return
        if isinstance(value, (str, int)) and text.startswith(f"{str(value)!r} "):
            yield case.document.problem((own.name,), text)
            return
    yield FileProblem(case.document.file, case.line, "", text)


def is_of_case(error: TablegenError, lists: Collection[str]) -> bool:
    """Whether a problem is one of the case or of the files that it names, and not of the catalogue."""
    if isinstance(error, ConfigError):
        own = {*map(argument, _OVERRIDES), *lists}
        return all(problem.file in own for problem in error.problems)
    return not isinstance(error, OutputError)


def named(answer: Answer, question: Question) -> Answer:
    """An answer with the name and the date of its case."""
    from tablegen.report.answers.cases import own_facts

    facts = own_facts(question.name, question.date)
    return replace(answer, facts=(*facts, *answer.facts)) if facts else answer


def _kept(answer: Answer, record: CaseRecord, folder: Path) -> Answer:
    """An answer whose record has been written, or with the problem that another one is there."""
    from tablegen.report.answer_files import write_text

    target, text = folder / record.file_name, record.to_text()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        there = read_regular(target) if target.exists() else None
    except OSError as error:
        raise OutputError(f"{target}: {error.strerror or error}") from error
    if there is not None and there != text.encode():
        return replace(answer, problems=(*answer.problems, wording.OTHER_RECORD(file=str(target))))
    if there is None:
        write_text(target, text)
    return replace(answer, records=(str(target),))
