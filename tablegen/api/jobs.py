"""A list of jobs, answered in one call."""

from __future__ import annotations

import functools
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.answers.job_list import Job, JobAnswer
from tablegen.answers.job_list import pick_jobs as answered
from tablegen.api._inputs import LOAD_RANGE, SST_RANGE, Bounds, in_si, loaded
from tablegen.errors import RequestError
from tablegen.model.names import asked_refrigerant
from tablegen.wording import input_errors as wording

if TYPE_CHECKING:
    import pandas as pd

_NEEDED, _OPTIONAL = ("refrigerant", "sst", "load"), ("application", "family")


def pick_jobs(jobs: pd.DataFrame, *, catalogue: str | Path | None = None) -> pd.DataFrame:
    """The valve with the largest margin for each of many jobs: `pick` for thousands of rows in one call.

    Parameters
    ----------
    jobs : DataFrame
        A row for each job with the columns `refrigerant` (or a group of the catalogue), `sst` (dew: "24 degF", or [K])
        and `load` (gross capacity at the rating point: "20 kBtu/h", or [W]); if wanted also `application` and `family`,
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

    for column in _NEEDED:
        if column not in jobs:
            raise RequestError(wording.JOB_COLUMN_MISSING(column=column))
    whole = loaded(catalogue)
    cells = {
        column: jobs[column].tolist() if column in jobs else [None] * len(jobs) for column in (*_NEEDED, *_OPTIONAL)
    }
    # Lists of jobs repeat themselves.
    read = functools.lru_cache(maxsize=None, typed=True)(_read)
    rows: list[Job | str] = []
    for refrigerant, sst, load, application, family in zip(*cells.values(), strict=True):
        sst_k, load_w = read("sst", sst, "temperature", SST_RANGE), read("load", load, "load", LOAD_RANGE)
        if isinstance(sst_k, RequestError):
            rows.append(str(sst_k))
            continue
        if isinstance(load_w, RequestError):
            rows.append(str(load_w))
            continue
        rows.append(
            Job(
                refrigerant=asked_refrigerant(str(refrigerant)),
                sst_k=sst_k,
                load_w=load_w,
                application=_text_or_none(application),
                family=_text_or_none(family),
            )
        )
    found = iter(answered(whole, [row for row in rows if isinstance(row, Job)]))
    answers = [next(found) if isinstance(row, Job) else JobAnswer(reason=row) for row in rows]
    return pd.DataFrame(answers, index=jobs.index)


def _read(name: str, text: object, kind: str, bounds: Bounds) -> float | RequestError:
    value = float(text) if isinstance(text, (int, float)) and not isinstance(text, bool) else str(text)
    try:
        return in_si(name, value, kind, bounds)
    except RequestError as error:
        return error


def _text_or_none(cell: object) -> str | None:
    """A cell's text; None for an empty one."""
    return cell if isinstance(cell, str) and cell else None
