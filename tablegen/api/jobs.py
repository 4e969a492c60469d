"""Lists of jobs, answered in one call: from a frame, or from a file with one job a row."""

from __future__ import annotations

import math
import operator
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.answers.job_list import Job, JobAnswer
from tablegen.answers.job_list import pick_jobs as answered
from tablegen.api._inputs import Quantity, Units, formatter_for, given, loaded, loader_for
from tablegen.api._job_rows import SST_COLUMNS, JobRows, QuantityReader
from tablegen.api._questions import PickQuestion, as_asked
from tablegen.errors import RequestError
from tablegen.model.names import asked_refrigerant
from tablegen.report.answer import Answer
from tablegen.wording import input_errors
from tablegen.wording import jobs as wording
from tablegen.wording.message import argument

if TYPE_CHECKING:
    import pandas as pd

_NEEDED, _OPTIONAL = ("refrigerant", "load"), (*SST_COLUMNS, "application", "family", "valve_kind")
_ANSWERED = ("application", "family", "size", "charge", "min_load_w", "max_load_w", "margin", "reason")
# What one case may have and a list of jobs has not.
_ALONE = ("split", "overrides")


def pick_jobs(jobs: pd.DataFrame, *, catalogue: str | Path | None = None) -> pd.DataFrame:
    """The valve with the largest margin for each of many jobs: `pick` for thousands of rows in one call.

    Parameters
    ----------
    jobs : DataFrame
        A row for each job with the columns `refrigerant` (or a group of the catalogue), `sst` (dew: "24 degF", or [K])
        or `box` (its temperature) with or without `coil_difference` ("10 delta_degF", or [K]), and `load` (gross
        capacity at the rating point: "20 kBtu/h", or [W]); if wanted also `application`, `family` and `valve_kind`,
        where an empty cell leaves the choice open as in `pick`.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.

    Returns
    -------
    DataFrame
        With the index of `jobs`: application, family, size, charge, `min_load_w`, `max_load_w` [W], `margin` [1], and
        `reason`, which is empty where a valve covers the load and else says in one sentence why none does or what is
        wrong with the row. One row that cannot be answered stops no other.

    Raises
    ------
    RequestError
        If a column is missing.
    ConfigError
        If the catalogue cannot be used.

    Examples
    --------
    >>> import pandas as pd
    >>> jobs = pd.DataFrame({"refrigerant": ["R448A", "R134a"], "sst": ["24F", "20F"], "load": ["20 MBH", "900 ton"]})
    >>> jobs["application"] = "walk_in_medium"
    >>> pick_jobs(jobs)[["family", "size", "reason"]].to_numpy().tolist()
    [['hazel', '250', ''], ['', '', 'No valve in the catalogue covers this load.']]
    """
    import pandas as pd

    missing = [column for column in _NEEDED if column not in jobs]
    if missing or not ("sst" in jobs or "box" in jobs):
        raise RequestError(input_errors.JOB_COLUMN_MISSING(column=[*missing, "sst"][0]))
    whole, read = loaded(catalogue), QuantityReader()
    names = (*_NEEDED, *_OPTIONAL)
    cells = [jobs[column].tolist() if column in jobs else [None] * len(jobs) for column in names]
    rows: list[Job | str] = []
    for refrigerant, load, sst, box, coil_difference, application, family, valve_kind in zip(*cells, strict=True):
        try:
            job = Job(
                refrigerant=asked_refrigerant(str(given("refrigerant", _quantity(refrigerant)))),
                asked_sst=read.sst(_quantity(sst), _quantity(box), _quantity(coil_difference)),
                load_w=read.load(_quantity(load)),
                application=_text_or_none(application),
                family=_text_or_none(family),
                valve_kind=_text_or_none(valve_kind),
            )
        except RequestError as error:
            rows.append(str(error))
        else:
            rows.append(job)
    found = iter(answered(whole, [row for row in rows if isinstance(row, Job)]))
    answers = [next(found) if isinstance(row, Job) else JobAnswer(reason=row) for row in rows]
    # Not of the answers themselves, each of which would be copied whole.
    cells_of = operator.attrgetter(*_ANSWERED)
    return pd.DataFrame([cells_of(own) for own in answers], index=jobs.index, columns=list(_ANSWERED))


def pick_job_file(
    data: bytes,
    name: str,
    *,
    call: PickQuestion | None = None,
    catalogue: str | Path | None = None,
    units: Units | None = None,
    source: Path | None = None,
) -> Answer:
    """The answer to a list of jobs, one a row of a CSV or XLSX file.

    Parameters
    ----------
    data : bytes
        The file's content.
    name : str
        The file's name: its suffix says what it is, and messages show it.
    call : PickQuestion, optional
        Values that count for every job, in place of the file's own.
    catalogue, units
        As `pick`.
    source : Path, optional
        Where the file is, if it is on disk: nothing is written over it.

    Returns
    -------
    Answer
        Its table `jobs` has a row for each job, `order_list` one for each valve to order; `sheets` is the list itself
        with its answers as a spreadsheet. `problems` says by line which rows cannot be answered; `passed` if every other
        job has a valve.

    Raises
    ------
    RequestError
        If a value that counts for every job is none that a list may have, or cannot be used.
    ConfigError
        If the catalogue or the list of part numbers cannot be used, the file cannot be read, it lacks a heading, or none
        of its rows can be answered.
    """
    from tablegen.config.job_file import read_jobs
    from tablegen.report.answers.jobs import answer_of_jobs

    call = call or PickQuestion()
    values = as_asked(call)
    for own in _ALONE:
        if own in values:
            raise RequestError(wording.ALONE(other=argument(own)))
    given_for_all = set(values)
    if given_for_all & set(SST_COLUMNS):
        # One of them takes the place of all.
        given_for_all |= set(SST_COLUMNS)
    whole = loader_for(catalogue, part_numbers=call.part_numbers, stock=call.stock)(None, ())
    formatter = formatter_for(whole, units)
    file = read_jobs(data, name, given_for_all, formatter.system)
    jobs = JobRows(whole, file, call).answered()
    return answer_of_jobs(whole, jobs, formatter, source)


def pick_job_list(
    path: str | Path,
    call: PickQuestion,
    *,
    catalogue: str | Path | None = None,
    units: Units | None = None,
    case: str | Path | None = None,
    record: str | Path | None = None,
) -> Answer:
    """As `pick_job_file`, for a file on disk.

    Parameters
    ----------
    path : path
        The list.
    call, catalogue, units
        As `pick_job_file`.
    case, record
        As `pick`; a list of jobs has neither.

    Returns
    -------
    Answer
        As `pick_job_file`.

    Raises
    ------
    RequestError
        As `pick_job_file`, or if a file of cases or a folder of records is given too.
    ConfigError
        As `pick_job_file`.
    """
    from tablegen.config._input_files import read_limited, shown_name
    from tablegen.config.job_file import MAX_BYTES

    for name, value in (("case", case), ("record", record)):
        if value is not None:
            raise RequestError(wording.ALONE(other=argument(name)))
    source = Path(path)
    data = read_limited(source, shown_name(source), MAX_BYTES, wording.LIST_TOO_LARGE())
    return pick_job_file(data, shown_name(source), call=call, catalogue=catalogue, units=units, source=source)


def _quantity(cell: object) -> Quantity | None:
    """A cell as a quantity or a name; None for an empty one."""
    if isinstance(cell, (int, float)) and not isinstance(cell, bool):
        return None if math.isnan(cell) else float(cell)
    return None if cell is None or cell == "" else str(cell)


def _text_or_none(cell: object) -> str | None:
    """A cell's text; None for an empty one."""
    return cell if isinstance(cell, str) and cell else None
