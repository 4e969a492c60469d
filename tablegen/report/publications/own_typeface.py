"""Publications are set in the typeface of the company that publishes them."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Concatenate, ParamSpec, TypeVar

from tablegen.dataset.dataset import DataSet
from tablegen.report.pdf.fonts import set_in
from tablegen.report.publications.printed_data import PrintedData

P = ParamSpec("P")
R = TypeVar("R")
_Printer = Callable[Concatenate[DataSet | PrintedData, P], R]


def in_own_typeface(printer: _Printer[P, R]) -> _Printer[P, R]:
    """A function that prints a data set, in the typeface of its company.

    Parameters
    ----------
    printer : callable
        Takes the data set first.
    """

    @functools.wraps(printer)
    def printed(data: DataSet | PrintedData, /, *args: P.args, **more: P.kwargs) -> R:
        own = data.data if isinstance(data, PrintedData) else data
        with set_in(own.catalogue.printing.company.typeface):
            return printer(data, *args, **more)

    return printed
