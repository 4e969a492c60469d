"""A publication that cannot be printed costs no other: data set and sound publications are written, and it is named."""

import json
import shutil
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.errors import PublishError
from tablegen.report.publications import documents as publications
from tests.small import small_catalogue
from tests.worked import WORKED

CHART = """publication: counter
kind: counter_chart
title: Which valve size
wholesaler: Tarnwick Supply (invented)
telephone: "555 0100"
prints:
  - {paper: letter, units: IP}
family: alder
application: walk_in_medium
groups: [pair]
stock: ["16", "32"]
"""
HANDOUT = """publication: handout
kind: handout
title: The expansion valve in winter and summer
school: Harbor Street Evening School (invented)
class_label: Class 2B, fall term
seed: 2026
prints:
  - {paper: letter, units: IP, graph_files: true}
family: alder
application: walk_in_medium
group: pair
"""


@pytest.fixture
def catalogue(tmp_path: Path) -> Path:
    return with_chart_and_handout(tmp_path)


def with_chart_and_handout(folder: Path) -> Path:
    more = "publications: [counter, handout]\n"
    parts = (["alder"], {"pair": ["R404A", "R507A"]}, ["walk_in_medium"])
    path = small_catalogue(folder / "own", *parts, source=WORKED.parent, more=more)
    for name, text in (("counter", CHART), ("handout", HANDOUT)):
        (path.parent / "publications" / f"{name}.yaml").write_text(text, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("first")
    assert built(with_chart_and_handout(folder), folder)[0] == 0
    return folder / "out"


@pytest.fixture
def last(first: Path, tmp_path: Path) -> Path:
    """The output of the last build, where the next one finds it."""
    return shutil.copytree(first, tmp_path / "out") / "demo"


def built(catalogue: Path, tmp_path: Path) -> tuple[int, Path]:
    output = tmp_path / "out"
    return main(["build", "--catalogue", str(catalogue), "--output", str(output), "--workers", "1"]), output / "demo"


def failing(error: Exception):
    def fail(data, name, target, **more):
        Path(target).write_bytes(b"%PDF half")
        raise error

    return fail


def test_data_set_and_other_publications_are_written_where_one_fails(catalogue, last, tmp_path, monkeypatch, capsys):
    windows = (last / "windows.csv").read_bytes()
    text = (catalogue.parent / "families" / "alder.yaml").read_text(encoding="utf-8")
    (catalogue.parent / "families" / "alder.yaml").write_text(text.replace("16.0 L/h", "16.4 L/h"), encoding="utf-8")
    monkeypatch.setattr(publications, "print_counter_chart", failing(PublishError("a page\ncannot be set")))
    code, folder = built(catalogue, tmp_path)
    shown = capsys.readouterr()
    assert code == 2
    assert (
        shown.err.splitlines(keepends=True)[-1]
        == "counter: not printed, but the data set and the other publications were written: a page cannot be set\n"
    )
    assert "handout.pdf: " in shown.out and "counter.pdf" not in shown.out
    names = {path.name for path in folder.iterdir()}
    assert {"windows.csv", "manifest.json", "windows.xlsx", "lookup.html", "handout.pdf", "graphs"} <= names
    # Nothing half-written, and nothing of the last build that would not go with these data.
    assert "counter.pdf" not in names and not any(name.startswith(".") for name in names)
    assert (folder / "windows.csv").read_bytes() != windows
    record = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    assert record["not_printed"] == {"counter": "a page cannot be set"}


@pytest.mark.slow
def test_an_unexpected_error_of_a_publication_is_reported_after_the_data_set_is_written(
    catalogue, tmp_path, monkeypatch, capsys
):
    monkeypatch.setattr(publications, "print_handout", failing(KeyError("size")))
    code, folder = built(catalogue, tmp_path)
    shown = capsys.readouterr().err
    assert code == 70
    assert "unexpected error" in shown and "KeyError" in shown and "Traceback" not in shown
    assert json.loads((folder / "manifest.json").read_text(encoding="utf-8"))["not_printed"] == {
        "handout": "KeyError: 'size'"
    }
    assert (folder / "counter.pdf").exists() and not (folder / "handout.pdf").exists()
    assert not (folder / "graphs").exists()


@pytest.mark.slow
def test_a_look_up_page_that_fails_costs_no_publication(catalogue, tmp_path, monkeypatch, capsys):
    def fail(data, target):
        target.write_text("half", encoding="utf-8")
        raise PublishError("too large")

    monkeypatch.setattr(publications, "write_phone_page", fail)
    text = catalogue.read_text(encoding="utf-8")
    catalogue.write_text(text.replace("[counter, handout]", "[counter]"), encoding="utf-8")
    code, folder = built(catalogue, tmp_path)
    assert code == 2
    shown = capsys.readouterr().err
    assert shown.endswith("lookup: not printed, but the data set and the other publications were written: too large\n")
    assert (folder / "counter.pdf").exists() and not (folder / "lookup.html").exists()


@pytest.mark.slow
def test_a_full_disk_still_leaves_the_last_output(catalogue, last, tmp_path, monkeypatch, capsys):
    """What cannot be written is no fault of the publication."""
    before = {path.name: path.read_bytes() for path in last.iterdir() if path.is_file()}
    monkeypatch.setattr(publications, "print_counter_chart", failing(OSError(28, "No space left on device")))
    path = catalogue.parent / "publications" / "counter.yaml"
    path.write_text(CHART.replace("Which", "What"), encoding="utf-8")
    assert built(catalogue, tmp_path)[0] == 2
    assert {path.name: path.read_bytes() for path in last.iterdir() if path.is_file()} == before
