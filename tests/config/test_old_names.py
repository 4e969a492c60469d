"""Keys, values and folders with the names that they had before are refused with the name of today, in one line."""

import shutil
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.config._input_files import OLD_FOLDERS
from tablegen.config._validation import OLD_KEYS, OLD_VALUES
from tests.small import DEMO
from tests.worked import copy_of_worked

MEDIUM, ALDER, CATALOGUE = "applications/walk_in_medium.yaml", "families/alder.yaml", "catalogue.yaml"
HAZEL, LARCH, COUNTER = "families/hazel.yaml", "families/larch.yaml", "publications/counter.yaml"
# File, key of today where it is first written, its old name, and the whole key in the message.
OLD = [
    (MEDIUM, "application", "envelope", "envelope"),
    (CATALOGUE, "applications", "envelopes", "envelopes"),
    (COUNTER, "publication", "edition", "edition"),
    (CATALOGUE, "publications", "editions", "editions"),
    (CATALOGUE, "company", "house", "house"),
    (CATALOGUE, "part_numbers: part_numbers.csv", "articles", "articles"),
    (COUNTER, "wholesaler", "house", "house"),
    (COUNTER, "wholesaler", "company", "company"),
    ("company.yaml", "name: Quillmere", "company", "company"),
    (MEDIUM, "maximum: 10 delta_degF", "greatest", "superheat.greatest"),
    (ALDER, "minimum: 0 degF", "least", "charges[0].evaporating_range.least"),
    (MEDIUM, "minimum: 10 degF", "coldest", "suction.sst_range.coldest"),
    (MEDIUM, "maximum: 40 degF", "warmest", "suction.sst_range.warmest"),
    (MEDIUM, "sst_range", "saturated_temperatures", "suction.saturated_temperatures"),
    (MEDIUM, "example_sst", "printed_example", "suction.printed_example"),
    (MEDIUM, "minimum_stable", "least_stable", "superheat.least_stable"),
    (ALDER, "minimum_stable", "least_stable", "opening.least_stable"),
    (ALDER, "minimum_static_superheat", "least_static_superheat", "charges[0].least_static_superheat"),
    (HAZEL, "minimum_steps: 60", "least_steps", "least_steps"),
    (LARCH, "minimum_duty", "least_duty", "least_duty"),
    (LARCH, "maximum_duty", "greatest_duty", "greatest_duty"),
    (MEDIUM, "minimum_capacity", "least_capacity", "compressor.least_capacity"),
    (MEDIUM, "re_expansion_exponent", "exponent", "compressor.exponent"),
    (MEDIUM, "return_gas_superheat", "return_superheat", "compressor.return_superheat"),
    (MEDIUM, "discharge_line_loss", "discharge_loss", "compressor.discharge_loss"),
]
RARE = {"least_stable_line": "minimum_stable_line", "company": "name"}


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    copy_of_worked(tmp_path / "configs")
    shutil.copytree(DEMO / "refrigerants", tmp_path / "configs" / "refrigerants")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "configs"


def refused(capsys: pytest.CaptureFixture[str]) -> list[str]:
    assert main(["check", "--catalogue", "configs/catalogue.yaml"]) == 2
    return capsys.readouterr().err.splitlines()


@pytest.mark.parametrize(("file", "today", "old", "key"), OLD, ids=[f"{file}: {old}" for file, _, old, _ in OLD])
def test_an_old_key_is_refused_with_the_key_of_today(file, today, old, key, folder, capsys):
    path = folder / file
    text = path.read_text(encoding="utf-8")
    name = today.partition(":")[0]
    at = next(
        i for i in range(len(text)) if text.startswith(today, i) and text[i - 1] in "\n {" and ":" in text[i:][:40]
    )
    at = text.index(f"{name}:", at)
    path.write_text(f"{text[:at]}{old}{text[at + len(name) :]}", encoding="utf-8")
    (line,) = refused(capsys)
    assert (
        line
        == f"configs/{file}:{text[:at].count(chr(10)) + 1}: {key}: the key is now called {name}; 'tablegen upgrade' renames it"
    )


def test_every_old_key_is_tried():
    tried = {(old, today.partition(":")[0]) for _, today, old, _ in OLD} | set(RARE.items())
    assert {(old, new) for old, names in OLD_KEYS.items() for new in names} == tried


@pytest.mark.parametrize("old", OLD_VALUES)
def test_an_old_value_is_refused_with_the_value_of_today(old, folder, capsys):
    path = folder / (MEDIUM if old == "held" else CATALOGUE)
    text = path.read_text(encoding="utf-8")
    today = {"held": "response: constant", "confident": "tables: nominal"}[old]
    assert today in text
    path.write_text(text.replace(today, f"{today.partition(':')[0]}: {old}"), encoding="utf-8")
    (line,) = refused(capsys)
    assert line.endswith(f"{old!r} is not allowed; it is now called {OLD_VALUES[old]!r}; 'tablegen upgrade' renames it")


@pytest.mark.parametrize("old", OLD_FOLDERS)
def test_an_old_folder_is_refused_with_the_name_of_today(old, folder, capsys):
    (folder / OLD_FOLDERS[old]).rename(folder / old)
    (line,) = (own for own in refused(capsys) if old in own)
    assert (
        line
        == f"configs/{old}: the folder is not read; its name is now {OLD_FOLDERS[old]}; 'tablegen upgrade' renames it"
    )
