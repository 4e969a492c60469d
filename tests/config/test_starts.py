"""What `init --for` starts with: files that pass `check`, and no others; built, they are what was asked for."""

import re
from pathlib import Path

import pytest

import tablegen
from tablegen.cli import catalogues
from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.config.starter import STARTED_FOR, start_catalogue

# A family of each kind, and one for R744.
EXAMPLES = {"alder", "rowan", "hazel", "larch", "juniper"}
DOCUMENTS = {
    "wholesaler": {"counter.pdf", "counter_low.pdf", "labels.pdf", "labels_low.pdf"},
    "maker": {"booklet.pdf"},
    "school": {"handout.pdf", "handout-answers.pdf"},
}


def started(folder: Path, who: str, capsys) -> Path:
    assert main(["init", str(folder), "--for", who]) == 0
    capsys.readouterr()
    return folder


def test_the_command_line_offers_what_there_is():
    assert catalogues._STARTED_FOR == tuple(STARTED_FOR) == tuple(DOCUMENTS)


@pytest.mark.parametrize("who", DOCUMENTS)
def test_a_start_is_sound_says_what_to_edit_first_and_has_nothing_that_is_not_used(who, tmp_path, capsys):
    folder = started(tmp_path / "own", who, capsys)
    assert main(["check", "--catalogue", str(folder)]) == 0
    assert capsys.readouterr().err == ""
    own = load_catalogue(folder / "catalogue.yaml")
    assert own.name == "own" and "Edit first" in (folder / "catalogue.yaml").read_text(encoding="utf-8")
    printed = {one.printed.publication for one in (*own.booklets, *own.charts, *own.labels, *own.handouts)}
    assert {path.stem for path in (folder / "publications").glob("*.yaml")} == printed
    assert {path.stem for path in (folder / "applications").glob("*.yaml")} == set(own.applications)
    assert (own.stock is not None) == (folder / "stock.csv").exists() == (who == "wholesaler")
    families = {path.stem for path in (folder / "families").glob("*.yaml")}
    # A maker has an example of each kind of family.
    assert families == (EXAMPLES if who == "maker" else set(own.families))


@pytest.mark.parametrize(
    ("who", "first"),
    [("school", "publications/handout.yaml"), ("wholesaler", "company.yaml"), ("maker", "company.yaml")],
)
def test_init_names_the_file_to_edit_first(who, first, tmp_path, capsys):
    assert main(["init", str(tmp_path / "own"), "--for", who]) == 0
    assert f"edit {first} first, then what catalogue.yaml lists, then run" in capsys.readouterr().out
    assert (tmp_path / "own" / first).is_file()
    comment = (tmp_path / "own" / "catalogue.yaml").read_text(encoding="utf-8").partition("Edit first:")[2]
    assert re.split(r"[\s#,]+|1\.", comment.lstrip("\n #1."))[0] == first


def test_a_wholesaler_has_a_chart_of_each_group_in_stock_and_labels_with_places(tmp_path, capsys):
    own = load_catalogue(started(tmp_path / "own", "wholesaler", capsys) / "catalogue.yaml")
    assert [chart.wholesaler for chart in own.charts] == ["Tarnwick Supply (invented)"] * 2
    assert all(chart.not_in_stock == () for chart in own.charts)
    cooler = own.charts[0]
    # Of the last size with this charge none is left.
    assert "125" in cooler.stock["R404A-R507A"] and "125" not in cooler.stock["R448A-family"]
    assert own.stock and all(item.location for item in own.stock.items)


def test_a_comment_about_labels_gives_the_boxes_that_they_print(tmp_path, capsys):
    folder = started(tmp_path / "own", "wholesaler", capsys)
    written = (folder / "publications" / "labels.yaml").read_text(encoding="utf-8").replace("\n# ", " ")
    [stated] = re.findall(r"TD of (\d+) degF these are box temperatures of (\d+) and (\d+) degF", written)
    [labels] = [own for own in load_catalogue(folder / "catalogue.yaml").labels if own.printed.publication == "labels"]
    application = load_catalogue(folder / "catalogue.yaml").applications["walk_in_medium"]
    difference = (application.coil_temperature_difference_k or 0.0) * 1.8
    sst = [float(text) for text in re.findall(r"^sst: \[(\d+) degF, (\d+) degF\]", written, re.MULTILINE)[0]]
    assert [int(text) for text in stated] == [round(own) for own in (difference, *(row + difference for row in sst))]
    assert [row * 1.8 - 459.67 for row in labels.sst_k] == pytest.approx(sst)


def test_a_folder_of_somebody_else_beside_it_stays(tmp_path):
    other = tmp_path / ".own.part" / "thesis.doc"
    other.parent.mkdir()
    other.write_text("years of work", encoding="utf-8")
    start_catalogue(tmp_path / "own", started_for="wholesaler")
    assert other.read_text(encoding="utf-8") == "years of work"
    assert sorted(path.name for path in tmp_path.iterdir()) == [".own.part", "own"]


def test_it_stands_alone(tmp_path, capsys):
    sizes = tmp_path / "sizes.csv"
    sizes.write_text("size,kv_m3h\n1,1\n", encoding="utf-8")
    for other in (["--sizes", str(sizes)], ["--without-valves"]):
        assert main(["init", str(tmp_path / "own"), "--for", "maker", *other]) == 2
        assert capsys.readouterr().err.startswith("--for: not with --sizes or --without-valves")
    assert not (tmp_path / "own").exists()


def test_a_school_has_the_notebooks_of_the_manual(tmp_path, capsys):
    folder = started(tmp_path / "own", "school", capsys) / "notebooks"
    manual = Path(tablegen.__file__).parent / "manual" / "notebooks"
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == {
        p.name: p.read_bytes() for p in manual.glob("*.ipynb")
    }


@pytest.mark.slow
@pytest.mark.parametrize("who", DOCUMENTS)
def test_a_start_is_built_as_it_is(who, tmp_path, capsys):
    folder = started(tmp_path / "own", who, capsys)
    assert main(["build", "--catalogue", str(folder), "--output", str(tmp_path / "output")]) == 0
    made = {path.name for path in (tmp_path / "output" / "own").glob("*.pdf")}
    assert made == DOCUMENTS[who]
