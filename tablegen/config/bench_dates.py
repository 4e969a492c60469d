"""A catalogue that is dated before the bench data of its families."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path

from tablegen.config._input_files import csv_text, read_limited, shown_name
from tablegen.config.bench_header import About, read_remark
from tablegen.config.document import MAX_FILE_BYTES, read_document
from tablegen.errors import BadValue, ConfigError
from tablegen.files import is_regular
from tablegen.wording import config_errors as wording


def dated_before_bench(path: Path) -> Iterator[str]:
    """A note if the date of a catalogue is before the newest date that a bench file of one of its families states.

    Parameters
    ----------
    path : Path
        The catalogue's file, which is sound.
    """
    catalogue = read_document(path)
    families = catalogue.value(("families",))
    files = [path.parent / "bench" / f"{family}.csv" for family in families] if isinstance(families, list) else []
    tested = {own: day for own in files if is_regular(own) and (day := _day_of(own)) is not None}
    newest = max(tested, key=lambda own: tested[own], default=None)
    stated = datetime.date.fromisoformat(str(catalogue.value(("date",))))
    if newest is not None and stated < tested[newest]:
        place = catalogue.place(("date",))
        yield wording.BEFORE_BENCH_DATA(
            file=shown_name(Path(place.file)),
            line=place.line,
            date=stated.isoformat(),
            bench=newest.relative_to(path.parent).as_posix(),
            tested=tested[newest].isoformat(),
        )


def _day_of(path: Path) -> datetime.date | None:
    """The day of the test, None where the file states none; what is wrong with a bench file is reported by a fit."""
    about = About()
    try:
        for line in csv_text(read_limited(path, shown_name(path), MAX_FILE_BYTES, ""), shown_name(path)).splitlines():
            if line.startswith("#"):
                about = read_remark(line, about)
    except (BadValue, ConfigError):
        pass
    return about.date
