"""A refrigerant is read in every spelling of the trade wherever a config names one; what is not known is repeated as read."""

import shutil
from pathlib import Path

import pytest

from tablegen.config import packaged_configs
from tablegen.config.case_catalogue import load_with
from tablegen.config.loader import load_catalogue
from tablegen.config.origins import origins_of
from tablegen.config.refrigerant_files import COMPONENTS, load_registry
from tablegen.config.selection import Selection
from tablegen.errors import ConfigError
from tablegen.model.names import refrigerant_name
from tablegen.sweep.identity import identity

ALDER, MEDIUM, GROUPS = "families/alder.yaml", "applications/walk_in_medium.yaml", "groups.yaml"
SPELLINGS = ("R-{}", "{}", "r{}", "r-{}")


@pytest.fixture
def configs(tmp_path, monkeypatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return shutil.copytree(packaged_configs(), tmp_path / "configs")


def edit(path: Path, *changes: tuple[str, str]) -> None:
    text = path.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")


def problems(configs: Path, **selected: str) -> list[str]:
    with pytest.raises(ConfigError) as caught:
        load_catalogue(configs / "catalogue.yaml", Selection(**selected))
    return str(caught.value).splitlines()


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_keys_of_one_refrigerant_are_found_in_every_spelling(spelling, configs):
    written = spelling.format("134A")
    catalogue = configs / "catalogue.yaml"
    before = load_catalogue(catalogue)
    edit(configs / MEDIUM, ("\n  R134a:\n", f"\n  {written}:\n"))
    after = load_catalogue(catalogue)
    assert identity(after.applications) == identity(before.applications)
    origin = origins_of(catalogue, "walk_in_medium", "R134a", "alder").find("low_head.head_pressure")
    assert origin is not None
    assert origin.key == "low_head.head_pressure"
    assert origin.text == "75 psi_gauge"
    # A case goes before both.
    assert identity(
        load_with(catalogue, "walk_in_medium", ["low_head.head_pressure=80 psig"]).applications
    ) == identity(
        load_with(
            packaged_configs() / "catalogue.yaml", "walk_in_medium", ["low_head.head_pressure=80 psig"]
        ).applications
    )


def test_a_head_of_one_refrigerant_is_reported_where_it_is_written(configs):
    edit(
        configs / MEDIUM,
        ("\n  R134a:\n", "\n  r-134a:\n"),
        ("head_pressure: 75 psi_gauge", "head_pressure: 500 psi_gauge"),
    )
    (line,) = [text for text in problems(configs) if "'500 psi_gauge'" in text]
    assert ": by_refrigerant.r-134a.low_head.head_pressure: " in line


def test_a_refrigerant_has_keys_of_its_own_once(configs):
    edit(configs / MEDIUM, ("by_refrigerant:\n", "by_refrigerant:\n  134A: {note: Twice}\n"))
    lines = (configs / MEDIUM).read_text(encoding="utf-8").splitlines()
    first = lines.index("  134A: {note: Twice}") + 1
    (line,) = problems(configs)
    assert f":{first + 1}: by_refrigerant.R134a: the key 'R134a' is given twice, first in line {first};" in line


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_refrigerant_files_take_every_spelling(spelling, configs):
    names = ("R404A", "R125", "R143a", "R134a")
    edit(configs / "refrigerants" / "R404A.yaml", *((f"{n}: ", f"{spelling.format(n[1:])}: ") for n in names[1:]))
    edit(configs / "refrigerants" / "R404A.yaml", ("refrigerant: R404A", f"refrigerant: {spelling.format('404A')}"))
    edit(configs / "refrigerants" / "R402A.yaml", ("between: [R125, R22]", f"between: [{spelling.format('125')}, R22]"))
    own, packaged = load_registry(configs).records, load_registry().records
    for name in ("R404A", "R402A"):
        assert identity(own[name]) == identity(packaged[name])


def test_a_component_is_listed_once_whatever_its_spelling(configs):
    edit(configs / "refrigerants" / "R404A.yaml", ("  R134a: 4 percent", "  R134a: 2 percent\n  R-134A: 2 percent"))
    (line,) = problems(configs)
    assert ": components.R-134A: 'R-134A' is not allowed; it is listed twice" in line


def test_a_component_of_zero_is_reported_at_its_line(configs):
    edit(configs / "refrigerants" / "R404A.yaml", ("  R134a: 4 percent", "  R134a: 4 percent\n  R-32: 0 percent"))
    (line,) = problems(configs)
    assert ":7: components.R-32: '0 percent' is not allowed; leave the component out" in line


def test_every_component_is_written_as_it_is_looked_up():
    assert [refrigerant_name(name) for name in COMPONENTS] == COMPONENTS


def test_a_refrigerant_file_has_the_name_that_the_refrigerant_is_looked_up_by(configs):
    (configs / "refrigerants" / "R404A.yaml").rename(configs / "refrigerants" / "R-404A.yaml")
    (line,) = problems(configs)
    assert line == "configs/refrigerants/R-404A.yaml: the file is not read; rename it to R404A.yaml"


@pytest.mark.parametrize(
    ("file", "old", "new", "key"),
    [
        (GROUPS, "members: [R134a]", "members: [R-134Z]", "groups.R134a.members[0]"),
        (MEDIUM, "\n  R134a:\n", "\n  R-134Z:\n", "by_refrigerant.R-134Z"),
        (ALDER, "refrigerants: [R134a]", "refrigerants: [R-134Z]", "charges[{}].refrigerants[0]"),
        (
            ALDER,
            "    setting:\n      refrigerant: R134a",
            "    setting:\n      refrigerant: R-134Z",
            ".setting.refrigerant",
        ),
        (ALDER, "rating:\n  refrigerant: R404A", "rating:\n  refrigerant: R-134Z", "rating.refrigerant"),
        ("refrigerants/R404A.yaml", "R134a: 4", "R-134Z: 4", "components.R-134Z"),
    ],
)
def test_an_unknown_refrigerant_is_repeated_as_it_is_written(file, old, new, key, configs):
    edit(configs / file, (old, new))
    found = [line for line in problems(configs) if "'R-134Z' is not allowed; a" in line]
    assert found
    assert all(line.startswith(f"configs/{file}:") for line in found)
    assert key.partition("{}")[2] in found[0]
    # The suggestion is the name that is looked up.
    assert "(did you mean R134a?)" in found[0] or "R404A" in old


HARD = Path(__file__).parents[1] / "data" / "hard_cases"


def test_the_fluid_of_a_charge_is_a_refrigerant_too(tmp_path):
    configs = shutil.copytree(HARD, tmp_path / "configs")
    before = load_catalogue(configs / "catalogue.yaml")
    edit(configs / "families" / "birch.yaml", ("fluid: R404A", "fluid: r-404a"))
    assert identity(load_catalogue(configs / "catalogue.yaml").families) == identity(before.families)
    edit(configs / "families" / "birch.yaml", ("fluid: r-404a", "fluid: r-404z"))
    (line,) = problems(configs)
    assert ".fluid: 'r-404z' is not allowed; a refrigerant must be one of" in line
