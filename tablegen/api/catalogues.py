"""A whole catalogue or its releases: check, build, audit, suggested groups, comparison."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from tablegen.api._inputs import (
    Quantity,
    Units,
    check_units,
    formatter_for,
    in_si,
    in_si_if_given,
    loaded,
    path_of,
    refused,
)
from tablegen.config.checks import check_prints, refuse_labels
from tablegen.config.loader import load_catalogue
from tablegen.config.selection import Selection
from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Catalogue
from tablegen.model.names import asked_refrigerant
from tablegen.report.answer import Answer
from tablegen.wording import compare as compare_wording
from tablegen.wording import input_errors
from tablegen.wording import old_table as table_wording
from tablegen.wording import suggest as suggest_wording
from tablegen.wording.message import argument

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from tablegen.building import BuildReport


def check(
    catalogue: str | Path | None = None, *, stock: str | Path | None = None, draft: str | None = None
) -> Catalogue:
    """Check the files of a catalogue, and that everything in them can be printed.

    Parameters
    ----------
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    stock : path, optional
        A stock sheet instead of the catalogue's own.
    draft : str, optional
        A language, such as "es": its file in the folder `languages` is written with the catalogue's own texts that have
        no translation, each with an empty one to be filled in.

    Returns
    -------
    Catalogue
        The frozen inputs, in SI.

    Raises
    ------
    ConfigError
        With every error in the files, each with file, line and key.
    RequestError
        If a draft is asked for of the packaged demo, or of a language that there is not.
    OutputError
        If the draft cannot be written.

    Examples
    --------
    >>> sorted(check().families)[:2]
    ['alder', 'hazel']
    """
    path = path_of(catalogue)
    selection = Selection(stock=None if stock is None else Path(stock), is_to_translate=draft is not None)
    found = load_catalogue(path, selection)
    check_prints(path, found)
    if found.labels:
        # Here, not above: pages are needed for nothing else.
        from tablegen.report.publications.label_check import label_misfits

        refuse_labels(path, ((own.publication, own.why) for own in label_misfits(found)))
    if draft is not None:
        from tablegen.api._translation_draft import write_draft

        write_draft(path, found, draft)
    return found


def build(
    catalogue: str | Path | None = None,
    output: str | Path = "output",
    *,
    only: Sequence[str] = (),
    since: str | Path | None = None,
    stock: str | Path | None = None,
    rebuild: bool = False,
    workers: int = 1,
    executor: Executor | None = None,
    progress: bool = False,
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
        Documents to make, such as "booklet" or "counter"; the others stay if what they show has not changed and are removed if
        not. Without names all are made.
    since : path, optional
        The folder of an earlier release, for change marks and a revision page.
    stock : path, optional
        A stock sheet instead of the catalogue's own: sizes of charts and labels that have no list of their own.
    rebuild : bool
        Whether everything is made again, changed or not.
    workers : int
        Processes that share the work; 1 means this process alone.
    executor : Executor, optional
        Computes the tables instead of these processes, on whatever machines it has. For machines that you trust only:
        work and results are pickled, and reading a pickle can run any code.
    progress : bool
        Show a bar on stderr.

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

    Examples
    --------
    A small catalogue from files of the demo; its release is audited and compared with itself:

    >>> import shutil, tempfile
    >>> from tablegen.config import packaged_configs
    >>> folder = Path(tempfile.mkdtemp())
    >>> configs = shutil.copytree(packaged_configs(), folder / "configs")
    >>> contents = (
    ...     "{catalogue: small, title: One family, company: Ours, notice: Draft, revision: A, date: 2026-11-25, units: IP,"
    ...     " families: [hazel], groups: [R134a], applications: [walk_in_medium], publications: [],"
    ...     " revisions: [{revision: A, date: 2026-11-25, change: First issue.}]}"
    ... )
    >>> count = (configs / "catalogue.yaml").write_text(contents)
    >>> report = build(configs, folder)
    >>> report.windows, report.open_windows, report.folder.name
    (112, 112, 'small')
    >>> audit(configs, release=report.folder).frame()["severity"].unique().tolist()
    ['remark']
    >>> compare(report.folder, report.folder).passed
    True
    >>> shutil.rmtree(folder)
    """
    from tablegen.building import build as build_folder

    return build_folder(
        path_of(catalogue),
        Path(output),
        only=only,
        since=None if since is None else Path(since),
        stock=None if stock is None else Path(stock),
        rebuild=rebuild,
        workers=workers,
        executor=executor,
        is_shown=progress,
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
        Its frame has one row for every group of each application and flow law.

    Raises
    ------
    RequestError
        If a name is not known, or the spread is not above 0 and at most 1.
    ConfigError
        If the catalogue cannot be used.

    Examples
    --------
    >>> groups = suggest(application="walk_in_medium", spread="5 percent").frame()
    >>> [", ".join(sorted(names)) for names in groups["refrigerants"] if "R448A" in names]
    ['R407A, R448A, R449A', 'R407A, R448A, R449A', 'R407A, R448A, R449A']
    """
    from tablegen.report.answers.suggest import answer_of_suggestions
    from tablegen.tables.suggest_groups import COMPARED_AT_K, dew_pressures, suggest_in

    cut = in_si("spread", spread, "share")
    if not 0.0 < cut <= 1.0:
        raise RequestError(suggest_wording.SPREAD_RULE(value=repr(spread)))
    also = None if refrigerants == "all" else [asked_refrigerant(name) for name in refrigerants]
    try:
        own = loaded(catalogue, also)
    except RequestError as error:
        raise refused("refrigerants", error) from None
    wanted = list(own.applications)
    if application is not None:
        if application not in wanted:
            raise refused("application", unknown(input_errors.AN_APPLICATION(), application, wanted))
        wanted = [application]
    return answer_of_suggestions(
        own,
        [found for name in wanted for found in suggest_in(own, own.applications[name], cut)],
        formatter_for(own, units),
        max_spread=cut,
        compared_at_k=COMPARED_AT_K,
        dew_pressure_pa=dew_pressures(own),
    )


def audit(
    catalogue: str | Path | None = None,
    *,
    release: str | Path | None = None,
    strict: bool = False,
    box_difference: Quantity | None = None,
    units: Units | None = None,
    progress: bool = False,
) -> Answer:
    """What may mislead a reader of a catalogue's tables, or of a release of it.

    Parameters
    ----------
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    release : path, optional
        An output folder to check against the catalogue.
    strict : bool
        A remark counts as a fault.
    box_difference : str or float, optional
        Box less evaporating temperature at the rating point, for applications that give none: "10 delta_degF", or [K].
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's.
    progress : bool
        Show a bar on stderr.

    Returns
    -------
    Answer
        Its frame has one row for every finding, in SI; `passed` if there is no fault.

    Raises
    ------
    RequestError
        If the difference cannot be read or is outside 0.5 to 40 K.
    ConfigError
        If the catalogue cannot be used.
    DataSetError
        If the folder is no release of the catalogue.
    PropertyError
        If the property library fails.

    Examples
    --------
    In `build`.
    """
    from tablegen.audits.findings import Severity
    from tablegen.audits.release_checks import check_release, release_of
    from tablegen.audits.run import audit as audit_tables
    from tablegen.confidence.confident_limits import scattered_in
    from tablegen.dataset.compute import compute_windows
    from tablegen.progress import progress as bar
    from tablegen.report.answers.audit import answer_of_audit
    from tablegen.sweep.sweep import SweepOptions, count_parts, count_systems

    box_k = in_si_if_given("box_difference", box_difference, "temperature difference", ("0.5 K", "40 K"))
    own = loaded(catalogue)
    formatter = formatter_for(own, units)
    # Before anything is computed: a folder without a release is found at once.
    checked = None if release is None else release_of(Path(release), own)
    with bar(count_parts(own) + count_systems(own), progress) as shown:
        tables = compute_windows(own, SweepOptions(advance=shown.advance), scattered_in(own))
        read = None if checked is None else check_release(checked, own, tables)
        found = audit_tables(own, shown.advance, box_k, tables)
    if read is not None:
        found = found.with_release(read)
    answer = answer_of_audit(own, found, formatter)
    return replace(answer, passed=answer.passed and not (strict and found.count(Severity.REMARK)))


def compare(
    old: str | Path,
    new: str | Path | None = None,
    *,
    causes: bool = False,
    old_configs: str | Path | None = None,
    new_configs: str | Path | None = None,
    mapping: str | Path | None = None,
    catalogue: str | Path | None = None,
    units: Units | None = None,
    progress: bool = False,
) -> Answer:
    """Two releases window by window, with the inputs that differ; or a table of limits from elsewhere with a catalogue.

    Parameters
    ----------
    old : path
        Output folder of a build, or without `new` a table of limits (CSV or XLSX).
    new : path, optional
        Output folder of a newer build.
    causes : bool
        Compute each change of the config files alone, and give its share in what changed in each table of two releases.
    old_configs, new_configs : path, optional
        A catalogue file or its folder, for a release without `configs.zip`.
    mapping : path, optional
        A YAML file that says which columns of the table are what, and what its names are called in the catalogue.
    catalogue : path, optional
        What the table is compared with: a catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI", optional
        Units of printed figures; without it those of the newer release, or of the catalogue.
    progress : bool
        Show a bar on stderr.

    Returns
    -------
    Answer
        Its frame has one row for every window that differs, or for every row of the table that is compared, in SI;
        `passed` if nothing differs (of a table by more than 1 percent).

    Raises
    ------
    DataSetError
        If a folder is no release, or its config files are needed and missing or not those that it was built from.
    ConfigError
        If the table, the mapping or the catalogue cannot be used.
    RequestError
        If there is no such unit system, nothing of the table can be compared, or the arguments do not go together.

    Examples
    --------
    In `build`.
    """
    given = {"old_configs": old_configs, "new_configs": new_configs}
    if new is None:
        for name, own in {"causes": causes or None, **given}.items():
            if own is not None:
                raise RequestError(compare_wording.ONLY_WITH_RELEASES(option=argument(name)))
        return _compare_table(Path(old), mapping, catalogue, units, progress)
    for name, own in (("mapping", mapping), ("catalogue", catalogue)):
        if own is not None:
            raise RequestError(table_wording.ONLY_WITH_TABLE(option=argument(name)))
    from tablegen.audits.printed_table import formatter_of_prints
    from tablegen.dataset.comparison import compare as compare_releases
    from tablegen.dataset.release import read_release
    from tablegen.report.answers.compare import answer_of_comparison

    paths = {name: None if own is None else path_of(own) for name, own in given.items()}
    unused = [name for name, path in paths.items() if path is not None and not causes]
    if unused:
        raise RequestError(compare_wording.CONFIGS_WITHOUT_CAUSES(option=argument(unused[0])))
    comparison = compare_releases(read_release(Path(old)), read_release(Path(new)))
    formatter = formatter_of_prints(comparison.new.manifest.printed_as, check_units(units))
    found = None
    if causes:
        # Here, not above: it computes.
        from tablegen.change_causes import causes_of

        found = causes_of(comparison.old, comparison.new, **paths)
    return answer_of_comparison(comparison, formatter, found)


def _compare_table(
    path: Path, mapping: str | Path | None, catalogue: str | Path | None, units: Units | None, is_shown: bool
) -> Answer:
    """A table of limits from elsewhere beside the catalogue's own."""
    if path.is_dir():
        raise RequestError(table_wording.TABLE_OR_RELEASE(old=str(path), new=argument("new")))
    from tablegen.config.old_table_file import read_old_table
    from tablegen.legacy.assumptions import Assumption
    from tablegen.legacy.counterparts import compare_table
    from tablegen.legacy.limit_model import LimitModel
    from tablegen.legacy.reading import attribute
    from tablegen.legacy.trends import trends_of
    from tablegen.progress import progress as bar
    from tablegen.report.answers.old_table import agrees, answer_of_old_table

    own = loaded(catalogue)
    formatter = formatter_for(own, units)
    table = read_old_table(path, own, None if mapping is None else Path(mapping))
    model = LimitModel(own)
    compared = compare_table(own, model, table)
    attribution = None
    if not agrees(compared):
        with bar(len(Assumption), is_shown) as shown:
            attribution = attribute(own, model, compared, shown.advance)
    return answer_of_old_table(own, compared, trends_of(compared), attribution, formatter)
