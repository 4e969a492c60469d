"""A whole catalogue or two releases of it: check, build, suggested groups, comparison."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from tablegen.api._inputs import Quantity, Units, check_units, formatter_for, path_of, quantity
from tablegen.config.checks import check_prints
from tablegen.config.loader import load_catalogue
from tablegen.config.selection import Selection
from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Catalogue
from tablegen.model.names import refrigerant_name
from tablegen.report.answer import Answer
from tablegen.wording import input_errors as wording

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from tablegen.building import BuildReport


def check(catalogue: str | Path | None = None) -> Catalogue:
    """Check the files of a catalogue, and that everything in them can be printed.

    Parameters
    ----------
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.

    Returns
    -------
    Catalogue
        The frozen inputs, in SI.

    Raises
    ------
    ConfigError
        With every error in the files, each with file, line and key.

    Examples
    --------
    >>> sorted(check().families)
    ['alder', 'hazel', 'linden', 'rowan']
    """
    path = path_of(catalogue)
    found = load_catalogue(path)
    check_prints(path, found)
    return found


def build(
    catalogue: str | Path | None = None,
    output: str | Path = "output",
    *,
    only: Sequence[str] = (),
    since: str | Path | None = None,
    rebuild: bool = False,
    workers: int = 1,
    executor: Executor | None = None,
) -> BuildReport:
    """Compute a catalogue and print its publications into a folder.

    Documents that would be the same as those of the last build are not made again.

    Parameters
    ----------
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    output : path
        The folder in which the folder of the catalogue is written or replaced.
    only : sequence of str
        Documents to make, such as "booklet" or "counter"; the others stay if they are up to date and are left out if
        not. Without names all are made.
    since : path, optional
        The folder of an earlier release, for change marks and a revision page.
    rebuild : bool
        Whether everything is made again, changed or not.
    workers : int
        Processes that share the work; 1 means this process alone.
    executor : Executor, optional
        Computes the tables instead of these processes, on whatever machines it has.

    Returns
    -------
    BuildReport
        The folder, publications with their pages, warnings, and publications that could not be printed.

    Raises
    ------
    ConfigError
        If the catalogue cannot be used.
    DataSetError
        If `since` is no release.
    RequestError
        If the catalogue has no document of a name in `only`.
    PropertyError
        If the property library fails.
    WorkerError
        If a process that shared the work ended early.
    OutputError
        If the folder cannot be written; what was there is untouched.
    """
    from tablegen.building import build as build_folder

    return build_folder(
        path_of(catalogue),
        Path(output),
        only=only,
        since=None if since is None else Path(since),
        rebuild=rebuild,
        workers=workers,
        executor=executor,
    )


def suggest(
    refrigerants: Sequence[str] | Literal["all"] = (),
    *,
    application: str | None = None,
    spread: Quantity = 0.10,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """Which refrigerants may share a table: groups by the spread of required Kv per kW that they would cause.

    Parameters
    ----------
    refrigerants : sequence of str or "all"
        Refrigerants to consider besides those of the catalogue's groups.
    application : str, optional
        One application; without it each of the catalogue.
    spread : str or float
        The largest spread within a group: "10 percent", or a share [1].
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's.

    Returns
    -------
    Answer
        A table of groups for each application and flow law.

    Raises
    ------
    RequestError
        If a name is not known, or the spread is not above 0 and at most 1.
    ConfigError
        If the catalogue cannot be used.
    """
    from tablegen.report.answers.suggest import answer_of_suggestions
    from tablegen.tables.suggest_groups import COMPARED_AT_K, dew_pressures, suggest_in

    cut = quantity("spread", spread, "share")
    if not 0.0 < cut <= 1.0:
        raise RequestError(wording.SPREAD_RULE(value=repr(spread)))
    also = None if refrigerants == "all" else [refrigerant_name(name) for name in refrigerants]
    own = load_catalogue(path_of(catalogue), Selection(also=also))
    if application is not None and application not in own.applications:
        raise RequestError(unknown(wording.AN_APPLICATION(), application, own.applications))
    wanted = list(own.applications) if application is None else [application]
    return answer_of_suggestions(
        own,
        [found for name in wanted for found in suggest_in(own, own.applications[name], cut)],
        formatter_for(own, units),
        max_spread=cut,
        compared_at_k=COMPARED_AT_K,
        dew_pressure_pa=dew_pressures(own),
    )


def compare(old: str | Path, new: str | Path, *, units: Units | None = None) -> Answer:
    """Two releases window by window, with the inputs that differ.

    Parameters
    ----------
    old, new : path
        Output folders of builds.
    units : "IP" or "SI", optional
        Units of printed figures; without it those of the newer release.

    Returns
    -------
    Answer
        Its frame has one row for every window that changed, in SI.

    Raises
    ------
    DataSetError
        If a folder is no release.
    RequestError
        If there is no such unit system.
    """
    from tablegen.dataset.comparison import compare as compare_releases
    from tablegen.dataset.release import read_release
    from tablegen.report.answers.compare import answer_of_comparison, formatter_of_prints

    comparison = compare_releases(read_release(Path(old)), read_release(Path(new)))
    return answer_of_comparison(comparison, formatter_of_prints(comparison.new.manifest.printed_as, check_units(units)))
