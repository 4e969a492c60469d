"""The manual's own files: whoever copies them into a started catalogue has valves for a blend of theirs."""

import re
from pathlib import Path

import pytest

import tablegen
from tablegen.cli.main import main

MANUAL = Path(__file__).resolve().parents[2] / "tablegen" / "manual"
TEXT = "".join((MANUAL / f"{chapter}.md").read_text("utf-8") for chapter in ("maker", "refrigerants"))
# Of several with the same first key the first.
EXAMPLES = {text.split(":", 1)[0]: text for text in reversed(re.findall(r"```yaml\n(.*?)```", TEXT, re.S))}


def replaced(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.fixture
def folder(tmp_path) -> Path:
    """A started catalogue with the manual's blend and family, a group for the blend and nothing else."""
    path = tmp_path / "my-valves"
    assert main(["init", str(path)]) == 0
    (path / "refrigerants").mkdir(exist_ok=True)
    (path / "refrigerants" / "Shop-1.yaml").write_text(EXAMPLES["refrigerant"], encoding="utf-8")
    (path / "families" / "maple.yaml").write_text(EXAMPLES["family"], encoding="utf-8")
    with (path / "groups.yaml").open("a", encoding="utf-8") as file:
        file.write("  Shop-1: {title: Shop-1, members: [Shop-1]}\n")
    replaced(path / "catalogue.yaml", "families: [alder", "families: [maple, alder")
    text = (path / "catalogue.yaml").read_text(encoding="utf-8")
    (groups,) = re.findall(r"^groups: \[(.*)\]$", text, re.MULTILINE)
    replaced(path / "catalogue.yaml", f"groups: [{groups}]", f"groups: [{groups}, Shop-1]")
    (applications,) = re.findall(r"^applications: \[(.*)\]$", text, re.MULTILINE)
    others = ", ".join(name for name in applications.split(", ") if name != "walk_in_medium")
    rule = f"  - {{group: Shop-1, application: [{others}], why: For one application only.}}\n"
    # A rack for one refrigerant has no valve of this family.
    rule += "  - {family: maple, group: R744, why: For another refrigerant.}\n"
    replaced(path / "catalogue.yaml", "leave_out:\n", f"leave_out:\n{rule}")
    return path


def test_a_blend_that_condenses_elsewhere_needs_a_head_of_its_own(folder, capsys):
    assert main(["check", "--catalogue", str(folder / "catalogue.yaml")]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert "within 5 delta_degF" in line and "117 psi_gauge" in line


def test_family_and_blend_of_the_manual_have_windows(folder, capsys):
    own = EXAMPLES["by_refrigerant"].removeprefix("by_refrigerant:\n")
    with (folder / "applications" / "walk_in_medium.yaml").open("a", encoding="utf-8") as file:
        file.write(own)
    assert main(["check", "--catalogue", str(folder / "catalogue.yaml")]) == 0
    found = tablegen.pick(
        "Shop-1",
        sst="24 degF",
        load="12 kBtu/h",
        application="walk_in_medium",
        family="maple",
        catalogue=folder / "catalogue.yaml",
    ).frame()
    assert set(found["size"]) == {"1-4", "63"}
    assert "fits" in set(found["verdict"])


def test_what_the_readme_says_of_lengths_is_what_check_takes(folder, capsys):
    path = folder / "families" / "maple.yaml"
    for old, longest in (("name: Maple ", 24), ("title: Maple", 90), ("display: '1/4'", 12)):
        text = path.read_text(encoding="utf-8")
        key = old.split(":")[0]
        replaced(path, old, f"{key}: {'x' * (longest + 1)} ")
        assert main(["check", "--catalogue", str(folder / "catalogue.yaml")]) == 2
        assert f"must have at most {longest} characters" in capsys.readouterr().err
        path.write_text(text, encoding="utf-8")
