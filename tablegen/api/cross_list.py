"""What replaces every valve of another catalogue."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.api._inputs import Units, formatter_for, loaded, loader_for, refused
from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Combination
from tablegen.report.answer import Answer
from tablegen.wording import cross_list as wording
from tablegen.wording import input_errors

if TYPE_CHECKING:
    from tablegen.answers.cross_list import WindowGrid


def cross(
    other: str | Path,
    *,
    application: str | None = None,
    stock: str | Path | None = None,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """For every valve of another catalogue the valve in stock that covers the same load windows, and where it does not.

    Parameters
    ----------
    other : path
        The other catalogue, a file or its folder.
    application : str, optional
        One application of both catalogues; without it all that both have.
    stock : path, optional
        A stock sheet instead of the catalogue's own; without either all sizes count as in stock.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's.

    Returns
    -------
    Answer
        Its frame has one row for every valve, refrigerant group and application of the other catalogue, in SI;
        `passed` if each of them with a load window has a valve in stock that covers all of it. `write("cross.xlsx")`
        writes a sheet with these rows in the units of the answer.

    Raises
    ------
    RequestError
        If the catalogues have no application in common, or not the one asked for.
    ConfigError
        If a catalogue or the stock sheet cannot be used.
    PropertyError
        If the property library fails.

    Examples
    --------
    A catalogue against itself: every valve replaces itself.

    >>> from tablegen.config import packaged_configs
    >>> found = cross(packaged_configs(), application="walk_in_low").frame()
    >>> bool((found["size"] == found["other_size"]).all()), set(found["covers"])
    (True, {'all'})
    """
    from tablegen.answers.cross_list import cross_list, differing_applications, grids_of
    from tablegen.confidence.confident_limits import scattered_in
    from tablegen.dataset.compute import compute_windows
    from tablegen.report.answers.cross_list import answer_of_cross_list

    own, theirs = loader_for(catalogue, stock=stock)(None, ()), loaded(other)
    formatter = formatter_for(own, units)
    common = [name for name in theirs.applications if name in own.applications]
    if application is not None:
        if application not in common:
            raise refused("application", unknown(input_errors.AN_APPLICATION(), application, common))
        common = [application]
    if not common:
        listed = {"theirs": ", ".join(theirs.applications), "own": ", ".join(own.applications)}
        raise RequestError(wording.NO_COMMON_APPLICATION(other=str(other), **listed))

    def grids(whole: Catalogue) -> dict[Combination, WindowGrid]:
        few = replace(whole, combinations=tuple(c for c in whole.combinations if c.application in common))
        scattered = scattered_in(few)
        return grids_of(
            compute_windows(few, scattered=scattered if scattered and scattered.is_printed else None).group_windows
        )

    found = cross_list(own, theirs, grids(own), grids(theirs))
    return answer_of_cross_list(own, theirs, found, formatter, differing_applications(own, theirs))
