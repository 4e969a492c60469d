"""Configs of bad will: formulas for spreadsheets, markup for pages, paths out of the folder, bombs and huge tables."""

import csv
import io
import re
import shutil
import time
import zipfile
from pathlib import Path

import openpyxl
import pytest
from pypdf import PdfReader

from tablegen.cli.main import main
from tests.small import small_catalogue

ROOT = Path(__file__).resolve().parents[2]
BOOKLET = "publication: booklet\nkind: booklet\nprints:\n  - {paper: letter, units: IP, graph_files: true}\n"
# For a spreadsheet a formula, for a page markup.
HOSTILE = '=1+<b>bold <a href="http://example.invalid/">x</a> <img src="/etc/passwd"/> & &lt; </para>'
# Keys of free text, in every kind of file.
FREE = re.compile(
    r"^(\s*(?:- )?)(title|wholesaler|notice|note|why|source|change|equalizer_note|flow_law_reason|tagline|disclaimer): .*$",
    re.M,
)
STARTS = tuple("=+-@\t\r")


def hostile(folder: Path, text: str) -> Path:
    """A catalogue in which every free text on a line of its own is the given one."""
    groups = {"pair": ("R404A", "R507A")}
    path = small_catalogue(folder, ["alder"], groups, ["walk_in_medium"], more="publications: [booklet]\n")
    (folder / "publications" / "booklet.yaml").write_text(BOOKLET, encoding="utf-8")
    quoted = "'" + text.replace("'", "''") + "'"
    parts = ("families/alder.yaml", "applications/walk_in_medium.yaml", "company.yaml")
    for file in (path, *(folder / part for part in parts)):
        content = file.read_text(encoding="utf-8")
        changed, count = FREE.subn(lambda m: f"{m[1]}{m[2]}: {quoted}", content)
        assert count and changed != content
        file.write_text(changed, encoding="utf-8")
    groups_file = folder / "groups.yaml"
    groups_file.write_text(groups_file.read_text(encoding="utf-8").replace("title: pair", f"title: {quoted}"), "utf-8")
    return path


@pytest.fixture(scope="module")
def built(tmp_path_factory) -> Path:
    place = tmp_path_factory.mktemp("hostile")
    assert (
        main(["build", "--catalogue", str(hostile(place / "configs", HOSTILE)), "--output", str(place / "output")]) == 0
    )
    return place / "output" / "demo"


def test_markup_is_printed_and_never_obeyed(built):
    reader = PdfReader(built / "booklet.pdf")
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    assert text.count("<b>bold") > 5
    assert '<img src="/etc/passwd"/>' in text and "& &lt; </para>" in text
    for page in reader.pages:
        assert not [a for a in page.get("/Annots", []) if "/URI" in str(a.get_object())]
        resources = page["/Resources"].get_object()
        kinds = [x.get_object().get("/Subtype") for x in resources.get("/XObject", {}).values()]
        assert "/Image" not in kinds


def test_no_cell_of_a_table_is_a_formula(built):
    cells = 0
    for path in built.glob("*.csv"):
        for row in csv.reader(io.StringIO(path.read_text(encoding="utf-8"))):
            for cell in row:
                cells += 1
                # A figure may begin with its sign.
                assert not cell.startswith(STARTS) or re.match(r"-\d[\d.e+-]*(?: [a-zA-Z]|$)", cell), (path.name, cell)
    assert cells > 1000
    for sheet in openpyxl.load_workbook(built / "windows.xlsx"):
        cells_of = [cell for row in sheet.iter_rows() for cell in row]
        # Formulas of our own are on the sheet that finds a size and behind it, and contain no text of a config.
        assert all("=HYPERLINK" not in str(cell.value) for cell in cells_of if cell.data_type == "f")
        is_calculated = sheet.title in ("Find a size", "Calculation")
        assert {cell.data_type for cell in cells_of} <= {"s", "inlineStr", "n", *(["f"] if is_calculated else [])}


def test_a_graph_file_carries_text_and_no_markup(built):
    svg = [path.read_text(encoding="utf-8") for path in (built / "graphs").rglob("*.svg")]
    assert svg
    assert not any("<b>bold" in text or "<img" in text or "<a href" in text for text in svg)


PATHS = [
    "../outside",
    "/etc/passwd",
    "a/b",
    "..",
    ".",
    ".hidden",
    "a\\b",
    "C:x",
    "",
    " ",
    "a b",
    "con\u202e",
    "=1",
    "-x",
    "x" * 41,
]
# File, text in it, what replaces it; where a file lists names, all of them at once.
NAMED = {
    "catalogue": ("catalogue.yaml", "catalogue: demo", "catalogue: {}"),
    "family": ("families/alder.yaml", "family: alder", "family: {}"),
    "application": ("applications/walk_in_medium.yaml", "application: walk_in_medium", "application: {}"),
    "refrigerant": ("refrigerants/R404A.yaml", "refrigerant: R404A", "refrigerant: {}"),
}
LISTED = {
    "family": ("catalogue.yaml", "families: [alder]", "families: [{}]", ", {}"),
    "application": ("catalogue.yaml", "applications: [walk_in_medium]", "applications: [{}]", ", {}"),
    "publication": ("catalogue.yaml", "publications: [booklet]", "publications: [{}]", ", {}"),
    "group": ("groups.yaml", "groups:\n", "groups:\n{}", "  {}: {{title: pair, members: [R404A]}}\n"),
    "member": ("groups.yaml", "[R404A, R507A]", "[R404A{}]", ", {}"),
    "size": ("families/alder.yaml", "  - {size: 11,", "{}  - {{size: 11,", "  - {{size: {}, kv: 1.0 L/h}}\n"),
}


@pytest.fixture
def small(tmp_path: Path) -> Path:
    more = "publications: [booklet]\n"
    path = small_catalogue(tmp_path / "c", ["alder"], {"pair": ("R404A", "R507A")}, ["walk_in_medium"], more=more)
    (path.parent / "publications" / "booklet.yaml").write_text(BOOKLET, encoding="utf-8")
    return path


@pytest.mark.parametrize("kind", LISTED)
def test_every_listed_name_that_is_a_path_or_a_formula_is_refused(kind, small, capsys):
    file, old, new, entry = LISTED[kind]
    path = small.parent / file
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    listed = "".join(entry.format(f"'{name}'") for name in PATHS)
    path.write_text(text.replace(old, new.format(listed)).replace("[, ", "["), encoding="utf-8")
    assert main(["check", "--catalogue", str(small)]) == 2
    err = capsys.readouterr().err
    assert all(line.startswith(f"{path}:") for line in err.splitlines()), err
    unsaid = [name for name in PATHS if f"{name!r} is not allowed" not in err]
    assert not unsaid, err


@pytest.mark.parametrize("kind", NAMED)
def test_a_name_that_is_a_path_or_a_formula_is_refused(kind, small, capsys):
    file, old, new = NAMED[kind]
    path = small.parent / file
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    for name in PATHS:
        path.write_text(text.replace(old, new.format(f"'{name}'")), encoding="utf-8")
        code = main(["check", "--catalogue", str(small)])
        err = capsys.readouterr().err
        assert code == 2, (kind, name)
        assert all(line.startswith(str(small.parent)) for line in err.splitlines()), err


@pytest.mark.parametrize(
    ("content", "rule"),
    [
        ("a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n", "anchors (&), aliases (*) and tags (!) are not used here"),
        ("a: " + "[" * 20_000, "nested more than 20 deep"),
        ("".join(" " * i + f"k{i}:\n" for i in range(500)), "nested more than 20 deep"),
        ("a: !!python/object/apply:os.system ['touch x']\n", "tags (!) are not used here"),
        ("title: " + "x" * 30_000_000, "larger than"),
    ],
    ids=["laughs", "brackets", "nesting", "object", "long"],
)
def test_a_bomb_is_refused_at_once(content, rule, tmp_path, capsys):
    shutil.copytree(ROOT / "configs", tmp_path / "c")
    (tmp_path / "c" / "families" / "alder.yaml").write_text(content, encoding="utf-8")
    # Whatever is read once is warm.
    start = time.monotonic()
    assert main(["check", "--catalogue", str(tmp_path / "c" / "catalogue.yaml")]) == 2
    assert time.monotonic() - start < 10.0
    err = capsys.readouterr().err
    assert rule in err
    assert len(err) < 5000


MEDIUM = "applications/walk_in_medium.yaml"


@pytest.mark.parametrize(
    ("file", "old", "new", "rule"),
    [
        (MEDIUM, "step: 2 delta_degF", "step: 1e-9 delta_degF", "must be at least 0.05 K and at most 60 K"),
        (
            MEDIUM,
            "minimum: 10 degF, maximum: 40 degF, step: 2 delta_degF",
            "minimum: -60 degF, maximum: 40 degF, step: 0.1 delta_degF",
            "must be at most 400",
        ),
        (MEDIUM, "minimum: 10 degF", "minimum: -1e6 degF", "is not allowed"),
        ("catalogue.yaml", "samples: 1024", "samples: 1099511627776", "must be one of 256"),
    ],
)
def test_a_huge_table_is_refused(file, old, new, rule, tmp_path, capsys):
    shutil.copytree(ROOT / "configs", tmp_path / "c")
    path = tmp_path / "c" / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    assert main(["check", "--catalogue", str(tmp_path / "c" / "catalogue.yaml")]) == 2
    assert rule in capsys.readouterr().err


def test_more_sizes_than_a_family_has_are_refused(tmp_path, capsys):
    shutil.copytree(ROOT / "configs", tmp_path / "c")
    path = tmp_path / "c" / "families" / "alder.yaml"
    more = "".join(f"  - {{size: s{i}, kv: {1 + i} L/h}}\n" for i in range(500))
    path.write_text(path.read_text(encoding="utf-8").replace("  - {size: 11,", f"{more}  - {{size: 11,", 1), "utf-8")
    assert main(["check", "--catalogue", str(tmp_path / "c" / "catalogue.yaml")]) == 2
    err = capsys.readouterr().err
    assert "at most 60" in err
    assert len(err.splitlines()) < 10


@pytest.mark.slow
def test_a_packed_table_of_sizes_that_would_fill_the_memory_is_refused(tmp_path, capsys):
    bomb = tmp_path / "sizes.xlsx"
    with (
        zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("xl/worksheets/sheet1.xml", "w") as stream,
    ):
        for _ in range(300):
            stream.write(b"0" * 1_000_000)
    assert bomb.stat().st_size < 1_000_000
    assert main(["init", str(tmp_path / "own"), "--sizes", str(bomb)]) == 2
    assert capsys.readouterr().err.startswith(str(bomb))
    assert not (tmp_path / "own").exists()


def test_a_link_where_the_output_goes_is_not_followed(tmp_path):
    path = hostile(tmp_path / "configs", "plain")
    other = tmp_path / "other"
    other.mkdir()
    (other / "thesis.doc").write_text("years of work")
    (tmp_path / "output").mkdir()
    (tmp_path / "output" / "demo").symlink_to(other)
    assert main(["build", "--catalogue", str(path), "--output", str(tmp_path / "output")]) == 2
    assert [p.name for p in other.iterdir()] == ["thesis.doc"]
