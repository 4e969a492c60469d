"""The database has the rows of the files, answers as `pick` does, explains its columns, and is the same again."""

from __future__ import annotations

import contextlib
import itertools
import re
import sqlite3
import struct
from collections.abc import Callable, Iterator
from pathlib import Path

import pandas as pd
import pytest

import tablegen
from tablegen.answers.case import Case
from tablegen.answers.pick import pick
from tablegen.dataset import database as database_file
from tablegen.dataset.csv_files import frame_of
from tablegen.dataset.database import DATABASE_FILE, LAYOUT, write_database
from tablegen.dataset.dataset import FRAMES
from tablegen.units import to_si
from tests.demo import CATALOGUE, demo_data
from tests.us_units import W_PER_KBTU

COVERS = (
    "SELECT family, size FROM sizes_that_cover WHERE refrigerant = :refrigerant AND application = :application"
    " AND sst_k = round(:sst_k, 9) AND :load_w BETWEEN min_load_w AND max_load_w"
    " ORDER BY min(:load_w / min_load_w, max_load_w / :load_w) DESC"
)
# Refrigerant, application, SST [degF] and load [kBtu/h]: two sizes of system in each, and one that few valves cover.
CASES = [
    *itertools.product(["R404A", "R448A", "R134a"], ["walk_in_medium"], [14, 24, 36], [9, 31]),
    *itertools.product(["R404A", "R407C"], ["walk_in_low"], [-20, -10], [6, 24]),
    *itertools.product(["R449A"], ["walk_in_medium_lift", "walk_in_medium_fixed"], [24], [2, 80]),
]


@pytest.fixture(scope="module")
def path(tmp_path_factory) -> Path:
    target = tmp_path_factory.mktemp("database") / DATABASE_FILE
    write_database(demo_data(), target)
    return target


@pytest.fixture
def opened(path) -> Iterator[sqlite3.Connection]:
    # As a shop would, which must not write to it.
    with contextlib.closing(sqlite3.connect(f"{path.as_uri()}?mode=ro&immutable=1", uri=True)) as database:
        yield database


def test_thirty_cases_are_answered_as_pick_answers_them(opened):
    assert len(CASES) == 30
    found = 0
    for refrigerant, application, fahrenheit, load in CASES:
        sst, given = f"{fahrenheit} degF", f"{load} kBtu/h"
        picked = tablegen.pick(refrigerant, sst=sst, load=given, application=application, catalogue=CATALOGUE).frame()
        picked = picked[picked["verdict"] == "fits"].sort_values("margin", ascending=False)
        sst_k, load_w = to_si(sst, "temperature"), to_si(given, "load")
        asked = {"refrigerant": refrigerant, "application": application, "sst_k": sst_k, "load_w": load_w}
        rows = opened.execute(COVERS, asked).fetchall()
        assert rows == list(zip(picked["family"], picked["size"], strict=True)), asked
        found += len(rows)
    assert found > 100


@pytest.mark.parametrize("name", FRAMES)
def test_a_table_is_its_csv_file(opened, name):
    written = frame_of(demo_data().files[f"{name}.csv"].content())
    read = pd.read_sql_query(f"SELECT * FROM {name} ORDER BY rowid", opened)
    for column in (own for own in written.columns if written[own].dtype == bool):
        read[column] = read[column].astype(bool)
    pd.testing.assert_frame_equal(read, written, check_dtype=False, check_exact=True)


def test_the_same_data_give_the_same_bytes_in_any_parts(path, tmp_path, monkeypatch):
    monkeypatch.setattr(database_file, "_ROWS", 1000)
    again = tmp_path / "again.sqlite"
    again.write_bytes(b"what was there")
    write_database(demo_data(), again)
    content = path.read_bytes()
    assert again.read_bytes() == content
    # Header of the file format: page size at 16, changes at 24, layout at 60, version of the library at 96.
    page, changes, layout, version = (
        struct.unpack_from(form, content, at)[0] for form, at in ((">H", 16), (">I", 24), (">I", 60), (">I", 96))
    )
    major, minor, patch = sqlite3.sqlite_version_info
    assert (page, changes, layout, version) == (4096, 1, LAYOUT, 1_000_000 * major + 1000 * minor + patch)
    assert list(tmp_path.iterdir()) == [again]


def test_every_column_is_described_in_a_table_and_as_a_comment(opened):
    described = {
        (table, column): (unit, meaning) for table, column, unit, meaning in opened.execute("SELECT * FROM columns")
    }
    kinds = dict(opened.execute("SELECT name, type FROM sqlite_schema WHERE type IN ('table', 'view')"))
    sql = dict(opened.execute("SELECT name, sql FROM sqlite_schema"))
    own = {"about", "columns"}
    there = {(name, row[1]) for name in kinds.keys() - own for row in opened.execute(f"PRAGMA table_info({name})")}
    assert set(described) == there
    for (table, column), (unit, meaning) in described.items():
        assert meaning
        if kinds[table] == "table":
            says = re.escape(f"[{unit}] " if unit else "") + re.escape(meaning)
            assert re.search(rf'"{column}" (TEXT|REAL|BOOLEAN)( NOT NULL)?,? -- {says}\n', sql[table])
    assert dict(opened.execute("SELECT * FROM about"))["fingerprint"] == demo_data().fingerprint


def test_views_have_the_units_of_the_trade(opened):
    case = "refrigerant = 'R448A' AND application = 'walk_in_medium'"
    ip = opened.execute(
        "SELECT family_name, size_name, min_load_kbtu_h, max_load_kbtu_h, part_numbers FROM sizes_that_cover_ip"
        f" WHERE {case} AND sst_degf = 24 AND family = 'alder' AND 20 BETWEEN min_load_kbtu_h AND max_load_kbtu_h"
    ).fetchall()
    # Alder 90 covers 20 kBtu/h, as `pick` of the same load has it.
    (row,) = [own for own in ip if own[1] == "90"]
    asked = Case("R448A", (24.0 + 459.67) / 1.8, 20.0 * W_PER_KBTU, "walk_in_medium")
    (found,) = [c for c in pick(demo_data().catalogue, asked, "alder").fitting if c.size == "90"]
    assert row[0] == "Alder"
    assert [kbtu * W_PER_KBTU for kbtu in row[2:4]] == pytest.approx([found.minimum.load_w, found.maximum.load_w])
    part_number, *_ = [
        n.number
        for n in demo_data().catalogue.part_numbers
        if (n.family, n.size, n.charge) == ("alder", "90", "cross-448-medium")
    ][:1]
    assert part_number in row[4].split(", ")
    si = opened.execute(
        f"SELECT sst_degc, min_load_kw FROM sizes_that_cover_si WHERE {case} AND family = 'alder' AND size = '90'"
    ).fetchall()
    assert (round((24 - 32) / 1.8, 6), pytest.approx(row[2] * 0.2930710701722222)) in si


def test_the_examples_of_the_manual_run(path, opened):
    page = (Path(tablegen.__file__).parent / "manual" / "editor.md").read_text(encoding="utf-8")
    (sql,), (code,) = (re.findall(rf"(?s)```{kind}\n(.*?)```", page) for kind in ("sql", "python"))
    answer = opened.execute(sql).fetchall()
    assert ("Alder", "90") in [row[:2] for row in answer] and len(answer[0]) == 5
    found: dict[str, Callable[..., list[tuple[str, str, str]]]] = {}
    exec(code, found)
    kelvin, watt = to_si("24 degF", "temperature"), to_si("20 kBtu/h", "load")
    rows = found["sizes"](path, "R448A", "walk_in_medium", kelvin, watt)
    families = demo_data().catalogue.families
    shown = {(families[family].display_name, families[family].size_name(size)) for family, size, _ in rows}
    assert shown == {row[:2] for row in answer}
    assert [own.name for own in path.parent.iterdir()] == [path.name]


def test_a_load_is_looked_up_by_an_index(opened):
    asked = {"refrigerant": "R448A", "application": "walk_in_medium", "sst_k": 260.0, "load_w": 5000.0}
    (first, *_) = opened.execute(f"EXPLAIN QUERY PLAN {COVERS}", asked).fetchall()
    assert "USING INDEX windows_key (refrigerant=? AND application=? AND sst_k=?)" in first[3]


def test_a_file_that_cannot_be_written_is_an_error_of_the_system(tmp_path):
    with pytest.raises(OSError, match="unable to open"):
        write_database(demo_data(), tmp_path / "nowhere" / DATABASE_FILE)
