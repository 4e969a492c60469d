"""What families and sizes are called in print: required, short, printable, and never another's name."""

import re
import shutil
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tests.small import DEMO

ALDER, ROWAN = "families/alder.yaml", "families/rowan.yaml"
# File, text, what replaces it, text on the line that the message must name, the message after the key.
CASES = {
    "a family without a name": (
        ROWAN,
        "name: Rowan\n",
        "",
        "family: rowan",
        "name: the key is missing; it is required",
    ),
    "a name of another family": (
        ROWAN,
        "name: Rowan",
        "name: ALDER",
        "name: ALDER",
        "name: 'ALDER' is not allowed; the family alder (",
    ),
    "a name that is the key of another family": (
        ROWAN,
        "name: Rowan",
        "name: hazel",
        "name: hazel",
        "name: 'hazel' is not allowed; the family hazel (",
    ),
    "a name that is too long for a heading": (
        ROWAN,
        "name: Rowan",
        "name: Rowan of the Upper Valley",
        "name: Rowan of",
        "name: 'Rowan of the Upper Valley",
    ),
    "a name that the pages cannot print": (
        ROWAN,
        "name: Rowan",
        "name: 松",
        "name: 松",
        "name: '松' is not allowed; the pages cannot print '松'",
    ),
    "a size called as another": (
        ALDER,
        "{size: 16,",
        "{size: 16, display: 11,",
        "display: 11",
        "sizes[1].display: 11 is not allowed; size 11 of this family already has that name",
    ),
    "two sizes of one display name": (
        ALDER,
        "{size: 11, kv: 11.2 L/h}\n  - {size: 16,",
        "{size: 11, display: 1/4, kv: 11.2 L/h}\n  - {size: 16, display: 1/4,",
        "{size: 16,",
        "sizes[1].display: '1/4' is not allowed; size 11 of this family already has that name",
    ),
    "a size that only print can spell": (
        ALDER,
        "{size: 16,",
        "{size: 3-1/2,",
        "3-1/2",
        "sizes[1].size: '3-1/2' is not allowed; a name has 1 to 40",
    ),
    "a size that is too long for a table": (
        ALDER,
        "{size: 16,",
        "{size: 16, display: three and a half,",
        "three and",
        "sizes[1].display: 'three and a half",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_what_print_cannot_take_is_one_line(case, tmp_path, capsys):
    file, old, new, on_line, message = CASES[case]
    folder = shutil.copytree(DEMO, tmp_path / "mine")
    text = (folder / file).read_text(encoding="utf-8")
    assert text.count(old) == 1
    changed = text.replace(old, new)
    (folder / file).write_text(changed, encoding="utf-8")
    assert main(["check", "--catalogue", str(folder / "catalogue.yaml")]) == 2
    shown = capsys.readouterr().err
    line = next(n for n, written in enumerate(changed.splitlines(), start=1) if on_line in written)
    if "missing" in message:
        # A key that is not there has no line of its own.
        assert f"{file}:" in shown and message in shown
    else:
        assert f"{file}:{line}: {message}" in shown
    assert shown.count("\n") == 1


@pytest.mark.slow
@pytest.mark.parametrize("named", ["1-4", "1/4"])
def test_the_hint_for_a_size_that_only_print_can_spell_is_what_the_check_takes(named, tmp_path, capsys):
    folder = shutil.copytree(DEMO, tmp_path / "mine")
    path = folder / ALDER
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("{size: 11, kv:", "{size: 1/4, kv:"), encoding="utf-8")
    assert main(["check", "--catalogue", str(folder / "catalogue.yaml")]) == 2
    [hint] = re.findall(r"write \{(size: .*?)\}\)", capsys.readouterr().err)
    text = text.replace("{size: 11, kv:", f"{{{hint}, kv:").replace("sizes: [11, ", f"sizes: [{named}, ")
    path.write_text(text, "utf-8")
    part_numbers = folder / "part_numbers.csv"
    part_numbers.write_text(part_numbers.read_text("utf-8").replace(",Alder,11,", ",Alder,1/4,"), "utf-8")
    counter = folder / "publications" / "counter.yaml"
    counter.write_text(counter.read_text("utf-8").replace("stock: [16,", f"stock: [{named}, 16,"), "utf-8")
    assert main(["check", "--catalogue", str(folder / "catalogue.yaml")]) == 0
    catalogue = load_catalogue(folder / "catalogue.yaml")
    first = catalogue.families["alder"].sizes[0]
    assert (first.name, first.display_name) == ("1-4", "1/4")
    # Named by its key, whichever was written.
    assert catalogue.charts[0].stock["R404A-R507A"][0] == "1-4"
    assert catalogue.families["alder"].offered.connections_of("1-4")


@pytest.mark.parametrize(
    ("file", "old", "new", "key"),
    [
        ("publications/counter.yaml", "stock: [16,", "stock: [1/3,", "stock[0]"),
        (ALDER, "sizes: [11, ", "sizes: [1/3, ", "offered.connections[0].sizes[0]"),
    ],
)
def test_an_unknown_size_is_refused_with_keys_and_display_names(file, old, new, key, tmp_path, capsys):
    folder = shutil.copytree(DEMO, tmp_path / "mine")
    alder = folder / ALDER
    alder.write_text(alder.read_text("utf-8").replace("{size: 90,", "{size: 90, display: 2 kW,"), "utf-8")
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")
    assert main(["check", "--catalogue", str(folder / "catalogue.yaml")]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert f"{key}: '1/3' is not allowed; a size of Alder must be one of 11, 16, " in line and ", 2 kW" in line


def test_sizes_of_a_list_keep_their_names_in_print(tmp_path):
    sizes = tmp_path / "sizes.csv"
    sizes.write_text("size,kv_m3h\n1/4,0.01\n3-1/2,0.02\n2.5 kW,0.03\n45,0.04\n", encoding="utf-8")
    assert main(["init", str(tmp_path / "mine"), "--sizes", str(sizes)]) == 0
    catalogue = load_catalogue(tmp_path / "mine" / "catalogue.yaml")
    called = {size.name: size.display_name for size in catalogue.families["alder"].sizes}
    assert called == {"1-4": "1/4", "3-1-2": "3-1/2", "2.5-kW": "2.5 kW", "45": "45"}


def test_the_demo_says_what_its_families_are_called():
    names = {key: own.display_name for key, own in load_catalogue(Path(DEMO) / "catalogue.yaml").families.items()}
    assert {"alder": "Alder", "rowan": "Rowan", "hazel": "Hazel"}.items() <= names.items()
