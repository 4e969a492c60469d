"""Property tables on disk: found again, never trusted blindly, never a reason to stop."""

from __future__ import annotations

import dataclasses
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

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
    """The known table replaces a computed one, so that a rebuild costs nothing; how often it was asked for."""
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
        np.array_equal(getattr(table, key), getattr(other, key)) for key in ("saturation", "liquid", "vapor")
    )


def only_file(folder: Path) -> Path:
    """The one file of the cache; a leftover part would be a second."""
    (path,) = (folder / "property_tables").iterdir()
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
    """Without the substitute: computed, cached, read, alike to the last bit."""
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
            (made.vapor(at, low), read.vapor(at, low)),
        ):
            assert all(np.array_equal(one, other) for one, other in zip(ours, theirs, strict=True))


WARM = """
import sys
from pathlib import Path
from tablegen.config.refrigerant_files import load_registry
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
    name="mine",
    components=("R32", "R125"),
    mass_fractions=(0.5, 0.5),
    pairs=(PairParameters(first="R32", second="R125", beta_t=1.0, gamma_t=0.9),),
    critical_temperature_k=345.0,
    critical_pressure_pa=4.9e6,
)


@pytest.mark.parametrize(
    "other",
    [
        dataclasses.replace(BLEND, components=("R32", "R134a")),
        dataclasses.replace(BLEND, components=("R125", "R32")),
        dataclasses.replace(BLEND, mass_fractions=(0.5 + 1e-15, 0.5 - 1e-15)),
        dataclasses.replace(BLEND, pairs=()),
        dataclasses.replace(BLEND, pairs=(PairParameters(first="R125", second="R32", beta_t=1.0, gamma_t=0.9),)),
        dataclasses.replace(BLEND, pairs=(PairParameters(first="R32", second="R125", beta_t=0.9, gamma_t=1.0),)),
        dataclasses.replace(
            BLEND, pairs=(PairParameters(first="R32", second="R125", beta_t=1.0, gamma_t=0.9, beta_v=1.0),)
        ),
        dataclasses.replace(
            BLEND,
            pairs=(PairParameters(first="R32", second="R125", beta_t=1.0, gamma_t=0.9, beta_v=None, gamma_v=1.0),),
        ),
        dataclasses.replace(BLEND, pairs=(PairParameters(first="R32", second="R125"),)),
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


def test_the_version_read_without_loading_is_the_one_that_is_loaded() -> None:
    assert property_store.library_version() == f"CoolProp {equation_of_state.library_version()}"


def test_a_name_alone_makes_no_other_table(tmp_path: Path, builds: COUNTED) -> None:
    """And no part of the name becomes a part of a path."""
    assert property_store._key(BLEND) == property_store._key(dataclasses.replace(BLEND, name="yours"))
    for name in (NAME, "../up: and (E)"):
        PropertyStore(tmp_path).refrigerant(dataclasses.replace(definition(), name=name))
    assert builds() == 1
    only_file(tmp_path)


def assert_right(folder: Path) -> None:
    """Whatever the cache contains, the table is right and nothing is raised or warned of."""
    assert is_same(PropertyStore(folder).refrigerant(definition()).table, refrigerant(NAME).table)


def test_a_damaged_file_is_computed_anew_and_replaced(tmp_path: Path, builds: COUNTED) -> None:
    assert_right(tmp_path)
    path = only_file(tmp_path)
    good = path.read_bytes()
    for at in np.random.default_rng(6).integers(0, len(good), FLIPS).tolist():
        path.write_bytes(good[:at] + bytes([good[at] ^ 0x40]) + good[at + 1 :])
        assert_right(tmp_path)
        assert path.read_bytes() == good
    path.write_bytes(good[: len(good) // 2])
    assert_right(tmp_path)
    assert builds() == FLIPS + 2


def numbers_of(table: PropertyTable) -> np.ndarray:
    return np.frombuffer(property_store._packed(table)).copy()


@pytest.mark.parametrize("content", [b"", b"nonsense", bytes(8)])
def test_what_is_no_table_is_computed_anew(content: bytes, tmp_path: Path, builds: COUNTED) -> None:
    store = PropertyStore(tmp_path)
    store._cache.write(property_store._key(definition()), content)
    assert_right(tmp_path)
    assert builds() == 1


@pytest.mark.parametrize("value", [np.nan, np.inf])
def test_a_table_with_a_number_missing_is_computed_anew(value: float, tmp_path: Path, builds: COUNTED) -> None:
    numbers = numbers_of(refrigerant(NAME).table)
    for place in (0, 2, 3, len(numbers) - 1):
        broken = numbers.copy()
        broken[place] = value
        PropertyStore(tmp_path)._cache.write(property_store._key(definition()), broken.tobytes())
        assert_right(tmp_path)
    assert builds() == 4


def test_arrays_lie_on_the_boundaries_of_their_numbers(tmp_path: Path, builds: COUNTED) -> None:
    assert_right(tmp_path)
    read = PropertyStore(tmp_path).refrigerant(definition()).table
    assert builds() == 1
    for array in (read.saturation, read.liquid, read.vapor):
        assert array.flags.aligned and array.flags.c_contiguous and array.flags.owndata and array.dtype == np.float64


def test_a_folder_that_cannot_be_written_costs_a_warning_only(tmp_path: Path, builds: COUNTED) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    store = PropertyStore(tmp_path / "taken")
    with pytest.warns(TablegenWarning, match="the cache is not used: .*taken is not a folder; "):
        tables = [store.refrigerant(definition()).table for _ in range(3)]
    assert all(is_same(table, refrigerant(NAME).table) for table in tables)
    assert builds() == 1


def test_a_table_that_cannot_be_computed_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(_: RefrigerantDefinition) -> PropertyTable:
        raise PropertyError("no state")

    monkeypatch.setattr(equation_of_state, "tabulate", fails)
    with pytest.raises(PropertyError):
        PropertyStore(tmp_path).refrigerant(definition())
    assert list(tmp_path.iterdir()) == []


@pytest.mark.slow
def test_two_processes_building_one_table_leave_one_whole_file(tmp_path: Path) -> None:
    both = [run(WARM, str(tmp_path), NAME) for _ in range(2)]
    ended = [process.communicate(timeout=120) for process in both]
    assert [process.returncode for process in both] == [0, 0]
    assert [err for _, err in ended] == ["", ""]
    assert ended[0][0].split()[0] == ended[1][0].split()[0]
    only_file(tmp_path)
    assert_right(tmp_path)
