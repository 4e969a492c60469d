"""The rows of a list of jobs, answered: what each asks by the rules of `pick`, and what is wrong with it by its line."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, fields, replace
from typing import TYPE_CHECKING, TypeVar

from tablegen.answers.answered_jobs import AnsweredJobs, JobRow
from tablegen.answers.job_list import Job, JobAnswer, pick_jobs
from tablegen.answers.order import ChosenValve, OrderLine, OrderRequest, order_line
from tablegen.answers.order_list import OrderedFor, order_list
from tablegen.api._asked_sst import asked_sst
from tablegen.api._inputs import LOAD_RANGE, Quantity, given, in_si
from tablegen.api._order_request import order_request
from tablegen.api._questions import PickQuestion, over
from tablegen.errors import ConfigError, FileProblem, RequestError
from tablegen.model.box_temperature import AskedSst
from tablegen.model.inputs import Catalogue
from tablegen.model.names import application_named, asked_refrigerant
from tablegen.wording import jobs as wording
from tablegen.wording.message import OR, argument, listed

if TYPE_CHECKING:
    from tablegen.config.job_file import JobFile, WrittenJob

T = TypeVar("T")
# So many problems with one cause are reported each by itself.
_MOST_ALIKE = 3
# The value that a problem begins with.
_VALUE = re.compile(r"'[^']*'")
SST_COLUMNS = ("sst", "box", "coil_difference")


class QuantityReader:
    """Quantities of many jobs by the rules of `pick`; lists of jobs repeat themselves."""

    def __init__(self) -> None:
        self.sst: Callable[[Quantity | None, Quantity | None, Quantity | None], AskedSst] = functools.lru_cache(
            maxsize=None, typed=True
        )(asked_sst)
        self.load: Callable[[Quantity | None], float] = functools.lru_cache(maxsize=None, typed=True)(_load)


def _load(load: Quantity | None) -> float:
    return in_si("load", load, "load", LOAD_RANGE)


@dataclass(slots=True, kw_only=True)
class _Asked:
    """A row: what it asks once that is read, what is wrong with it, and its answer."""

    written: WrittenJob
    problems: list[FileProblem]
    job: Job | None = None
    request: OrderRequest = field(default_factory=OrderRequest)
    answer: JobAnswer = field(default_factory=JobAnswer)
    order: OrderLine | None = None
    to_order: OrderLine | None = None


class JobRows:
    """Answers the jobs of a file; `call` has the values that count for every one of them."""

    def __init__(self, catalogue: Catalogue, file: JobFile, call: PickQuestion) -> None:
        self.catalogue, self.file, self.call = catalogue, file, call
        self.read = QuantityReader()
        self._order = functools.lru_cache(maxsize=None)(self._order_line)

    def answered(self) -> AnsweredJobs:
        """The answer to each job.

        Raises
        ------
        ConfigError
            If none of the jobs can be answered.
        """
        rows = [self._asked(written) for written in self.file.jobs]
        sound = [row for row in rows if row.job is not None]
        for row, answer in zip(
            sound, pick_jobs(self.catalogue, [row.job for row in sound if row.job], self.call.all_sizes), strict=True
        ):
            row.answer = answer
            if answer.wrong:
                self._note(row, answer.wrong, answer.reason)
            elif answer.family:
                row.order = self._ordered(row, answer)
            elif answer.not_in_stock is not None:
                row.to_order = self._ordered(row, answer.not_in_stock)
        problems = sorted(_merged(problem for row in rows for problem in row.problems))
        if all(row.problems for row in rows):
            raise ConfigError(problems)
        found = tuple(self._row(row) for row in rows)
        return AnsweredJobs(
            file=self.file.file,
            headings=self.file.headings,
            rows=found,
            problems=tuple(map(str, problems)),
            ordered=order_list(
                self.catalogue,
                [
                    OrderedFor(valve.family, valve.size, order, row.job or wording.LINE_OF(line=row.line))
                    for row in found
                    for valve, order in ((row.answer, row.order), (row.answer.not_in_stock, row.to_order))
                    if valve is not None and order is not None
                ],
            ),
            figures=self.file.figures,
            has_decimal_comma=self.file.has_decimal_comma,
            is_windows=self.file.is_windows,
        )

    def _asked(self, written: WrittenJob) -> _Asked:
        """What a row asks; everything that is wrong with it is noted."""
        row = _Asked(written=written, problems=list(written.wrong))
        question = over(_question(written), self.call)
        unread = {problem.key for problem in written.wrong} & {self.file.columns.get(own) for own in SST_COLUMNS}
        without_temperature = not unread and question.sst is None and question.box is None
        if without_temperature and question.refrigerant is None:
            # What else is wrong with a row of totals nobody needs to know.
            row.problems.clear()
            self._note(row, "refrigerant", wording.NO_REFRIGERANT())
            return row
        refrigerant = self._noted(row, ("refrigerant",), lambda: given("refrigerant", question.refrigerant))
        own_sst = question.sst, question.box, question.coil_difference
        if without_temperature and question.coil_difference is None:
            self._note_no_temperature(row)
            sst = None
        else:
            sst = self._noted(row, SST_COLUMNS, lambda: self.read.sst(*own_sst))
        load_w = self._noted(row, ("load",), lambda: self.read.load(question.load))
        request = self._noted(row, ("capillary", "quantity", "job"), lambda: order_request(question))
        if not row.problems and refrigerant is not None and sst is not None and load_w and request is not None:
            row.request = request
            row.job = Job(
                refrigerant=asked_refrigerant(refrigerant),
                asked_sst=sst,
                load_w=load_w,
                application=application_named(self.catalogue.applications, question.application),
                family=question.family,
                valve_kind=question.valve_kind,
            )
        return row

    def _note_no_temperature(self, row: _Asked) -> None:
        headings = {key: self.file.columns[key] for key in ("sst", "box") if key in self.file.columns}
        rule = wording.ONE_OF(headings=listed([repr(own) for own in headings.values()], OR))
        self._note(row, next(iter(headings), "sst"), rule)

    def _noted(self, row: _Asked, columns: Sequence[str], read: Callable[[], T]) -> T | None:
        """What is read from some columns; None with the problem noted where it cannot be, or is noted already."""
        headings = {self.file.columns.get(column) for column in columns}
        if any(problem.key in headings for problem in row.written.wrong):
            return None
        try:
            return read()
        except RequestError as error:
            text = str(error)
            named = next((own for own in columns if text.startswith(f"{argument(own)}: ")), columns[0])
            self._note(row, named, text)
            return None

    def _note(self, row: _Asked, column: str, text: str) -> None:
        text = text.removeprefix(f"{argument(column)}: ")
        row.problems.append(self.file.problem(row.written.line, column, text))

    def _ordered(self, row: _Asked, valve: ChosenValve) -> OrderLine | None:
        asked = row.request
        plain = replace(asked, quantity=None, job="")
        order, column, text = self._order(valve.family, valve.size, valve.charge, plain)
        if order is None:
            self._note(row, column, text)
            return None
        return replace(order, quantity=asked.quantity, job=asked.job)

    def _order_line(
        self, family: str, size: str, charge: str, asked: OrderRequest
    ) -> tuple[OrderLine | None, str, str]:
        """The order of a valve; without one, the column that it fails by, and why."""
        valve = JobAnswer(family=family, size=size, charge=charge)
        column = "connections"
        try:
            order_line(self.catalogue, valve, OrderRequest(connections=asked.connections))
            column = "capillary"
            return order_line(self.catalogue, valve, asked), "", ""
        except RequestError as error:
            return None, column, str(error)

    def _row(self, row: _Asked) -> JobRow:
        job, answer, written = row.job, row.answer, row.written
        if row.problems:
            why = "; ".join(f"{own.key}: {own.text}" if own.key else own.text for own in row.problems)
            answer = JobAnswer(application=answer.application, reason=why, wrong=row.problems[0].key or "row")
        return JobRow(
            line=written.line,
            cells=written.cells,
            job=row.request.job if job else written.job,
            refrigerant=str(job.refrigerant) if job else written.refrigerant or "",
            load_w=job.load_w if job else float("nan"),
            answer=answer,
            order=row.order,
            to_order=row.to_order,
        )


def _merged(problems: Iterable[FileProblem]) -> Iterator[FileProblem]:
    """Problems of rows; many with one cause, such as a column without a unit, are one."""
    alike: dict[tuple[str, str], list[FileProblem]] = {}
    for problem in problems:
        alike.setdefault((problem.key, _VALUE.sub("", problem.text)), []).append(problem)
    for same in alike.values():
        if len(same) > _MOST_ALIKE:
            lines = ", ".join(str(problem.line) for problem in same[:_MOST_ALIKE])
            text = wording.SAME_IN_ROWS(text=same[0].text, count=len(same), lines=lines)
            yield replace(same[0], text=text)
        else:
            yield from same


def _question(written: WrittenJob) -> PickQuestion:
    names = {own.name for own in fields(written)} - {"line", "cells", "wrong"}
    return PickQuestion(**{name: getattr(written, name) for name in names})
