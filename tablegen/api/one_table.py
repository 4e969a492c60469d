"""One window table as a draft, without the rest of the catalogue."""

from __future__ import annotations

from pathlib import Path

from tablegen import __version__
from tablegen.answers.one_table import OneTable, one_table
from tablegen.api._inputs import Units, formatter_for, loader_for
from tablegen.model.inputs import Catalogue
from tablegen.model.names import asked_refrigerant
from tablegen.model.property_store import library_version
from tablegen.report.answer import Answer
from tablegen.report.answers.draft import Since, answer_of_table
from tablegen.report.draft_table import DraftTable
from tablegen.sweep.identity import fingerprint
from tablegen.wording import table as wording


def table(
    family: str,
    refrigerant: str,
    *,
    application: str,
    since: str | Path | None = None,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """One window table as it would be printed, as a draft: only this table is computed.

    Parameters
    ----------
    family : str
        A family of the catalogue.
    refrigerant : str
        One refrigerant, or a group of the catalogue.
    application : str
        An application of the catalogue.
    since : path, optional
        The output folder of an earlier release: changed cells are marked, and their earlier limits given.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's.

    Returns
    -------
    Answer
        Its frame has one row for every size and suction temperature, in SI, with the figures of the data set.

    Raises
    ------
    RequestError
        If a name is not in the catalogue, or a rule of the catalogue leaves the table out.
    ConfigError
        If the catalogue cannot be used.
    DataSetError
        If there is no release to compare with, or it is one of another catalogue.

    Examples
    --------
    >>> answer = table("alder", "R448A-family", application="walk_in_medium", units="SI")
    >>> at_24 = answer.frame().query("268.5 < sst_k < 268.9 and size == '45'")
    >>> at_24[["min_load_w", "max_load_w"]].round(1).to_numpy().tolist()
    [[2053.2, 4602.2]]
    """
    name = asked_refrigerant(refrigerant)
    own = loader_for(catalogue, name)(application, ())
    found = one_table(own, family, name, application)
    earlier = None if since is None else _since(own, found, Path(since))
    draft = DraftTable(inputs=own, table=found, formatter=formatter_for(own, units))
    version = wording.ORIGIN(version=__version__, library=library_version(), fingerprint=fingerprint(own.data_files))
    return answer_of_table(draft, version, earlier)


def _since(catalogue: Catalogue, found: OneTable, folder: Path) -> Since:
    """What differs from an earlier release; pandas reads it."""
    import pandas as pd

    from tablegen.dataset.comparison import table_changes
    from tablegen.dataset.release import read_release
    from tablegen.report.rows import ChangedRow, rows_of

    part = found.part
    release = read_release(folder, of_groups=part.group in catalogue.groups)
    key = (part.family, part.group, part.application)
    changes = table_changes(release, catalogue.name, key, pd.DataFrame(found.windows))
    return Since(release.manifest, None if changes is None else rows_of(changes, ChangedRow))
