"""Records of answers, checked: whether they are still valid with the catalogue as it is now."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.api._cases import Answered, is_of_case, recorded
from tablegen.api._inputs import Units, formatter_for, loaded
from tablegen.api._questions import (
    QUESTIONS,
    ConvertQuestion,
    PickQuestion,
    Question,
    RetrofitQuestion,
    TraceQuestion,
)
from tablegen.api.conversion import ask_convert
from tablegen.api.one_case import ask_pick
from tablegen.api.one_valve import ask_retrofit, ask_trace
from tablegen.config._input_files import read_limited, shown_name
from tablegen.config.case_file import case_of
from tablegen.errors import ConfigError, FileProblem, TablegenError
from tablegen.report.answer import Answer
from tablegen.report.answers.again import answer_of_again
from tablegen.report.case_record import MAX_RECORD_BYTES, CaseRecord, record_of
from tablegen.report.record_check import RecordCheck, RecordStatus, check_record
from tablegen.wording import again as wording

if TYPE_CHECKING:
    from tablegen.model.inputs import Catalogue


def again(record: str | Path, *, catalogue: str | Path | None = None) -> Answer:
    """Whether recorded answers are still valid, computed again with the catalogue as it is now.

    Parameters
    ----------
    record : path
        A record that a command has written, or a folder of them.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.

    Returns
    -------
    Answer
        Its frame has one row for each record; its sections what has changed, figure by figure as they are printed, and
        which inputs have. `passed` if a reader would be shown the same everywhere; `problems` says which records cannot
        be used.

    Raises
    ------
    ConfigError
        If the catalogue or none of the records can be used.

    Examples
    --------
    >>> import tempfile
    >>> from tablegen import pick
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     asked = pick("R448A", sst="24 degF", load="20 kBtu/h", application="walk_in_medium", record=folder)
    ...     again(folder).frame()["status"].tolist()
    ['unchanged']
    """
    checks: list[RecordCheck] = []
    problems: list[FileProblem] = []
    used: Catalogue | None = None
    for path in _records_at(Path(record)):
        try:
            old, question = _read(path)
        except ConfigError as error:
            problems += error.problems
            continue
        try:
            found = _ask(old, question, catalogue)
        except TablegenError as error:
            lists = question.lists if isinstance(question, PickQuestion) else {}
            if not is_of_case(error, lists.values()):
                raise
            if isinstance(error, ConfigError) and not is_of_case(error, ()):
                # A file that it names cannot be read, so nothing is known of the answer.
                named = {file: name for name, file in lists.items()}
                keys = [named.get(own.file, "") for own in error.problems]
                problems += [
                    FileProblem(shown_name(path), 0, key, str(own))
                    for key, own in zip(keys, error.problems, strict=True)
                ]
                continue
            checks.append(
                RecordCheck(file=shown_name(path), old=old, now=None, status=RecordStatus.NO_LONGER, reason=str(error))
            )
            continue
        used = used or found.catalogue
        checks.append(check_record(shown_name(path), old, recorded(old.command, question, found)))
    if not checks:
        raise ConfigError(problems)
    used = used or loaded(catalogue)
    return answer_of_again(used, checks, [str(p) for p in sorted(problems)], formatter_for(used, None).system)


def _records_at(path: Path) -> list[Path]:
    """The record at a path, or those in a folder."""
    if not path.is_dir():
        return [path]
    found = sorted(path.glob("*.json"))
    if not found:
        raise ConfigError([FileProblem(shown_name(path), 0, "", wording.NO_RECORDS())])
    return found


def _read(path: Path) -> tuple[CaseRecord, Question]:
    """A record and the question in it."""
    shown = shown_name(path)
    content = read_limited(path, shown, MAX_RECORD_BYTES, wording.RECORDS_ARE_SMALL())
    old = record_of(content, shown)
    case = case_of(dict(old.case), shown, old.command)
    if case.model is None:
        raise ConfigError(case.problems)
    return old, case.model.into(QUESTIONS[old.command])


def _ask(old: CaseRecord, question: Question, catalogue: str | Path | None) -> Answered:
    """The answer of today, in the units of the record."""
    units: Units = "SI" if old.units == "SI" else "IP"
    if isinstance(question, PickQuestion):
        return ask_pick(question, catalogue, units)
    if isinstance(question, ConvertQuestion):
        return ask_convert(question, catalogue, units)
    if isinstance(question, RetrofitQuestion):
        return ask_retrofit(question, catalogue, units)
    assert isinstance(question, TraceQuestion)
    return ask_trace(question, catalogue, units)
