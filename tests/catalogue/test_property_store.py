"""Property tables on disk: found again, never trusted blindly, never a reason to stop."""

from __future__ import annotations

import dataclasses
import gc
import os
import subprocess
import sys
import warnings
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from tablegen.cache import default_folder
from tablegen.errors import PropertyError, TablegenWarning
from tablegen.model import property_store
from tablegen.model.property_store import PropertyStore
from tablegen.physics import equation_of_state
from tablegen.physics.definition import PairParameters, RefrigerantDefinition
from tablegen.physics.property_table import PropertyTable
from tests.processes import environment
from tests.registry import refrigerant, registry

ROOT = Path(__file__).resolve().parents[2]
NAME = "R134a"
FLIPS = 200
COUNTED = Callable[[], int]


@pytest.fixture
def builds(monkeypatch: pytest.MonkeyPatch) -> COUNTED:
    """The known table stands for a computed one, so that a rebuild costs nothing; how often it was asked for."""
    known = refrigerant(NAME).table
    asked: list[str] = []

    def tabulate(definition: RefrigerantDefinition) -> PropertyTable:
        asked.append(definition.name)
        return known

    monkeypatch.setattr(equation_of_state, "tabulate", tabulate)
    return lambda: len(asked)


def definition() -> RefrigerantDefinition:
    return registry().records[NAME].definition


def is_same(table: PropertyTable, other: PropertyTable) -> bool:
    return table.range == other.range and all(
        np.array_equal(getattr(table, key), getattr(other, key)) for key in ("saturation", "liquid", "vapour")
    )


def only_file(folder: Path) -> Path:
    """The one file of a folder; a part left behind would be a second."""
    (path,) = folder.iterdir()
    assert path.suffix == ".npz"
    return path


def test_a_table_is_written_once_and_read_again(tmp_path: Path, builds: COUNTED) -> None:
    store = PropertyStore(tmp_path / "deep" / "folder")
    first = store.refrigerant(definition())
    assert (builds(), store.refrigerant(definition()).table is first.table) == (1, True)
    path = only_file(tmp_path / "deep" / "folder")
    written = path.read_bytes()
    second = PropertyStore(tmp_path / "deep" / "folder").refrigerant(definition())
    assert builds() == 1
    assert is_same(second.table, first.table)
    assert second.definition == definition()
    assert path.read_bytes() == written


def test_what_is_read_is_what_the_equation_of_state_gave(tmp_path: Path) -> None:
    """Without the stand-in: computed, kept, read, alike to the last bit."""
    made = PropertyStore(tmp_path).refrigerant(definition())
    read = PropertyStore(tmp_path).refrigerant(definition())
    assert is_same(made.table, read.table)
    random = np.random.default_rng(3)
    for count in (1, 1, 1, 1, 2, 7, 60):
        at, low, high = random.uniform(250.0, 300.0, count), np.full(count, 1e5), np.full(count, 3e6)
        for ours, theirs in (
            (made.dew(at), read.dew(at)),
            (made.bubble(at), read.bubble(at)),
            (made.liquid(at, high), read.liquid(at, high)),
            (made.vapour(at, low), read.vapour(at, low)),
        ):
            assert all(np.array_equal(one, other) for one, other in zip(ours, theirs, strict=True))


WARM = """
import sys
from pathlib import Path
from tablegen.config.refrigerants import load_registry
from tablegen.model.property_store import PropertyStore
fluid = load_registry(store=PropertyStore(Path(sys.argv[1])))[sys.argv[2]]
print(float(fluid.critical_temperature_k), any(m.split(".")[0] == "CoolProp" for m in sys.modules))
"""


def run(code: str, *arguments: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", code, *arguments],
        env=environment(PYTHONWARNINGS="error::UserWarning"),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def test_a_warm_lookup_does_not_load_the_property_library(tmp_path: Path) -> None:
    made = PropertyStore(tmp_path).refrigerant(definition())
    out, err = run(WARM, str(tmp_path), NAME).communicate(timeout=60)
    assert err == ""
    assert out.split() == [str(made.critical_temperature_k), "False"]


BLEND = RefrigerantDefinition(
    "mine", ("R32", "R125"), (0.5, 0.5), (PairParameters("R32", "R125", 1.0, 0.9),), 345.0, 4.9e6
)


@pytest.mark.parametrize(
    "other",
    [
        dataclasses.replace(BLEND, components=("R32", "R134a")),
        dataclasses.replace(BLEND, components=("R125", "R32")),
        dataclasses.replace(BLEND, mass_fractions=(0.5 + 1e-15, 0.5 - 1e-15)),
        dataclasses.replace(BLEND, pairs=()),
        dataclasses.replace(BLEND, pairs=(PairParameters("R125", "R32", 1.0, 0.9),)),
        dataclasses.replace(BLEND, pairs=(PairParameters("R32", "R125", 0.9, 1.0),)),
        dataclasses.replace(BLEND, pairs=(PairParameters("R32", "R125", 1.0, 0.9, 1.0),)),
        dataclasses.replace(BLEND, pairs=(PairParameters("R32", "R125", 1.0, 0.9, None, 1.0),)),
        dataclasses.replace(BLEND, pairs=(PairParameters("R32", "R125"),)),
        dataclasses.replace(BLEND, critical_temperature_k=345.0001),
        dataclasses.replace(BLEND, critical_pressure_pa=4.9001e6),
        dataclasses.replace(BLEND, critical_temperature_k=None, critical_pressure_pa=None),
    ],
)
def test_whatever_a_table_depends_on_makes_another_key(other: RefrigerantDefinition) -> None:
    assert property_store._key(other) != property_store._key(BLEND)


def test_version_and_layout_make_another_key(monkeypatch: pytest.MonkeyPatch) -> None:
    keys = {property_store._key(BLEND)}
    monkeypatch.setattr(property_store.importlib.metadata, "version", lambda name: f"of {name}, a later one")
    assert property_store.library_version() == "CoolProp of CoolProp, a later one"
    keys.add(property_store._key(BLEND))
    monkeypatch.setattr(property_store.tables, "LAYOUT", property_store.tables.LAYOUT + 1)
    keys.add(property_store._key(BLEND))
    assert len(keys) == 3


def test_the_version_told_without_loading_is_the_one_that_is_loaded() -> None:
    assert property_store.library_version() == f"CoolProp {equation_of_state.library_version()}"


def test_a_name_alone_makes_no_other_table(tmp_path: Path, builds: COUNTED) -> None:
    """The name stands in the file's name for people; the table is the same."""
    assert property_store._key(BLEND) == property_store._key(dataclasses.replace(BLEND, name="yours"))
    store = PropertyStore(tmp_path)
    store.refrigerant(dataclasses.replace(definition(), name="../up: and (E)"))
    assert builds() == 1
    assert only_file(tmp_path).name.startswith("___up__and__E_-")


def test_a_file_with_another_key_inside_is_not_trusted(tmp_path: Path, builds: COUNTED) -> None:
    store = PropertyStore(tmp_path)
    store.refrigerant(definition())
    path = only_file(tmp_path)
    known = refrigerant(NAME).table
    other = PropertyTable(known.range, 1.01 * known.saturation, known.liquid, known.vapour)
    property_store._write(path, property_store._key(BLEND), other)
    again = PropertyStore(tmp_path).refrigerant(definition())
    assert builds() == 2
    assert is_same(again.table, refrigerant(NAME).table)
    # It was replaced, and is read from now on.
    PropertyStore(tmp_path).refrigerant(definition())
    assert builds() == 2


def whole(tmp_path: Path) -> tuple[Path, bytes]:
    PropertyStore(tmp_path).refrigerant(definition())
    path = only_file(tmp_path)
    return path, path.read_bytes()


def assert_right(folder: Path) -> None:
    """Whatever the file holds, the table is right and nothing is raised or warned of."""
    assert is_same(PropertyStore(folder).refrigerant(definition()).table, refrigerant(NAME).table)


def test_damaged_files_are_built_anew(tmp_path: Path, builds: COUNTED) -> None:
    path, good = whole(tmp_path)
    random = np.random.default_rng(5)
    cuts = [1, 4, 30, len(good) // 2, len(good) - 1, *random.integers(1, len(good), 20).tolist()]
    damaged = [
        b"",
        b"\0",
        b"just text\n",
        b"{}",
        b"PK\3\4",
        b"\x93NUMPY\1\0",
        random.bytes(4000),
        good[::-1],
        good + b"more",
        b"more" + good,
        good[:1000] + good[1200:],
        bytes(len(good)),
        *(good[:cut] for cut in cuts),
    ]
    for content in damaged:
        path.write_bytes(content)
        assert_right(tmp_path)
    # More than the archive before or behind it does no harm; everything else was built anew.
    assert builds() >= 1 + len(damaged) - 2
    only_file(tmp_path)


def flip(path: Path, good: bytes, places: list[int], random: np.random.Generator) -> None:
    """Damage a file at one place after another; the table must be right each time."""
    for place in places:
        flipped = bytearray(good)
        flipped[place] ^= int(random.integers(1, 256))
        path.write_bytes(flipped)
        assert_right(path.parent)


def test_single_flipped_bytes_never_give_wrong_numbers(tmp_path: Path, builds: COUNTED) -> None:
    path, good = whole(tmp_path)
    random = np.random.default_rng(6)
    flip(path, good, random.integers(0, len(good), FLIPS).tolist(), random)
    assert builds() > FLIPS // 2


def header_places(good: bytes) -> list[int]:
    """Where the arrays' own headers stand, which numpy reads before the archive's checksum is looked at."""
    starts = [i for i in range(len(good)) if good[i : i + 6] == b"\x93NUMPY"]
    return [i for start in starts for i in range(start, start + 128)]


def test_flipped_bytes_in_array_headers_never_stop_a_run(tmp_path: Path, builds: COUNTED) -> None:
    path, good = whole(tmp_path)
    random = np.random.default_rng(7)
    flip(path, good, random.choice(header_places(good), FLIPS).tolist(), random)


@pytest.mark.parametrize(("array", "shorter_by"), [("liquid", 47), ("vapour", 8), ("vapour", 9)])
def test_a_wrong_header_length_never_gives_wrong_numbers(
    array: str, shorter_by: int, tmp_path: Path, builds: COUNTED
) -> None:
    """Padding then counts as the first coefficients, and all others move along."""
    path, good = whole(tmp_path)
    place = good.index(b"\x93NUMPY", good.index(f"{array}.npy".encode()))
    changed = bytearray(good)
    changed[place + 8] -= shorter_by
    path.write_bytes(changed)
    assert_right(tmp_path)
    assert builds() == 2


def test_a_damaged_file_is_closed_again(tmp_path: Path, builds: COUNTED) -> None:
    """Left open it could not be replaced where the system locks open files."""
    path, good = whole(tmp_path)
    path.write_bytes(good[: len(good) // 2])
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        assert_right(tmp_path)
        gc.collect()
    assert builds() == 2
    assert not caught


def rewritten(path: Path, **changed: np.ndarray | None) -> None:
    with np.load(path) as stored:
        arrays = {name: stored[name] for name in stored.files}
    with path.open("wb") as stream:
        np.savez(stream, **{name: value for name, value in (arrays | changed).items() if value is not None})


@pytest.mark.parametrize(
    "changed",
    [
        {"liquid": None},
        {"key": None},
        {"range": np.array([374.0, 4e6])},
        {"range": np.array([374.0, np.nan, 205.0])},
        {"saturation": np.full((2, 3, 40), np.nan)},
        {"saturation": np.zeros((2, 3, 40), np.float32)},
        {"vapour": np.zeros((2, 16, 32))},
        {"liquid": np.array([{"an": "object"}])},
    ],
    ids=["array missing", "key missing", "short", "nan range", "nan", "single precision", "shape", "pickle"],
)
def test_a_whole_archive_of_wrong_arrays_is_built_anew(
    changed: dict[str, np.ndarray | None], tmp_path: Path, builds: COUNTED
) -> None:
    path, _ = whole(tmp_path)
    rewritten(path, **changed)
    assert_right(tmp_path)
    assert builds() == 2


def test_a_folder_in_place_of_the_file_is_warned_of(tmp_path: Path, builds: COUNTED) -> None:
    path, _ = whole(tmp_path)
    path.unlink()
    path.mkdir()
    with pytest.warns(TablegenWarning, match="property tables cannot be kept in"):
        assert_right(tmp_path)
    assert builds() == 2
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize("below", ["taken", "taken/deeper"])
def test_a_folder_that_cannot_be_written_costs_a_warning_only(below: str, tmp_path: Path, builds: COUNTED) -> None:
    (tmp_path / "taken").write_text("a file stands here", encoding="utf-8")
    store = PropertyStore(tmp_path / below)
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        tables = [store.refrigerant(definition()).table for _ in range(3)]
    (warning,) = caught
    assert warning.category is TablegenWarning
    assert str(warning.message).startswith(f"property tables cannot be kept in {tmp_path / below}: ")
    assert str(warning.message).endswith("; they are computed every time")
    assert all(is_same(table, refrigerant(NAME).table) for table in tables)
    assert builds() == 1
    assert (tmp_path / "taken").read_text(encoding="utf-8") == "a file stands here"


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="the superuser may write everywhere")
def test_a_read_only_folder_costs_a_warning_only(tmp_path: Path, builds: COUNTED) -> None:
    tmp_path.chmod(0o500)
    try:
        with pytest.warns(TablegenWarning, match="cannot be kept"):
            assert_right(tmp_path)
    finally:
        tmp_path.chmod(0o700)


def test_a_table_that_cannot_be_computed_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(_: RefrigerantDefinition) -> PropertyTable:
        raise PropertyError("no state")

    monkeypatch.setattr(equation_of_state, "tabulate", fails)
    with pytest.raises(PropertyError):
        PropertyStore(tmp_path).refrigerant(definition())
    assert list(tmp_path.iterdir()) == []


def test_two_processes_building_one_table_leave_one_whole_file(tmp_path: Path) -> None:
    both = [run(WARM, str(tmp_path), NAME) for _ in range(2)]
    ended = [process.communicate(timeout=120) for process in both]
    assert [process.returncode for process in both] == [0, 0]
    assert [err for _, err in ended] == ["", ""]
    assert ended[0][0].split()[0] == ended[1][0].split()[0]
    assert only_file(tmp_path).name.startswith(NAME)
    assert_right(tmp_path)


def test_the_folder_is_chosen_by_the_environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TABLEGEN_CACHE", str(tmp_path))
    assert default_folder() == PropertyStore().folder == tmp_path
    monkeypatch.delenv("TABLEGEN_CACHE")
    assert default_folder().name == "tablegen"
