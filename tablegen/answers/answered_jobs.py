"""A list of jobs with its answers, as a sheet shows it: each row as it is written, and what it is answered."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tablegen.answers.job_list import JobAnswer
from tablegen.answers.order import OrderLine
from tablegen.answers.order_list import OrderedValve


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRow:
    """One row.

    Attributes
    ----------
    line : int
        Of the file.
    cells : tuple
        As they are written, as many as the list has headings.
    job : str
        What the job is called; empty where the row does not say.
    refrigerant : str
    load_w : float
        [W]; NaN where the row cannot be read.
    answer : JobAnswer
        With `wrong` where the row cannot be answered, for its reason.
    order : OrderLine or None
        Of the valve, if there is one.
    to_order : OrderLine or None
        Of the valve that covers the load, where none that does is in stock.
    """

    line: int
    cells: tuple[object, ...]
    job: str = ""
    refrigerant: str = ""
    load_w: float = math.nan
    answer: JobAnswer
    order: OrderLine | None = None
    to_order: OrderLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AnsweredJobs:
    """A list: its file, its headings, its rows, what is wrong with some of them, and what is to be ordered.

    `figures` are the columns, counted from 0, whose cells are numbers; `has_decimal_comma` says how the file writes them.
    `is_windows` says that it is not in UTF-8.
    """

    file: str
    headings: tuple[str, ...]
    rows: tuple[JobRow, ...]
    problems: tuple[str, ...]
    ordered: tuple[OrderedValve, ...]
    figures: tuple[int, ...] = ()
    has_decimal_comma: bool = False
    is_windows: bool = False

    @property
    def refrigerants(self) -> tuple[str, ...]:
        """The refrigerants and groups of the rows that can be answered, each once."""
        return tuple(dict.fromkeys(row.refrigerant for row in self.rows if not row.answer.wrong))

    @property
    def with_valve(self) -> int:
        """How many jobs have a valve."""
        return sum(row.order is not None for row in self.rows)

    @property
    def not_answered(self) -> int:
        """How many rows cannot be answered."""
        return sum(bool(row.answer.wrong) for row in self.rows)

    @property
    def not_in_stock(self) -> int:
        """How many jobs have no valve because none of those that cover their load is in stock."""
        return sum(row.answer.not_in_stock is not None for row in self.rows)

    @property
    def without_valve(self) -> int:
        """How many jobs have no valve, in stock or not."""
        return len(self.rows) - self.with_valve - self.not_answered
