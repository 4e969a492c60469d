"""A catalogue with the names of before the first release is brought to today's format, and to nothing but that."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.config._catalogue_model import FORMAT
from tablegen.config._input_files import OLD_FOLDERS
from tablegen.config._validation import OLD_KEYS, OLD_VALUES
from tablegen.config.loader import load_catalogue
from tablegen.files import locked
from tests.config.test_old_names import CATALOGUE, COUNTER, MEDIUM, OLD
from tests.small import DEMO
from tests.worked import copy_of_worked

# What only some refrigerants have, by a key and a value with old names.
OWN_KEYS = "  R22:\n    superheat:\n      # Own.\n      greatest: 9 delta_degF\n    suction: {response: held}\n"


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    copy_of_worked(tmp_path / "configs")
    shutil.copytree(DEMO / "refrigerants", tmp_path / "configs" / "refrigerants")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "configs"


def files_in(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def age(folder: Path) -> None:
    """Give every key that had another name before the first release that name, and folders and the list's column."""
    for file, today, old, _ in OLD:
        if (file, old) == (COUNTER, "company"):  # a second old name of a key that has one already
            continue
        path, name = folder / file, today.partition(":")[0]
        text = path.read_text(encoding="utf-8")
        written = rf"(?m)((?:^|[{{,])[ ]*)(?={re.escape(today)}){re.escape(name)}(?=:)"
        text, count = re.subn(written, rf"\g<1>{old}", text, count=1)
        assert count, (file, name)
        path.write_text(text, encoding="utf-8")
    medium = folder / MEDIUM
    text = medium.read_text(encoding="utf-8").replace("response: constant", "response: held")
    medium.write_text(text + OWN_KEYS, encoding="utf-8")
    catalogue = folder / CATALOGUE
    text = catalogue.read_text(encoding="utf-8").replace("tables: nominal}", "tables: confident}")
    catalogue.write_text(text, encoding="utf-8")
    numbers = folder / "part_numbers.csv"
    numbers.write_text(numbers.read_text(encoding="utf-8").replace("part_number,", "Article,", 1), encoding="utf-8")
    for old, new in OLD_FOLDERS.items():
        (folder / new).rename(folder / old)


def test_every_old_name_becomes_that_of_today_and_nothing_else_changes(folder, capsys):
    wanted = files_in(folder)
    wanted[MEDIUM] += OWN_KEYS.replace("greatest", "maximum").replace("held", "constant").encode()
    wanted[CATALOGUE] = (
        wanted[CATALOGUE]
        .replace(b"tables: nominal}", b"tables: at_confidence}")
        .replace(b"catalogue: demo\n", b"catalogue: demo\nformat: 1\n")
    )
    age(folder)
    report = tablegen.upgrade(folder)
    assert report.problems == ()
    assert files_in(folder) == wanted
    assert {(own.was, own.now) for own in report.renamings if own.is_value} == set(OLD_VALUES.items())
    assert main(["check", "--catalogue", "configs"]) == 0
    again = tablegen.upgrade(folder)
    assert again.is_current
    assert again.files == ()
    assert main(["upgrade", "--catalogue", "configs"]) == 0
    assert f"format {FORMAT}, the format of this version; nothing to change" in capsys.readouterr().out


@pytest.mark.slow
def test_a_dry_run_lists_each_change_and_writes_nothing(folder, capsys):
    age(folder)
    before = files_in(folder)
    assert main(["upgrade", "--catalogue", "configs", "--dry-run"]) == 0
    out = capsys.readouterr().out
    assert files_in(folder) == before
    assert "configs/catalogue.yaml: format 1 added\n" in out
    assert re.search(r"configs/envelopes/walk_in_medium\.yaml:\d+: superheat\.greatest -> maximum\n", out)
    assert re.search(r"configs/envelopes/walk_in_medium\.yaml:\d+: suction\.response: held -> constant\n", out)
    assert "configs/part_numbers.csv:1: column Article -> part_number\n" in out
    assert "configs/editions -> publications\n" in out
    (difference,) = (
        own for file, own in tablegen.upgrade(folder, dry_run=True).differences.items() if file == CATALOGUE
    )
    assert "\n-envelopes: [" in difference
    assert "\n+applications: [" in difference


@pytest.mark.slow
def test_bytes_that_no_name_is_in_stay(folder):
    age(folder)
    path = folder / "families" / "alder.yaml"
    with_marks = b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n")
    path.write_bytes(with_marks)
    tablegen.upgrade(folder)
    made = path.read_bytes()
    assert made.startswith(b"\xef\xbb\xbf")
    assert made.count(b"\r\n") == made.count(b"\n") == with_marks.count(b"\n")


@pytest.mark.slow
def test_a_second_run_at_the_same_time_is_one_line_and_changes_nothing(folder, capsys):
    age(folder)
    before = files_in(folder)
    with locked(folder / ".catalogue.yaml.lock", "not alone"):
        assert main(["upgrade", "--catalogue", "configs", "--dry-run"]) == 0
        capsys.readouterr()
        assert main(["upgrade", "--catalogue", "configs"]) == 2
        [line] = capsys.readouterr().err.splitlines()
        assert line == (
            "configs/catalogue.yaml: another upgrade is changing the files of this catalogue; "
            "run upgrade again when it has ended"
        )
    assert files_in(folder) == before
    assert main(["upgrade", "--catalogue", "configs"]) == 0


@pytest.mark.slow
def test_an_interrupted_run_says_that_another_finishes_it(folder, capsys, monkeypatch):
    age(folder)
    replaced = []

    inner = Path.replace

    def interrupted(part, target):
        if len(replaced) == 3:
            raise KeyboardInterrupt
        replaced.append(target)
        return inner(part, target)

    with monkeypatch.context() as patched:
        patched.setattr(Path, "replace", interrupted)
        assert main(["upgrade", "--catalogue", "configs"]) == 130
    assert capsys.readouterr().err == (
        "interrupted; some of the catalogue's files may be changed and others not: run upgrade again to finish\n"
    )
    assert main(["upgrade", "--catalogue", "configs"]) == 0
    assert main(["check", "--catalogue", "configs"]) == 0


@pytest.mark.slow
def test_what_a_new_name_does_not_fix_is_listed(folder, capsys):
    age(folder)
    path = folder / "families" / "hazel.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("least_steps: 60", "least_steps: 6000"), encoding="utf-8")
    assert main(["upgrade", "--catalogue", "configs"]) == 1
    out, err = capsys.readouterr()
    assert "no problem found" not in out
    assert err.splitlines()[0].endswith("remains that renaming does not fix:")
    assert "configs/families/hazel.yaml:" in err


def test_one_file_that_cannot_be_read_leaves_all_as_they_are(folder, capsys):
    age(folder)
    (folder / "families" / "hazel.yaml").write_text("family: [hazel\n", encoding="utf-8")
    (folder / "groups.yaml").write_text("groups: {a: 1, a: 2}\n", encoding="utf-8")
    before = files_in(folder)
    assert main(["upgrade", "--catalogue", "configs"]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 2
    assert files_in(folder) == before


def test_a_file_of_a_later_format_is_refused(folder, capsys):
    path = folder / CATALOGUE
    path.write_text(f"format: {FORMAT + 1}\n" + path.read_text(encoding="utf-8"), encoding="utf-8")
    said = f"configs/catalogue.yaml:1: format: {FORMAT + 1} is not allowed; this version of tablegen reads format {FORMAT}; use a later version\n"
    for command in ("check", "upgrade", "build"):
        assert main([command, "--catalogue", "configs"]) == 2
        assert capsys.readouterr().err == said


@pytest.mark.parametrize("written", ["1.0", "'1'", "true", "0"])
def test_a_format_that_is_no_number_of_one_is_refused(written, folder, capsys):
    path = folder / CATALOGUE
    path.write_text(f"format: {written}\n" + path.read_text(encoding="utf-8"), encoding="utf-8")
    assert main(["check", "--catalogue", "configs"]) == 2
    assert capsys.readouterr().err.startswith("configs/catalogue.yaml:1: format: ")


def test_the_demo_is_not_changed(capsys):
    assert main(["upgrade", "--demo"]) == 2
    assert "your own" in capsys.readouterr().err


def test_what_the_tool_starts_has_the_format_of_today(tmp_path):
    assert load_catalogue(DEMO / CATALOGUE)
    for start in (None, "maker", "school", "wholesaler"):
        folder = tmp_path / str(start)
        given = [] if start is None else ["--for", start]
        assert main(["init", str(folder), *given]) == 0
        assert re.search(rf"(?m)^format: {FORMAT}$", (folder / CATALOGUE).read_text(encoding="utf-8"))


def test_every_old_key_is_among_those_that_are_tried():
    assert {old for _, _, old, _ in OLD} | {"least_stable_line"} == set(OLD_KEYS)


def changed(folder: Path, file: str, old: str, new: str) -> None:
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        (MEDIUM, "sst_range: {minimum: 10 degF", 'sst_range: {"coldest":10 degF'),
        (MEDIUM, "response: constant", "response: >-\n    held"),
        (CATALOGUE, "title: Expansion", "title: >-\n  Expansion"),
        (CATALOGUE, "catalogue: demo\n", "catalogue: demo\nformat:\n"),
    ],
)
def test_every_form_of_yaml_that_is_usual_is_changed(file, old, new, folder):
    changed(folder, file, old, new)
    report = tablegen.upgrade(folder)
    assert report.problems == ()
    assert tablegen.upgrade(folder).is_current


def test_a_form_that_cannot_be_changed_is_one_line_and_leaves_all_as_they_are(folder, capsys):
    changed(folder, MEDIUM, "minimum: 10 degF", '"cold\\x65st": 10 degF')
    before = files_in(folder)
    assert main(["upgrade", "--catalogue", "configs"]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert re.match(r"configs/applications/walk_in_medium\.yaml:\d+: suction\.sst_range\.coldest: .*in an editor", line)
    assert files_in(folder) == before


def test_a_key_under_both_names_is_reported_by_both(folder, capsys):
    changed(folder, MEDIUM, "minimum: 10 degF", "coldest: 10 degF, minimum: 10 degF")
    assert main(["upgrade", "--catalogue", "configs"]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert "suction.sst_range.coldest: the key is now called minimum, which is there too (line" in line


def test_an_old_folder_beside_the_new_one_is_for_the_user_to_empty(folder, capsys):
    (folder / "editions").mkdir()
    assert main(["check", "--catalogue", "configs"]) == 2
    assert "move its files into publications and delete it" in capsys.readouterr().err
    assert main(["upgrade", "--catalogue", "configs"]) == 1
    assert (folder / "editions").is_dir()


@pytest.mark.parametrize("text", ["{}\n", "groups: {a: {title: A, members: [R404A]}}\n"])
def test_a_file_that_is_no_catalogue_stays_as_it_is(text, folder, capsys):
    path = folder / "groups.yaml"
    path.write_text(text, encoding="utf-8")
    assert main(["upgrade", "--catalogue", str(path)]) == 2
    assert "no catalogue file" in capsys.readouterr().err or text == "{}\n"
    assert path.read_text(encoding="utf-8") == text


def test_nothing_outside_the_folder_is_changed(folder, capsys):
    outside = folder.parent / "company.yaml"
    outside.write_text("company: Elsewhere\n", encoding="utf-8")
    changed(folder, CATALOGUE, "company: company.yaml", "company: ../company.yaml")
    assert main(["upgrade", "--catalogue", "configs"]) == 1
    assert outside.read_text(encoding="utf-8") == "company: Elsewhere\n"
