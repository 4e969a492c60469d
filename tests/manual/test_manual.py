"""The manual and the README say what is: their commands run, their pages build, their examples work."""

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from tablegen.cli.main import _parser as command_line
from tablegen.cli.main import main
from tablegen.cli.options import with_negative_values

ROOT = Path(__file__).resolve().parents[2]
MANUAL = ROOT / "tablegen" / "manual"
PAGES = sorted(MANUAL.glob("*.md"))
# Of a minute each; a build of the demo is checked elsewhere.
LONG = ("assumptions", "audit", "build", "fit")


def commands(page: Path) -> list[str]:
    """Command lines of a page, in order: those after a prompt, and indented ones."""
    text = page.read_text(encoding="utf-8")
    return re.findall(r"^(?:\$ |    )(tablegen [^\n]*)$", text, re.M)


def prompted(page: Path) -> list[str]:
    return re.findall(r"^\$ (tablegen [^\n]*)$", page.read_text(encoding="utf-8"), re.M)


def test_every_command_of_manual_and_readme_is_a_command():
    found = [line for page in (*PAGES, ROOT / "README.md") for line in commands(page)]
    assert len(found) > 20
    for line in found:
        command_line().parse_args(with_negative_values(shlex.split(line)[1:]))


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.stem)
def test_the_commands_of_a_chapter_run_in_order(page, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    for line in prompted(page):
        words = shlex.split(line)[1:]
        if words[0] not in LONG:
            assert main(words) in (0, 1), f"{line}: {capsys.readouterr().err}"


@pytest.mark.slow
@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.stem)
def test_the_long_commands_of_a_chapter_run_too(page, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    for line in prompted(page):
        assert main(shlex.split(line)[1:]) in (0, 1), f"{line}: {capsys.readouterr().err}"


def test_the_examples_in_python_run():
    text = (MANUAL / "python.md").read_text(encoding="utf-8")
    examples = [code for code in re.findall(r"(?s)```python\n(.*?)```", text) if "Client(" not in code]
    assert len(examples) > 1
    # One session, as a reader would type them.
    exec("\n".join(examples), {})


def test_every_command_is_in_the_manual():
    named = {line.split()[1] for page in PAGES for line in commands(page)}
    actions = command_line()._subparsers._group_actions[0].choices
    assert set(actions) <= named


def test_the_pages_build_without_a_warning(tmp_path):
    pytest.importorskip("myst_parser")
    build = [sys.executable, "-m", "sphinx", "-q", "-W", "-b", "html", str(MANUAL), str(tmp_path)]
    done = subprocess.run(build, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    built = {p.stem for p in tmp_path.glob("*.html")}
    assert {p.stem for p in PAGES} <= built


def test_links_of_the_readme_lead_somewhere():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", text):
        assert (ROOT / target).exists(), target


def test_the_readme_is_short():
    assert len((ROOT / "README.md").read_text(encoding="utf-8").split()) < 900
