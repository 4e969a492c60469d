"""The same files on a machine of another language, clock, home or folder, and names that other systems refuse."""

from __future__ import annotations

import ast
import functools
import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

import tablegen
from tablegen import TablegenError
from tablegen.config._input_files import shown_name
from tablegen.config.fields import DEVICE
from tablegen.config.loader import load_catalogue
from tablegen.errors import ConfigError, FileProblem, OutputError
from tablegen.files import replace_folder, zip_entry
from tablegen.web.error_lines import lines_of
from tablegen.web.questions import Desk
from tablegen.wording import config_errors
from tests.processes import environment
from tests.small import small_catalogue

PACKAGE = Path(tablegen.__file__).parent
WRITERS = ("open", "write_text", "TextIOWrapper", "to_csv")
READERS = ("read_text", "fdopen")
ASCII = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
MACHINES = {
    "ascii": ASCII,
    "no_home": {"HOME": os.devnull, "USERPROFILE": os.devnull},
    "turkish_in_2100": {"LC_ALL": "tr_TR.UTF-8", "TZ": "Pacific/Kiritimati", "SOURCE_DATE_EPOCH": "4102444800"},
    "german_in_1970": {"LC_ALL": "de_DE.UTF-8", "TZ": "America/Adak", "SOURCE_DATE_EPOCH": "0"},
}
# Words that are no ASCII, spaces, and a path of more than 200 characters.
DEEP = "/".join(["Übung mit Leerzeichen Ωμέγα"] + 4 * ["d" * 50])
PICK = [
    "pick",
    "R404A",
    "--sst",
    "24F",
    "--load",
    "20kBtu/h",
    "--application",
    "walk_in_medium",
    "--json",
    "--output",
    "answer.pdf",
    "--csv",
    "answer.csv",
]


def run(folder: Path, arguments: list[str], **own: str) -> dict[str, bytes]:
    """What a command prints and writes."""
    done = subprocess.run(
        [sys.executable, "-m", "tablegen", *arguments],
        cwd=folder,
        env=environment(**own),
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr.decode(errors="replace")
    written = (path for path in folder.rglob("*") if path.is_file() and "configs" not in path.parts)
    return {"": done.stdout, **{path.relative_to(folder).as_posix(): path.read_bytes() for path in written}}


@pytest.fixture(scope="module")
def here(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return run(tmp_path_factory.mktemp("here"), [*PICK, "--demo"])


@pytest.mark.parametrize("machine", MACHINES)
def test_an_answer_has_the_same_bytes_on_another_machine(machine, here, tmp_path):
    folder = tmp_path / DEEP
    folder.mkdir(parents=True)
    other = run(folder, [*PICK, "--demo"], **MACHINES[machine])
    assert other.keys() == here.keys() == {"", "answer.pdf", "answer.csv"}
    assert [name for name in here if name and other[name] != here[name]] == []


@pytest.mark.slow
@pytest.mark.parametrize("machine", MACHINES)
def test_a_build_has_the_same_bytes_on_another_machine(machine, tmp_path):
    made = []
    for name, own in (("here", {}), (DEEP, MACHINES[machine])):
        folder = tmp_path / name
        path = small_catalogue(folder / "configs", ["alder"], {"pair": ("R404A", "R507A")}, ["walk_in_medium"])
        for config in path.parent.rglob("*"):
            # A file may come from an archive without a date.
            os.utime(config, (0, 0))
        made.append(run(folder, ["build", "--catalogue", "configs/catalogue.yaml"], **own))
    assert len(made[0]) > 20
    assert made[0].keys() == made[1].keys()
    assert [name for name in made[0] if name and made[0][name] != made[1][name]] == []


@functools.cache
def calls() -> list[tuple[str, str, ast.Call]]:
    """Every call of the package by file and line, and the name of what is called."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                name = getattr(node.func, "attr", getattr(node.func, "id", ""))
                found.append((f"{path.relative_to(PACKAGE).as_posix()}:{node.lineno}", name, node))
    return found


@pytest.mark.slow
def test_text_files_have_an_encoding_and_ends_of_line_of_their_own():
    """Those of the system would differ; a file that is opened in binary has neither, nor have our own functions."""
    found = []
    for place, name, call in calls():
        given = {word.arg for word in call.keywords}
        modes = {own.value for own in call.args if isinstance(own, ast.Constant) and isinstance(own.value, str)}
        is_method = isinstance(call.func, ast.Attribute)
        if (
            name in ("open", *READERS, *WRITERS)
            and is_method
            and not any(re.fullmatch("[rwax]b", own) for own in modes)
        ):
            found.append((place, ast.unparse(call), given))
    # An image, an entry of an archive, and a descriptor of the system are no text files.
    found = [own for own in found if not re.match(r"(Image|os|self\.archive)\.", own[1])]
    assert len(found) > 10
    assert [own[:2] for own in found if "encoding" not in own[2]] == []
    written = [
        own for own in found if re.search(rf"\b({'|'.join(WRITERS[1:3])})\(", own[1]) and "BytesIO" not in own[1]
    ]
    assert [own[:2] for own in written if "newline" not in own[2]] == []


@pytest.mark.slow
def test_an_archive_is_the_same_on_another_system(monkeypatch):
    entries = []
    for system in ("linux", "win32"):
        monkeypatch.setattr(sys, "platform", system)
        entries.append(zip_entry("a/b.yaml"))
    assert entries[0].date_time == entries[1].date_time == (1980, 1, 1, 0, 0, 0)
    assert entries[0].create_system == entries[1].create_system
    made = [place for place, name, _ in calls() if name == "ZipInfo"]
    assert [place.partition(":")[0] for place in made] == ["files.py"]
    assert [own for own in calls() if own[1] == "writestr" and "zip_entry" not in ast.unparse(own[2])] == []
    assert zipfile.ZipInfo("x").create_system == 0


def test_a_file_on_another_drive_is_named_whole(monkeypatch, tmp_path):
    def no_way(path: object, start: object = None) -> str:
        raise ValueError("path is on mount 'D:', start on mount 'C:'")

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(os.path, "relpath", no_way)
    assert shown_name(tmp_path / "configs" / "catalogue.yaml") == "configs/catalogue.yaml"
    assert shown_name(tmp_path / "..configs" / "a.yaml") == "..configs/a.yaml"
    assert shown_name(tmp_path.parent / "catalogue.yaml") == str(tmp_path.parent / "catalogue.yaml")


def test_the_desk_names_no_folder_where_folders_are_separated_otherwise(monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my-valves").mkdir()
    (tmp_path / "my-valves" / "catalogue.yaml").touch()
    monkeypatch.setattr(os, "sep", "\\")
    desk = Desk("my-valves/catalogue.yaml")
    error = ConfigError([FileProblem("my-valves/families/alder.yaml", 3, "kv", config_errors.NAME_CHARACTERS())])
    assert lines_of(error, desk)[0].startswith("families/alder.yaml:3: kv: ")


@pytest.mark.parametrize("name", ["con", "NUL", "aux.wide", "Com1", "lpt9"])
def test_no_file_has_the_name_of_a_device(name, tmp_path):
    path = small_catalogue(
        tmp_path / "configs",
        ["alder"],
        {"pair": ("R404A", "R507A")},
        ["walk_in_medium"],
        [
            ("publications/booklet.yaml", "publication: booklet", f"publication: {name}"),
            ("company.yaml", "documents: {booklet:", f"documents: {{{name}:"),
        ],
        more=f"publications: [{name}]\n",
    )
    (path.parent / "publications" / "booklet.yaml").rename(path.parent / "publications" / f"{name}.yaml")
    with pytest.raises(
        ConfigError, match=f"publication: '{re.escape(name)}' is not allowed; Windows uses this name for a device"
    ):
        load_catalogue(path)
    sheet = tmp_path / "sizes.csv"
    sheet.write_text("size;Kv [L/h]\n1;10\n", encoding="utf-8")
    with pytest.raises(
        TablegenError, match=f"family: '{re.escape(name)}' is not allowed; Windows uses this name for a device"
    ):
        tablegen.import_tables(sheet, family=name, catalogue=path)


def test_names_that_only_begin_like_a_device_are_allowed():
    assert not any(map(DEVICE.fullmatch, ("console", "com10", "auxiliary", "counter", "lpt", "my.con")))


def test_an_output_that_another_program_has_open_stays(monkeypatch, tmp_path, capsys):
    """Windows moves no folder of which a file is open."""
    folder = tmp_path / "demo"
    folder.mkdir()
    (folder / "manifest.json").write_text("earlier", encoding="utf-8")

    def held(self: Path, target: Path) -> Path:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr("tablegen.files._exchange", lambda first, second: False)
    monkeypatch.setattr(Path, "rename", held)
    with pytest.raises(OutputError, match=r"demo.*Permission denied"), replace_folder(folder) as stage:
        (stage / "manifest.json").write_text("new", encoding="utf-8")
    assert (folder / "manifest.json").read_text(encoding="utf-8") == "earlier"
    assert os.listdir(tmp_path) == ["demo"]


def test_settings_in_the_users_home_change_nothing(tmp_path, here):
    (tmp_path / ".reportlab_mods").write_text("raise SystemExit('modified')\n", encoding="utf-8")
    (tmp_path / ".reportlab_settings").write_text("pageCompression = 0\n", encoding="utf-8")
    assert run_with_home(tmp_path)["answer.pdf"] == here["answer.pdf"]


def run_with_home(home: Path) -> dict[str, bytes]:
    folder = home / "work"
    folder.mkdir()
    return run(folder, [*PICK, "--demo"], HOME=str(home), USERPROFILE=str(home))
