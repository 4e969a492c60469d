"""The database of a release against its data set: each table has the rows of the CSV file whose hash the manifest states."""

from __future__ import annotations

import contextlib
import hashlib
import sqlite3
from collections.abc import Iterator

from tablegen.audits.findings import FileFault, Finding, FindingKind
from tablegen.dataset.database import DATABASE_FILE, read_table
from tablegen.dataset.dataset import FRAMES
from tablegen.dataset.release import WINDOWS, Manifest, unreadable
from tablegen.files import is_regular


def database_findings(manifest: Manifest, counts: dict[str, int]) -> Iterator[Finding]:
    """Tables that differ from the data set, or else that the file is not the one that was written; `counts` gets its windows.

    Raises
    ------
    DataSetError
        If the file cannot be read.
    """
    path = manifest.folder / DATABASE_FILE
    if not is_regular(path):
        yield Finding(kind=FindingKind.NOT_READ, file=DATABASE_FILE, problem=FileFault.MISSING)
        return
    altered = Finding(kind=FindingKind.ALTERED_FILE, file=DATABASE_FILE, problem=FileFault.ALTERED)
    try:
        # As it is: nothing is written beside it, so that the folder may be read-only.
        database = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro&immutable=1", uri=True)
        with contextlib.closing(database):
            for name in FRAMES:
                digest = hashlib.sha256()
                for part in read_table(database, name):
                    digest.update(part)
                if digest.hexdigest() != manifest.files_sha256.get(f"{name}.csv"):
                    yield altered
                    return
            windows = database.execute(f"SELECT count(*) FROM {WINDOWS.removesuffix('.csv')}")
            counts[DATABASE_FILE] = int(windows.fetchone()[0])
    except (sqlite3.Error, ValueError, TypeError) as error:
        raise unreadable(path, error) from error
