"""Problems in a publication's file, and in the catalogue that names it."""

import shutil
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.config import _printed_model

ROOT = Path(__file__).resolve().parents[2]
BOOKLET, COUNTER, HANDOUT = (f"publications/{name}.yaml" for name in ("booklet", "counter", "handout"))
CATALOGUE = "catalogue.yaml"

TWICE = "  - {paper: letter, units: IP}\n  - {paper: a4"
# File, text, what replaces it, text on the line that the message must name, key, parts of the message.
CASES = {
    "size that is not one": (
        COUNTER,
        "stock: [16,",
        "stock: [17,",
        "stock:",
        "stock[0]",
        ("'17' is not allowed", "11, 16"),
    ),
    "empty stock": (COUNTER, "stock: [16, 22, 32, 45, 90, 125]", "stock: []", "stock:", "stock", ("at least 1",)),
    "unknown family": (COUNTER, "family: alder", "family: aldr", "family:", "family", ("did you mean alder?",)),
    "unknown application": (
        COUNTER,
        "application: walk_in_medium",
        "application: walk_in_warm",
        "application:",
        "application",
        ("'walk_in_warm' is not allowed", "did you mean walk_in_"),
    ),
    "group that is left out": (
        COUNTER,
        "application: walk_in_medium",
        "application: walk_in_low",
        "groups:",
        "groups[3]",
        ("'R134a' is not allowed", "a group that the catalogue computes for this family and application"),
    ),
    "rule of a booklet that takes nothing": (
        BOOKLET,
        "    family: hazel\n    application: walk_in_low",
        "    family: rowan\n    application: walk_in_low",
        "  - group: R404A-R507A\n    family: rowan",
        "leave_out[1]",
        ("the rule leaves out nothing",),
    ),
    "rule of a booklet with another's name": (
        BOOKLET,
        "family: [rowan, larch]",
        "family: [rowan, lrch]",
        "    family: [rowan, lrch]",
        "leave_out[0].family[1]",
        ("did you mean larch?",),
    ),
    "the same print twice": (
        COUNTER,
        "  - {paper: letter, units: SI}",
        "  - {paper: letter, units: IP}",
        TWICE,
        "prints[1]",
        ("the same paper and units are listed twice",),
    ),
    "graphs of a counter chart": (
        COUNTER,
        "{paper: letter, units: SI}",
        "{paper: letter, units: SI, graph_files: true}",
        "  - {paper: letter, units: SI, graph_files: true}",
        "prints[1].graph_files",
        ("this kind of publication has no graphs",),
    ),
    "pixels of a counter chart": (
        COUNTER,
        "{paper: letter, units: SI}",
        "{paper: letter, units: SI, png_files: true}",
        "  - {paper: letter, units: SI, png_files: true}",
        "prints[1].png_files",
        ("this kind of publication has no graphs",),
    ),
    "the same print twice, with graphs": (
        BOOKLET,
        "  - {paper: letter, units: SI}",
        "  - {paper: letter, units: IP}",
        "  - {paper: letter, units: IP}",
        "prints[1]",
        ("the same paper and units are listed twice",),
    ),
    "a paper that is not one": (
        HANDOUT,
        "{paper: a4, units: SI}",
        "{paper: a5, units: SI}",
        "  - {paper: a5",
        "prints[3].paper",
        ("a5",),
    ),
    "publication that is not there": (
        CATALOGUE,
        "publications: [booklet, counter,",
        "publications: [booklet, counters,",
        "publications:",
        "publications[1]",
        ("did you mean counter?",),
    ),
    "unknown kind": (
        COUNTER,
        "kind: counter_chart",
        "kind: wall_chart",
        "kind:",
        "kind",
        ("'wall_chart' is not allowed",),
    ),
    "telephone too long": (
        COUNTER,
        'telephone: "555 0100"',
        'telephone: "555 0100 and ask for the man who knows about valves"',
        "telephone:",
        "telephone",
        ("at most 40",),
    ),
    "another name than the file": (
        COUNTER,
        "publication: counter",
        "publication: desk",
        "publication:",
        "publication",
        ("must be 'counter', the name of the file",),
    ),
    "key of another kind": (
        HANDOUT,
        "seed: 2026",
        "stock: [16]\nseed: 2026",
        "stock:",
        "stock",
        ("the key is not known", "class_label"),
    ),
    "electronic family": (
        HANDOUT,
        "family: alder",
        "family: hazel",
        "family:",
        "family",
        ("'hazel' is not allowed", "the thermostatic family must be one of alder, rowan"),
    ),
    "group that is not printed there": (
        HANDOUT,
        "application: walk_in_medium\ngroup: R448A-family",
        "application: walk_in_low\ngroup: R134a",
        "group:",
        "group",
        ("'R134a' is not allowed", "a group that the catalogue computes"),
    ),
    "application of a handout": (
        HANDOUT,
        "application: walk_in_medium",
        "application: walk_in_mediun",
        "application:",
        "application",
        ("did you mean walk_in_medium?",),
    ),
    "negative seed": (HANDOUT, "seed: 2026", "seed: -1", "seed:", "seed", ("-1 is not allowed", "at least 0")),
    "seed that is no number": (
        HANDOUT,
        "seed: 2026",
        "seed: class 2B",
        "seed:",
        "seed",
        ("'class 2B' is not allowed",),
    ),
    "class label too long": (
        HANDOUT,
        "class_label: Class 2B, fall term",
        f"class_label: {'2B ' * 20}",
        "class_label:",
        "class_label",
        ("at most 40",),
    ),
}


@pytest.fixture
def configs(tmp_path, monkeypatch) -> Path:
    shutil.copytree(ROOT / "configs", tmp_path / "configs")
    monkeypatch.chdir(tmp_path)
    return Path("configs")


@pytest.mark.parametrize("name", CASES)
def test_problem_of_a_publication_is_one_line_with_file_and_key(name, configs, capsys):
    file, old, new, at, key, parts = CASES[name]
    text = (configs / file).read_text(encoding="utf-8")
    assert old in text
    changed = text.replace(old, new, 1)
    (configs / file).write_text(changed, encoding="utf-8")
    assert main(["check", "--catalogue", str(configs / "catalogue.yaml")]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    number = changed[: changed.index(f"\n{at}") + 1].count("\n") + 1
    line = next(found for found in err.splitlines() if found.startswith(f"configs/{file}:{number}: {key}: "))
    for part in parts:
        assert part in line


def test_pixels_without_the_library_for_them_are_refused(configs, capsys, monkeypatch):
    monkeypatch.setattr(_printed_model, "find_spec", lambda name: None)
    path = configs / HANDOUT
    text = path.read_text(encoding="utf-8").replace("{paper: a4, units: IP}", "{paper: a4, units: IP, png_files: true}")
    path.write_text(text, encoding="utf-8")
    assert main(["check", "--catalogue", str(configs / CATALOGUE)]) == 2
    err = capsys.readouterr().err
    assert (
        "prints[2].png_files: True is not allowed; writing a PNG needs pypdfium2 (pip install 'tablegen[png]')" in err
    )


def test_a_publication_without_kind_is_refused(configs, capsys):
    path = configs / HANDOUT
    path.write_text(path.read_text(encoding="utf-8").replace("kind: handout\n", ""), encoding="utf-8")
    assert main(["check", "--catalogue", str(configs / CATALOGUE)]) == 2
    assert f"configs/{HANDOUT}:1: kind: the key is missing; it is required" in capsys.readouterr().err


def test_a_catalogue_may_print_nothing(configs, capsys):
    path = configs / CATALOGUE
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("publications: [booklet, counter, counter_low, handout]\n", ""), encoding="utf-8")
    assert main(["check", "--catalogue", str(path)]) == 0


def test_two_publications_never_share_a_file(configs, capsys):
    """The answers of a handout go to a file beside it, and a second print to one named after paper and units."""
    text = (configs / COUNTER).read_text(encoding="utf-8")
    for name in ("handout-answers", "Booklet-A4-SI"):
        (configs / "publications" / f"{name}.yaml").write_text(
            text.replace("publication: counter", f"publication: {name}"), encoding="utf-8"
        )
    path = configs / CATALOGUE
    named = path.read_text(encoding="utf-8").replace("handout]", "handout, handout-answers, Booklet-A4-SI]")
    path.write_text(named, encoding="utf-8")
    assert main(["check", "--catalogue", str(path)]) == 2
    err = capsys.readouterr().err
    assert (
        "handout-answers.yaml:2: publication: 'handout-answers' is not allowed; the publication handout writes" in err
    )
    assert "Booklet-A4-SI.yaml:2: publication: 'Booklet-A4-SI' is not allowed; the publication booklet writes" in err
