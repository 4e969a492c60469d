"""Why two releases differ: each change of their config files is made alone to the earlier one, and computed."""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Collection
from pathlib import Path

import pandas as pd

from tablegen.confidence.confident_limits import scattered_in
from tablegen.config.release_configs import catalogue_of_release
from tablegen.config.single_changes import key_of, single_changes
from tablegen.dataset.causes import Cause, TableCauses, table_causes
from tablegen.dataset.comparison import changed_windows
from tablegen.dataset.compute import compute_windows
from tablegen.dataset.release import KEYS, Release
from tablegen.errors import ConfigError, DataSetError
from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Combination
from tablegen.sweep.identity import fingerprint
from tablegen.sweep.parts import WindowCache
from tablegen.sweep.sweep import SweepOptions
from tablegen.wording import compare as wording
from tablegen.wording.message import argument


def causes_of(
    old: Release, new: Release, old_configs: Path | None = None, new_configs: Path | None = None
) -> tuple[list[Cause], list[TableCauses]]:
    """Every change of the config files alone, and its share in what changed in each table.

    Only tables that a change bears on are computed, and what was computed before is cached.

    Parameters
    ----------
    old, new : Release
    old_configs, new_configs : Path, optional
        Catalogue files, for a release that does not contain its config files.

    Returns
    -------
    causes : list of Cause
        In the order of the files; the program comes first, if another one has computed the earlier release.
    tables : list of TableCauses

    Raises
    ------
    DataSetError
        If config files of a release are missing or are others than it was built from, or this program cannot use them.
    """
    with tempfile.TemporaryDirectory(prefix="tablegen-") as folder:
        was, now = Path(folder) / "old", Path(folder) / "new"
        earlier = catalogue_of_release(old.manifest, was, old_configs, argument("old_configs"))
        later = catalogue_of_release(new.manifest, now, new_configs, argument("new_configs"))
        try:
            base, singles = single_changes(earlier, later, old.manifest)
        except ConfigError as error:
            text = wording.CONFIGS_NOT_USED(folder=str(old.manifest.folder), reason=str(error.problems[0]))
            raise DataSetError(text) from error
    windows, causes = old.group_windows, []
    base_files = dataclasses.replace(base, files=old.manifest.inputs_sha256).data_files
    if fingerprint(base_files) != old.manifest.fingerprint or not base_files:
        tables = _differing(old, new) | {c for single in singles for c in single.tables}
        windows = _windows(base, tables)
        causes.append(Cause(changes=(), windows=changed_windows(_part(old.group_windows, tables), windows)))
    for single in singles:
        moved = None
        if single.catalogue is not None:
            moved = changed_windows(_part(windows, single.tables), _windows(single.catalogue, single.tables))
        causes.append(Cause(changes=single.changes, windows=moved))
    return causes, table_causes(old.group_windows, new.group_windows, causes)


def _differing(old: Release, new: Release) -> set[Combination]:
    frame = changed_windows(old.group_windows, new.group_windows)
    return {Combination(*map(str, key)) for key in frame[KEYS[:3]].drop_duplicates().to_numpy().tolist()}


def _windows(catalogue: Catalogue, tables: Collection[Combination]) -> pd.DataFrame:
    """The windows of some tables of a catalogue, as far as it has them."""
    own = tuple(c for c in catalogue.combinations if c in tables)
    if not own:
        return pd.DataFrame(columns=[*KEYS, "min_load_w", "max_load_w", "min_reason", "max_reason"])
    scattered = scattered_in(catalogue)
    # Limits at confidence that are not printed are not needed.
    printed = scattered if scattered is not None and scattered.is_printed else None
    options = SweepOptions(cache=WindowCache())
    return compute_windows(dataclasses.replace(catalogue, combinations=own), options, printed).group_windows


def _part(frame: pd.DataFrame, tables: Collection[Combination]) -> pd.DataFrame:
    keys = {key_of(c) for c in tables}
    rows = zip(*(frame[column].astype(str) for column in KEYS[:3]), strict=True)
    return frame[[key in keys for key in rows]]
