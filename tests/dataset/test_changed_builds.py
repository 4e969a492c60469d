"""A build makes again only what has changed, and its bytes are those of a build from nothing."""

import random
import re
import shutil
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

import tablegen.full_build
from tablegen.building import build
from tablegen.cli.main import main
from tablegen.dataset.outputs import RECORD, OutputRecord
from tablegen.errors import RequestError
from tablegen.sweep.identity import _WRITERS
from tests.faults.test_failed_publications import CHART, HANDOUT
from tests.small import ROOT, small_catalogue
from tests.worked import WORKED

OTHER_CHART = (
    CHART.replace("publication: counter", "publication: other_counter")
    .replace("family: alder", "family: hazel")
    .replace('stock: ["16", "32"]', 'stock: ["40", "63"]')
)
BOOKLETS = """publication: guide
kind: booklet
one_for_each: family
prints: [{paper: letter, units: IP}]
"""
# Everything that shows the family alder, the family hazel, and what shows everything.
OF_ALDER = {"counter", "handout", "handout-answers", "guide-alder"}
OF_HAZEL = {"other_counter", "guide-hazel"}
OF_ALL = {"windows", "database", "lookup", "guide"}


@pytest.fixture(scope="module")
def first(tmp_path_factory) -> Path:
    """Configs of two families, a chart and a booklet of each, a handout about one in `own`, their output in `out`."""
    tmp_path = tmp_path_factory.mktemp("first")
    more = "publications: [counter, other_counter, handout, guide]\n"
    groups = {"pair": ["R404A", "R507A"]}
    path = small_catalogue(tmp_path / "own", ["alder", "hazel"], groups, ["walk_in_medium"], (), WORKED.parent, more)
    for name, text in (
        ("counter", CHART),
        ("other_counter", OTHER_CHART),
        ("handout", HANDOUT),
        ("guide", BOOKLETS),
    ):
        (path.parent / "publications" / f"{name}.yaml").write_text(text, encoding="utf-8")
    build(path, tmp_path / "out")
    return tmp_path


@pytest.fixture
def catalogue(first, tmp_path: Path) -> Path:
    """The catalogue in a folder of its own, with its output beside it."""
    shutil.copytree(first, tmp_path, dirs_exist_ok=True)
    return tmp_path / "own" / "catalogue.yaml"


@pytest.fixture
def output(catalogue) -> Path:
    return catalogue.parents[1] / "out" / "demo"


def edited(file: str, old: str, new: str) -> Callable[[Path], None]:
    """A change to a config that can be made and, by the next call, unmade."""

    def edit(folder: Path) -> None:
        path = folder / file
        text = path.read_text(encoding="utf-8")
        back = new in text
        assert back or old in text
        path.write_text(text.replace(new, old, 1) if back else text.replace(old, new, 1), encoding="utf-8")

    return edit


CHANGES = {
    "size of alder": edited("families/alder.yaml", "16.0 L/h", "16.4 L/h"),
    "comment": edited("families/hazel.yaml", "family: hazel", "family: hazel  # as tested"),
    "title of the chart": edited("publications/counter.yaml", "Which valve size", "Which size of valve"),
    "seed of the handout": edited("publications/handout.yaml", "seed: 2026", "seed: 2027"),
    "date": edited("catalogue.yaml", "2026-11-25, change", "2026-11-26, change"),
}


def files(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def from_nothing(catalogue: Path, tmp_path: Path) -> dict[str, bytes]:
    shutil.rmtree(tmp_path / "fresh", ignore_errors=True)
    return files(build(catalogue, tmp_path / "fresh").folder)


def test_nothing_changed_makes_nothing_again(catalogue, output, monkeypatch, capsys):
    before = files(output)
    # Nothing is even read.
    monkeypatch.setattr(tablegen.full_build, "load_catalogue", None)
    again = build(catalogue, output.parent)
    assert again.unchanged == {"data set", *OF_ALL, *OF_ALDER, *OF_HAZEL}
    assert set(again.publications) == {*OF_ALDER, *OF_HAZEL, "guide"} and again.windows >= again.open_windows > 0
    assert files(output) == before
    assert main(["build", "--catalogue", str(catalogue), "--output", str(output.parent), "--only", "counter"]) == 0
    assert "counter.pdf: 1 page, unchanged" in capsys.readouterr().out


@pytest.mark.slow
@pytest.mark.parametrize(
    ("changes", "made"),
    [
        (["size of alder"], OF_ALDER | OF_ALL),
        (["title of the chart", "comment"], {"counter"} | OF_ALL),
    ],
)
def test_only_what_shows_a_change_is_made_again(catalogue, output, changes, made):
    for change in changes:
        CHANGES[change](catalogue.parent)
    report = build(catalogue, output.parent)
    assert {*OF_ALDER, *OF_ALL, *OF_HAZEL} - report.unchanged == made


def check_a_sequence(catalogue: Path, tmp_path: Path, seed: int, length: int) -> None:
    """After each of some random changes the output is that of a build from nothing."""
    draw = random.Random(seed)
    for _ in range(length):
        for change in draw.sample(sorted(CHANGES), draw.randint(1, 3)):
            CHANGES[change](catalogue.parent)
        only = draw.choice([(), (), ("counter",), ("handout", "windows")])
        report = build(catalogue, tmp_path / "out", only=only)
        if draw.random() < 0.3:
            # Somebody touches a document that we have made.
            (report.folder / "other_counter.pdf").write_bytes(b"%PDF other")
        if only:
            made = OutputRecord.read(report.folder)
            assert made and set(only) <= set(made.documents) and set(report.left_out).isdisjoint(made.documents)
    assert files(build(catalogue, tmp_path / "out").folder) == from_nothing(catalogue, tmp_path)


@pytest.mark.slow
def test_a_random_sequence_of_changes_gives_the_bytes_of_a_build_from_nothing(catalogue, tmp_path):
    check_a_sequence(catalogue, tmp_path, 1, 1)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2, 12))
def test_random_sequences_of_changes_give_the_bytes_of_a_build_from_nothing(catalogue, tmp_path, seed):
    check_a_sequence(catalogue, tmp_path, seed, 5)


@pytest.mark.slow
def test_what_is_not_asked_for_stays_if_up_to_date_and_is_left_out_if_not(catalogue, output):
    CHANGES["size of alder"](catalogue.parent)
    report = build(catalogue, output.parent, only=["counter"])
    assert report.unchanged == OF_HAZEL
    assert set(report.left_out) == {*OF_ALDER, *OF_ALL} - {"counter"}
    written = {path.name for path in output.iterdir()}
    assert {"counter.pdf", "other_counter.pdf", "windows.csv", RECORD} <= written
    assert not {"handout.pdf", "lookup.html", "graphs"} & written and not report.not_made
    # They are there no more.
    again = build(catalogue, output.parent, only=["counter"])
    assert set(again.not_made) == set(report.left_out) and not again.left_out
    # Asked for everything, the rest is made.
    whole = build(catalogue, output.parent)
    assert whole.unchanged == {"counter", *OF_HAZEL} and not whole.left_out


@pytest.mark.slow
def test_a_document_that_shows_nothing_of_a_change_stays_until_all_are_made_again(catalogue, output, tmp_path, capsys):
    """A title of the chart is on no other document, though its file counts for the fingerprint of the data."""
    page = (output / "lookup.html").read_bytes()
    CHANGES["title of the chart"](catalogue.parent)
    place = ["--catalogue", str(catalogue), "--output", str(output.parent)]
    assert main(["build", *place, "--only", "counter"]) == 0
    said = capsys.readouterr().out
    assert "removed" not in said and "so left as before: database, guide, lookup, windows" in said
    assert (output / "lookup.html").read_bytes() == page
    # What is asked for names the new data.
    assert "lookup" not in build(catalogue, output.parent, only=["lookup"]).stayed
    assert (output / "lookup.html").read_bytes() != page
    assert not build(catalogue, output.parent).stayed
    assert files(output) == from_nothing(catalogue, tmp_path)


@pytest.mark.slow
def test_a_new_telephone_number_on_the_chart_removes_the_page_that_has_it(catalogue, output):
    edited("publications/counter.yaml", "555 0100", "555 0199")(catalogue.parent)
    report = build(catalogue, output.parent, only=["counter"])
    assert "lookup" in report.left_out and not (output / "lookup.html").exists()


@pytest.mark.slow
def test_what_never_was_is_not_called_out_of_date(catalogue, tmp_path, capsys):
    assert main(["build", "--catalogue", str(catalogue), "--output", str(tmp_path / "new"), "--only", "counter"]) == 0
    said = capsys.readouterr().out
    [line] = [own for own in said.splitlines() if own.startswith("not named in --only, so not made: ")]
    assert "handout, " in line and "out of date" not in said
    report = build(catalogue, tmp_path / "new", only=["counter"])
    assert set(report.not_made) == {*OF_ALDER, *OF_HAZEL, *OF_ALL} - {"counter"} and not report.left_out


def test_an_unknown_document_is_refused_with_the_nearest_name(catalogue, tmp_path):
    with pytest.raises(RequestError, match="did you mean counter"):
        build(catalogue, tmp_path / "other", only=["cuonter"])
    assert not (tmp_path / "other" / "demo").exists()


def test_a_touched_or_missing_file_is_made_again(catalogue, output):
    good = files(output)
    (output / "counter.pdf").unlink()
    (output / "handout.pdf").write_bytes(b"%PDF")
    (output / "windows.csv").write_bytes(b"family\n")
    report = build(catalogue, output.parent)
    assert not {"counter", "handout"} & report.unchanged and {*OF_HAZEL, *OF_ALL} <= report.unchanged
    assert files(output) == good


@pytest.mark.parametrize(
    "damaged",
    [
        "",
        "{",
        "[]",
        '{"layout": 1, "documents": {"counter": 3}}',
        '{"layout": 0}',
        '{"layout": 1, "made_from": "", "other_inputs": ["../secret"], "documents": {}}',
        '{"layout": 1, "documents": {"counter": {"made_from": "", "pages": 1, "files": {"../secret": "0"}}}}',
    ],
)
def test_a_damaged_record_or_one_that_leads_out_of_its_folder_is_not_used(output, damaged):
    assert OutputRecord.read(output) is not None
    (output / RECORD).write_text(damaged, encoding="utf-8")
    assert OutputRecord.read(output) is None


@pytest.mark.slow
def test_everything_is_made_again_when_asked(catalogue, output):
    good = files(output)
    (output / RECORD).write_text("{", encoding="utf-8")
    again = build(catalogue, output.parent, rebuild=True)
    assert not again.unchanged and files(output) == good


def test_the_versions_of_all_libraries_that_outputs_follow_from_count():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    needed = {re.split(r"[<>=]", entry)[0] for entry in project["dependencies"]}
    assert set(_WRITERS) == needed - {
        "filelock",
        "platformdirs",
        "pydantic",
        "ruamel.yaml",
        "starlette",
        "tqdm",
        "uvicorn",
    }


@pytest.mark.slow
def test_a_revision_notice_is_made_for_what_changed_and_goes_with_the_comparison(first, catalogue, output, tmp_path):
    """It is planned with the changes, stays while they do, and is left out of a build that compares with nothing."""
    CHANGES["size of alder"](catalogue.parent)
    text = catalogue.read_text(encoding="utf-8")
    later = text.replace("revision: A\n", "revision: B\n", 1).replace(
        "change: First issue.}\n",
        "change: First issue.}\n  - {revision: B, date: 2026-12-01, change: A size changed, reasons: "
        "[{file: families/alder.yaml, key: sizes.16.kv, why: Measured anew.}]}\n",
    )
    catalogue.write_text(later, encoding="utf-8")
    earlier, notice = first / "out" / "demo", {"revision-notice"}
    made = build(catalogue, output.parent, only=notice, since=earlier)
    assert made.failed == {} and notice <= made.publications.keys()
    assert (output / "revision-notice.pdf").exists()
    # Nothing of the first release is compared with itself.
    again = build(catalogue, tmp_path / "second", only={"windows"})
    assert not notice & (again.publications.keys() | set(again.left_out))
    with pytest.raises(RequestError, match="revision-notice"):
        build(catalogue, output.parent, only=notice)


def test_what_people_put_beside_the_output_stays(catalogue, output):
    (output / "signed").mkdir()
    for name in ("notes.txt", "signed/counter.pdf"):
        (output / name).write_text(f"mine: {name}", encoding="utf-8")
    text = catalogue.read_text(encoding="utf-8")
    catalogue.write_text(text.replace("[counter, other_counter, handout, guide]", "[counter]"), encoding="utf-8")
    build(catalogue, output.parent)
    names = {path.relative_to(output).as_posix() for path in output.rglob("*")}
    assert "counter.pdf" in names and not {"handout.pdf", "other_counter.pdf"} & names
    for name in ("notes.txt", "signed/counter.pdf"):
        assert (output / name).read_text(encoding="utf-8") == f"mine: {name}"
