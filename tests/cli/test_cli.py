"""The command line: what it says, what it refuses, and how quick and quiet it is."""

import re
import shutil
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest

from tablegen import __version__
from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tests.processes import environment

ROOT = Path(__file__).resolve().parents[2]
COMMANDS = ("build", "check", "init")
HEAVY = ("CoolProp", "pandas", "fontTools", "reportlab", "numpy", "pint", "pydantic", "scipy")


def run(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *arguments], cwd=cwd, env=environment(), capture_output=True, text=True, check=False
    )


def test_help_names_every_command(capsys):
    with pytest.raises(SystemExit) as caught:
        main(["--help"])
    assert caught.value.code == 0
    shown = capsys.readouterr().out
    for command in COMMANDS:
        assert f"    {command} " in shown
    assert "Exit codes" in shown


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_has_help(command, capsys):
    with pytest.raises(SystemExit) as caught:
        main([command, "--help"])
    assert caught.value.code == 0
    assert capsys.readouterr().out.startswith(f"usage: tablegen {command}")


def test_version(capsys):
    with pytest.raises(SystemExit):
        main(["--version"])
    assert capsys.readouterr().out == f"tablegen {__version__}\n"


@pytest.mark.parametrize("arguments", [[], ["biuld"], ["init"], ["check", "--shout"]])
def test_wrong_arguments_give_2(arguments, capsys):
    with pytest.raises(SystemExit) as caught:
        main(arguments)
    assert caught.value.code == 2
    assert "usage: tablegen" in capsys.readouterr().err


def test_help_imports_nothing_heavy(tmp_path):
    code = (
        "import sys\nfrom tablegen.cli.main import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\n"
        f"print([m for m in {HEAVY!r} if m in sys.modules], file=sys.stderr)\n"
    )
    done = run("-c", code, cwd=tmp_path)
    assert done.stderr == "[]\n"
    assert "usage: tablegen" in done.stdout


def test_check_says_that_a_sound_catalogue_is_sound(monkeypatch, capsys):
    monkeypatch.chdir(ROOT)
    assert main(["check"]) == 0
    out, err = capsys.readouterr()
    assert out.startswith("configs/catalogue.yaml: no errors; ")
    assert out.count("\n") == 1
    # The subcooler of the demo's riser makes liquid colder than the evaporator at the warmest SST.
    [note] = err.splitlines()
    assert note.startswith("note: walk_in_medium_lift, R404A: at low head the liquid enters the valve at 38.0 degF")


def test_check_takes_a_folder(monkeypatch, capsys):
    monkeypatch.chdir(ROOT)
    assert main(["check", "--catalogue", "configs"]) == 0
    assert "configs/catalogue.yaml: no errors" in capsys.readouterr().out


def test_a_spreadsheet_is_no_catalogue(tmp_path, capsys):
    (tmp_path / "stock.xlsx").write_bytes(b"PK")
    assert main(["check", "--catalogue", str(tmp_path / "stock.xlsx")]) == 2
    assert "stock.xlsx: a catalogue is a YAML file; a stock sheet goes with --stock" in capsys.readouterr().err


def test_a_unit_without_quotes_is_said_so(capsys):
    with pytest.raises(SystemExit) as ended:
        main(["pick", "R404A", "--load", "20", "kBtu/h", "--box", "35F", "--demo"])
    assert ended.value.code == 2 and "use quotes: '20 kBtu/h'" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["build", "check"])
def test_missing_catalogue_points_at_init(command, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main([command]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("configs/catalogue.yaml: the file does not exist")
    assert "tablegen init DIR" in err
    assert "tablegen build --demo" in err
    assert list(tmp_path.iterdir()) == []


def test_in_a_catalogues_folder_it_is_the_one_that_is_meant(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(["init", "mine", "--without-valves"]) == 0
    monkeypatch.chdir(tmp_path / "mine")
    capsys.readouterr()
    assert main(["check"]) == 2  # it has no families yet
    assert capsys.readouterr().err.startswith("catalogue.yaml:")


def test_init_copies_configs_that_pass_the_check(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(["init", "mine"]) == 0
    assert "tablegen build --catalogue mine/catalogue.yaml" in capsys.readouterr().out
    assert [p.name for p in tmp_path.iterdir()] == ["mine"]
    assert main(["check", "--catalogue", "mine/catalogue.yaml"]) == 0
    assert "no errors" in capsys.readouterr().out


def test_init_takes_an_empty_folder_and_leaves_a_full_one(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    Path("empty").mkdir()
    assert main(["init", "empty"]) == 0
    Path("full").mkdir()
    Path("full/note.txt").write_text("mine", encoding="utf-8")
    capsys.readouterr()
    assert main(["init", "full"]) == 2
    assert capsys.readouterr().err == "full: not written, because it exists and is not empty; name a new folder\n"
    assert [p.name for p in Path("full").iterdir()] == ["note.txt"]


def test_init_over_a_file_is_refused(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    Path("taken").write_text("mine", encoding="utf-8")
    assert main(["init", "taken"]) == 2
    assert capsys.readouterr().err.startswith("taken: not written")
    assert Path("taken").read_text(encoding="utf-8") == "mine"


def csv_of(rows: list[list[object]]) -> Path:
    path = Path("sizes.csv")
    path.write_text("".join(",".join(map(str, row)) + "\n" for row in rows), encoding="utf-8")
    return path


def xlsx_of(rows: list[list[object]]) -> Path:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    book.save("sizes.xlsx")
    return Path("sizes.xlsx")


@pytest.mark.parametrize("write", [csv_of, xlsx_of])
@pytest.mark.parametrize(
    "rows",
    [
        [["size", "kv_m3h"], [12, 0.012], [30, 0.03]],
        [["note", "Size", "cv_us_gal_min"], ["b", 30, 0.03 * 1.156], ["a", 12, 0.012 * 1.156]],
    ],
)
def test_init_with_sizes(write, rows, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(["init", "mine", "--sizes", str(write(rows))]) == 0, capsys.readouterr().err
    said = capsys.readouterr().out
    assert (
        "the sizes are in families/alder.yaml" in said and "hazel, juniper, larch and rowan are the demo's too" in said
    )
    families = load_catalogue(Path("mine/catalogue.yaml")).families
    # The first takes them, the others stay as examples of their kinds.
    family = families["alder"]
    assert len(families["hazel"].sizes) == 7
    assert [s.name for s in family.sizes] == ["12", "30"]
    assert [s.kv_rated_m3h for s in family.sizes] == pytest.approx([0.012, 0.03], rel=1e-5)


@pytest.mark.parametrize("write", [csv_of, xlsx_of])
@pytest.mark.parametrize(
    ("rows", "place", "part"),
    [
        ([["size", "kv_m3h"], [12, 0.012], [30, "large"]], ":3: ", "'large' is not allowed; must be a number"),
        ([["size", "kv_m3h"], [12, 0.012], [30, -1]], ":3: ", "must be at least 0.0001 and at most 1000"),
        ([["size", "kv_m3h"], ["a☃", 0.012]], ":2: ", "size 'a☃' is not allowed"),
        ([["size", "kv_m3"], [12, 0.012]], ":1: header: ", "did you mean kv_m3h?"),
        ([["size", "kv_m3h"], [12, 0.012], [12, 0.03]], ":3: ", "size 12 is not allowed; line 2 already gives it"),
        ([["size", "kv_m3h"], [12, 0.012], [13, 0.012]], ":3: ", "0.012 is not allowed; line 2 already gives it"),
        ([["size", "kv_m3h"]], ": ", "0 sizes is not allowed; must be at least 1"),
    ],
)
def test_init_with_bad_sizes_writes_nothing(write, rows, place, part, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    path = write(rows)
    assert main(["init", "mine", "--sizes", str(path)]) == 2
    err = capsys.readouterr().err
    assert err.startswith(f"{path}{place}")
    assert part in err
    assert err.count("\n") == 1
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize(
    ("name", "content", "part"),
    [
        ("sizes.csv", None, "the file does not exist"),
        ("sizes.txt", b"size\n", ".txt is not allowed; must be .csv or .xlsx"),
        ("sizes.xlsx", b"no workbook", "the file cannot be read"),
        ("sizes.csv", b"size,kv_m3h\n\xb0,1\n", "the file cannot be read"),
        ("sizes.csv", b"", "the first row must name 'size'"),
    ],
)
def test_init_with_a_sizes_file_that_cannot_be_read(name, content, part, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    if content is not None:
        Path(name).write_bytes(content)
    assert main(["init", "mine", "--sizes", name]) == 2
    err = capsys.readouterr().err
    assert err.startswith(name)
    assert part in err
    assert err.count("\n") == 1
    assert not Path("mine").exists()


@pytest.mark.slow
def test_build_is_quiet_in_a_pipe(tmp_path):
    """A catalogue of one part, so that it is quick."""
    shutil.copytree(ROOT / "configs", tmp_path / "configs")
    path = tmp_path / "configs" / "catalogue.yaml"
    text = path.read_text(encoding="utf-8")
    head, rest = text[: text.index("groups:")], text[text.index("revisions:") :]
    some = "groups: [R134a]\napplications: [walk_in_medium]\npublications: [counter]\n"
    path.write_text(f"{head}{some}{rest}", encoding="utf-8")
    chart = tmp_path / "configs" / "publications" / "counter.yaml"
    groups = re.sub(r"groups: .*", "groups: [R134a]", chart.read_text(encoding="utf-8"))
    chart.write_text(re.sub(r"(?m)^  - \{paper: (?!a4, units: SI).*\n", "", groups), encoding="utf-8")
    done = run("-m", "tablegen", "build", "--catalogue", "configs/catalogue.yaml", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert all(line.startswith("note: ") for line in done.stderr.splitlines())
    for mark in ("\r", "\x1b", "█", "it/s", "part/s", "%|"):
        assert mark not in done.stderr + done.stdout
    first, second, third, fourth = done.stdout.splitlines()
    assert first.startswith("output/demo: ") and " windows of single refrigerants (" in first
    assert second == "output/demo/counter.pdf: 1 page"
    assert third == "output/demo/lookup.html: page for a phone, works offline"
    assert fourth == "output/demo/windows.xlsx: workbook, its first sheet finds a size"
    assert (tmp_path / "output" / "demo" / "counter.pdf").read_bytes().startswith(b"%PDF")


def test_a_started_catalogue_is_called_as_its_folder(tmp_path, monkeypatch):
    """Its builds must not replace the demo's."""
    monkeypatch.chdir(tmp_path)
    assert main(["init", "my-valves"]) == 0
    assert load_catalogue(tmp_path / "my-valves" / "catalogue.yaml").name == "my-valves"


@pytest.mark.parametrize(
    "arguments", [["states", "R134a", "--warmest=--"], ["check", "--draft=--"], ["verify", "--csv=--"]]
)
def test_two_dashes_are_no_value(arguments: list[str], capsys: pytest.CaptureFixture[str]):
    with pytest.raises(SystemExit, match="2"):
        main(arguments)
    option = arguments[-1].removesuffix("=--")
    assert capsys.readouterr().err.endswith(f"argument {option}: expected one argument\n")


def test_of_a_long_choice_a_message_has_the_ends(capsys: pytest.CaptureFixture[str]):
    with pytest.raises(SystemExit, match="2"):
        main(["states", "R134a", f"--paper={'a' * 5_000}"])
    assert len(capsys.readouterr().err.splitlines()[-1]) < 300
