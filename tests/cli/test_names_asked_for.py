"""Commands take a family or a size by its key or by what it is called in print, and answer with the latter."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.report.json_export import to_json
from tests.small import small_catalogue

CASE = ["R448A", "--sst", "24 degF"]
LOAD = ["--load", "15 kBtu/h"]
EDITS = (
    ("families/alder.yaml", "name: Alder", "name: Line one"),
    ("families/alder.yaml", "title: Alder", "title: The size 190, Alder"),
    ("families/alder.yaml", "{size: 63,", "{size: 63, display: 3 1/2 kW,"),
    ("applications/walk_in_medium.yaml", "title: Walk-in cooler", "title: +35 °F Box"),
)


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("named") / "mine"
    return small_catalogue(folder, ["alder"], {"only": ["R448A"]}, ["walk_in_medium"], EDITS)


def best_load(catalogue: Path) -> list[str]:
    """A load in the middle of the window of size 63, which no other size covers as well."""
    sizes = tablegen.pick("R448A", sst="24 degF", load="15 kBtu/h", catalogue=catalogue).frame().set_index("size")
    return ["--load", f"{math.sqrt(sizes.loc['63', 'min_load_w'] * sizes.loc['63', 'max_load_w']):.0f} W"]


def answer(capsys, *arguments: str) -> str:
    assert main(list(arguments)) in (0, 1)
    return " ".join(capsys.readouterr().out.split())


def test_a_pick_calls_family_size_and_application_as_the_configs_do(catalogue, capsys):
    shown = answer(capsys, "pick", *CASE, *best_load(catalogue), "--catalogue", str(catalogue))
    assert "First choice: Line one 3 1/2 kW, with the largest margin" in shown
    assert "+35 °F Box, floating head pressure" in shown
    assert "The 63" not in shown and "Alder" not in shown


@pytest.mark.parametrize("family", ["alder", "Line one", "line ONE"])
@pytest.mark.parametrize("size", ["63", "3 1/2 kW"])
def test_a_trace_takes_either_name(family, size, catalogue, capsys):
    shown = answer(capsys, "trace", family, size, "R448A", "--sst", "24 degF", "--catalogue", str(catalogue))
    assert shown.startswith("Load window of Line one 3 1/2 kW with ") and "Size 3 1/2 kW" in shown


def test_a_retrofit_takes_either_name(catalogue, capsys):
    asked = [*CASE[1:], *LOAD, "--refrigerant", "R448A", "--catalogue", str(catalogue)]
    by_key = answer(capsys, "retrofit", "alder", "63", *asked)
    assert by_key == answer(capsys, "retrofit", "Line one", "3 1/2 KW", *asked)
    assert "Line one 3 1/2 kW" in by_key


def test_python_takes_either_name_and_gives_keys(catalogue):
    asked = {"refrigerant": "R448A", "sst": "24 degF", "load": "15 kBtu/h", "catalogue": catalogue}
    by_key, by_name = (tablegen.pick(**asked, family=name).frame() for name in ("alder", "Line one"))
    assert by_key.equals(by_name)
    assert set(by_key["family"]) == {"alder"} and "63" in set(by_key["size"])
    by_key, by_name = (tablegen.retrofit(*valve, **asked) for valve in (("alder", "63"), ("Line one", "3 1/2 kW")))
    assert to_json(by_key) == to_json(by_name)
    assert (by_key.record()["family"], by_key.record()["size"]) == ("alder", "63")


def test_json_gives_keys(catalogue, capsys):
    assert (
        main(["pick", *CASE, *best_load(catalogue), "--json", "--family", "Line one", "--catalogue", str(catalogue)])
        == 0
    )
    facts = json.loads(capsys.readouterr().out)["facts"]
    assert (facts["first_family"], facts["first_size"]) == ("alder", "63")


def test_a_near_miss_names_both(catalogue, capsys):
    assert main(["trace", "alder", "3 1/2", "R448A", "--sst", "24 degF", "--catalogue", str(catalogue)]) == 2
    shown = capsys.readouterr().err
    assert "a size of Line one must be one of 11," in shown and "did you mean 3 1/2 kW?" in shown


def test_a_fit_reads_and_prints_the_names_of_sizes(catalogue, capsys, tmp_path):
    # One catalogue more: here every refrigerant of the readings must be in the family's charges.
    folder = tmp_path / "mine"
    edits = [*EDITS[:2], ("families/alder.yaml", "{size: 45,", "{size: 45, display: 2.5 kW,")]
    path = small_catalogue(folder, ["alder"], {"only": ["R404A"]}, ["walk_in_medium"], edits)
    bench = folder / "bench" / "alder.csv"
    first, *rest = bench.read_text(encoding="utf-8").split(",45,")
    # The first half by the name in print, the others by the key.
    half = len(rest) // 2
    bench.write_text(",2.5 kW,".join([first, *rest[:half]]) + ",45," + ",45,".join(rest[half:]), encoding="utf-8")
    shown = answer(capsys, "fit", str(bench), "--law", "orifice", "--catalogue", str(path))
    assert shown.startswith("The size 190, Alder balanced-port")
    # The file's own remark about what it was made from is text of the user's.
    table = shown.partition("made from")[0]
    assert "Kv of size 2.5 kW" in shown and "Kv of size 45" not in table


@pytest.mark.slow
def test_the_look_up_page_and_the_booklet_of_a_build_are_read_back_under_these_names(catalogue, capsys, tmp_path):
    publication = catalogue.parent / "publications" / "booklet.yaml"
    publication.write_text(
        "publication: booklet\nkind: booklet\nprints: [{paper: letter, units: IP}]\n", encoding="utf-8"
    )
    text = catalogue.read_text(encoding="utf-8")
    printed = catalogue.with_name("printed.yaml")
    printed.write_text(text + "publications: [booklet]\n", encoding="utf-8")
    assert main(["build", "--catalogue", str(printed), "--output", str(tmp_path)]) == 0
    capsys.readouterr()
    assert main(["audit", "--catalogue", str(printed), "--release", str(tmp_path / "demo"), "--json"]) in (0, 1)
    shown = capsys.readouterr().out
    assert '"misprint"' not in shown and '"not_read"' not in shown
