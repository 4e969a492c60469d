"""Frames are written part by part to the bytes that Python's own writer gives, and read back as the whole file is."""

import csv
import hashlib
import io

import numpy as np
import pandas as pd
import pytest

from tablegen.dataset import csv_files
from tablegen.dataset.csv_files import csv_of, frame_of, written_and_read


@pytest.fixture
def frame():
    """Names that need quotation marks, numbers that become whole, signed zeros, gaps, and whole parts of gaps."""
    count = 11
    return pd.DataFrame(
        {
            "family": pd.Categorical(["a,b", 'say "c"', "", "5", "e é", "f", "f", "f", "5", "5", "two\nlines"]),
            "size": ["1", "", "1.0", "01", "a", "b", "c", None, "d", "e", "f"],
            "sst_k": [0.1 + 0.2, np.nan, 1e-300, -0.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0],
            "charge": [np.nan] * count,
            "min_load_w": [np.nan] * 6 + [1.0, 2.0, 3.0, 4.0, 5.0],
            "max_load_w": np.arange(count) / 3.0,
            "kv_rated_m3h": np.arange(count),
            "is_above_mop": [True, False] * 5 + [True],
        }
    )


def by_the_library(frame: pd.DataFrame) -> bytes:
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(frame.columns)
    for row in frame.astype(object).itertuples(index=False):
        values = ["" if value is None or value != value else value for value in row]
        writer.writerow([f"{value:.12g}" if isinstance(value, float) else value for value in values])
    return stream.getvalue().encode()


@pytest.mark.parametrize("rows", [1, 3, 100])
def test_parts_are_the_bytes_of_the_whole(frame, rows, monkeypatch, tmp_path):
    monkeypatch.setattr(csv_files, "_ROWS", rows)
    expected = by_the_library(frame)
    assert csv_of(frame) == expected
    file, read = written_and_read(frame)
    file.write(tmp_path / "frame.csv")
    assert (tmp_path / "frame.csv").read_bytes() == expected
    assert file.sha256 == hashlib.sha256(expected).hexdigest()
    again = frame_of(expected)
    assert isinstance(read["family"].dtype, pd.CategoricalDtype)
    pd.testing.assert_frame_equal(read.astype({"family": "str"}), again, check_exact=True)


@pytest.mark.parametrize("frame", [pd.DataFrame(), pd.DataFrame(columns=["family", "sst_k"])], ids=["none", "no_rows"])
def test_a_frame_without_rows_is_written_as_before(frame, tmp_path):
    file, read = written_and_read(frame)
    file.write(tmp_path / "frame.csv")
    assert (tmp_path / "frame.csv").read_bytes() == by_the_library(frame)
    assert list(read.columns) == list(frame.columns) and not len(read)
