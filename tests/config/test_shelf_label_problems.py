"""Problems in a publication of labels: temperatures between rows, a grid beyond the paper, texts that do not fit."""

import shutil
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue

ROOT = Path(__file__).resolve().parents[2]
SHEET = "  label_width: 4 in\n"
CASES = {
    "between two rows": ("[14 degF, 24 degF]", "[14 degF, 23 degF]", "sst[1]", ("walk_in_medium", "22.0", "24.0")),
    "beyond the rows": ("[14 degF, 24 degF]", "[5 degF, 24 degF]", "sst[0]", ("nearest: 10.0 degF (-12.2 degC)",)),
    "not in order": ("[14 degF, 24 degF]", "[24 degF, 14 degF]", "sst", ("the first temperature must be below",)),
    "one temperature": ("[14 degF, 24 degF]", "[24 degF]", "sst", ("at least 2",)),
    "too wide": (SHEET, "  label_width: 110 mm\n", "sheet.columns", ("9.01 in (228.9 mm)", "8.50 in (215.9 mm)")),
    "too high": ("  rows: 4\n", "  rows: 5\n", "sheet.rows", ("13.00 in (330.2 mm)", "letter")),
    "beyond the sheet": ("  rows: 4\n", "  rows: 4\n  first: 9\n", "sheet.first", ("the sheet has 8 labels",)),
    "no unit": (SHEET, "  label_width: 4\n", "sheet.label_width", ("unit",)),
    "unknown group": ("R513A]", "R513B]", "groups[4]", ("did you mean R513A?",)),
    "unknown size": ("stock: [16,", "stock: [17,", "stock[0]", ("'17' is not allowed",)),
    "texts": ("  label_height: 2.5 in\n", "  label_height: 25 mm\n", "sheet", ("the label of size 16", "there is")),
}


@pytest.fixture
def labels(tmp_path, monkeypatch) -> Path:
    """The demo's file of labels, in a catalogue that prints nothing else."""
    shutil.copytree(ROOT / "configs", tmp_path / "configs")
    path = tmp_path / "configs" / "catalogue.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(
        text.replace("publications: [booklet, counter, counter_low, handout]", "publications: [labels]"), "utf-8"
    )
    monkeypatch.chdir(tmp_path)
    return tmp_path / "configs" / "publications" / "labels.yaml"


@pytest.mark.slow
def test_the_demo_has_labels_to_start_from(labels):
    [own] = load_catalogue(labels.parents[1] / "catalogue.yaml").labels
    assert own.sheet.columns * own.sheet.rows == 8 and own.sheet.label_width_m == pytest.approx(0.1016)
    assert main(["check", "--catalogue", "configs/catalogue.yaml"]) == 0


@pytest.mark.parametrize("case", CASES)
def test_a_problem_is_one_line(case, labels, capsys):
    old, new, key, parts = CASES[case]
    text = labels.read_text(encoding="utf-8")
    assert old in text
    labels.write_text(text.replace(old, new, 1), encoding="utf-8")
    assert main(["check", "--catalogue", "configs/catalogue.yaml"]) == 2
    [line] = capsys.readouterr().err.splitlines()
    assert line.startswith("configs/publications/labels.yaml:") and f": {key}: " in line
    for part in parts:
        assert part in line
