"""A release on disk: one figure altered in the data set, in the workbook or on a page is the figure that is found."""

from __future__ import annotations

import contextlib
import dataclasses
import hashlib
import json
import shutil
import sqlite3
from pathlib import Path

import numpy as np
import openpyxl
import pytest

from tablegen.audits import read_back
from tablegen.audits.findings import FileFault, Finding, FindingKind, LimitKind, Severity, grouped
from tablegen.audits.release_checks import check_release, release_of
from tablegen.building import build
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import Tables, compute
from tablegen.dataset.database import write_database
from tablegen.dataset.dataset import DataSet
from tablegen.dataset.outputs import RECORD, MadeDocument, OutputRecord
from tablegen.errors import DataSetError
from tablegen.model.inputs import Catalogue
from tablegen.report import workbook
from tablegen.report.answers.audit_findings import FindingWriter
from tablegen.report.formatter import Formatter
from tablegen.report.phone import phone_page
from tablegen.report.phone.phone_page import write_phone_page
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.workbook import write_workbook
from tests.small import small_catalogue

BOOKLET = """publication: booklet
kind: booklet
prints:
  - {paper: letter, units: IP}
"""


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> tuple[Catalogue, DataSet, Path]:
    """A small catalogue, its data set, and a folder with data set, workbook and booklet."""
    folder = tmp_path_factory.mktemp("release")
    parts = (["alder", "rowan"], {"pair": ["R404A", "R507A"]}, ["walk_in_medium"])
    path = small_catalogue(folder / "configs", *parts, more="publications: [booklet]\n")
    (folder / "configs" / "publications" / "booklet.yaml").write_text(BOOKLET, encoding="utf-8")
    catalogue = load_catalogue(path)
    data = compute(catalogue)
    written(data, folder / "out")
    return catalogue, data, folder / "out"


def written(data: DataSet, folder: Path, booklet: DataSet | None = None) -> None:
    folder.mkdir()
    data.write(folder)
    write_workbook(data, folder / "windows.xlsx")
    write_database(data, folder / "tables.sqlite")
    write_phone_page(data, folder / "lookup.html")
    print_booklet(booklet or data, "booklet", folder / "booklet.pdf")
    recorded(folder)


def recorded(folder: Path) -> None:
    """The record of a folder as it is, as a build leaves it."""
    (folder / RECORD).unlink(missing_ok=True)
    made = MadeDocument.of(folder, (path for path in folder.rglob("*") if path.is_file()), "")
    OutputRecord(
        made_from="",
        other_inputs=(),
        documents={"all": made},
        left_out=(),
        stayed=(),
        warnings=(),
        fingerprint="",
        windows=0,
        open_windows=0,
    ).write(folder)


def found_in(
    folder: Path, catalogue: Catalogue, data: DataSet, is_recorded: bool = True
) -> tuple[dict[str, int], list[Finding]]:
    """What is found where the hashes were renewed by who altered a file, or were not."""
    if is_recorded:
        recorded(folder)
    computed = Tables(data.states, data.windows, data.group_windows, {})
    read = check_release(release_of(folder, catalogue), catalogue, computed)
    return dict(read.windows), list(read.findings)


def copied(made, tmp_path: Path) -> Path:
    shutil.copytree(made[2], tmp_path / "out")
    return tmp_path / "out"


@pytest.mark.slow
def test_a_release_in_another_language_is_read_back(tmp_path):
    edits = [("catalogue.yaml", "units: IP\n", "units: SI\nlanguage: de\n")]
    parts = (["alder"], {"pair": ["R404A", "R507A"]}, ["walk_in_medium"])
    path = small_catalogue(tmp_path / "configs", *parts, edits=edits, more="publications: [booklet]\n")
    (path.parent / "publications" / "booklet.yaml").write_text(BOOKLET.replace("IP", "SI"), encoding="utf-8")
    folder = build(path, tmp_path / "out").folder
    catalogue = load_catalogue(path)
    counts, findings = found_in(folder, catalogue, compute(catalogue))
    assert not findings and counts["booklet.pdf"] == counts["windows.xlsx"] > 100
    assert "K\u00fchlraum" in read_back.page_texts(folder / "booklet.pdf")[0]


def test_a_release_as_it_was_made_has_no_finding_and_every_window_is_read_back(made):
    catalogue, data, folder = made
    windows, findings = found_in(folder, catalogue, data)
    assert findings == []
    total = len(data.group_windows)
    # The phone page has them in both systems of units.
    each = dict.fromkeys(("group_windows.csv", "tables.sqlite", "windows.xlsx", "booklet.pdf"), total)
    assert windows == {**each, "lookup.html": 2 * total}


@pytest.mark.slow
def test_pages_by_application_are_read_back_in_the_place_of_the_whole(made, tmp_path, monkeypatch):
    catalogue, data, _ = made
    folder, page = copied(made, tmp_path), phone_page.phone_page
    too_large = " " * (phone_page.MOST_BYTES + 1)
    monkeypatch.setattr(phone_page, "phone_page", lambda own, page_of="": page(own, page_of) if page_of else too_large)
    phone_page.write_phone_page(data, folder / "lookup.html")
    windows, findings = found_in(folder, catalogue, data)
    assert findings == []
    assert windows["lookup-walk_in_medium.html"] == 2 * len(data.group_windows) and "lookup.html" not in windows
    (folder / "lookup-walk_in_medium.html").unlink()
    _, [finding] = found_in(folder, catalogue, data)
    assert (finding.kind, finding.file, finding.problem) == (
        FindingKind.NOT_READ,
        "lookup-walk_in_medium.html",
        FileFault.MISSING,
    )


@pytest.mark.slow
def test_workbooks_by_application_are_read_back_in_the_place_of_the_whole(made, tmp_path, monkeypatch):
    catalogue, data, _ = made
    folder = copied(made, tmp_path)
    monkeypatch.setattr(workbook, "_most_rows", lambda _, name="": 0 if name else workbook.MOST_ROWS + 1)
    write_workbook(data, folder / "windows.xlsx")
    windows, findings = found_in(folder, catalogue, data)
    assert findings == []
    assert windows["windows-walk_in_medium.xlsx"] == len(data.group_windows) and "windows.xlsx" not in windows
    (folder / "windows-walk_in_medium.xlsx").unlink()
    _, [finding] = found_in(folder, catalogue, data)
    assert (finding.file, finding.problem) == ("windows-walk_in_medium.xlsx", FileFault.MISSING)


@pytest.mark.parametrize(("factor", "kind"), [(1.0001, FindingKind.OVERPROMISE), (0.9999, FindingKind.MISPRINT)])
def test_one_altered_figure_of_the_data_set_is_found_where_it_is(made, tmp_path, factor, kind):
    catalogue, data, _ = made
    folder = copied(made, tmp_path)
    row = data.group_windows.iloc[37]
    path = folder / "group_windows.csv"
    text = path.read_text(encoding="utf-8")
    old = f"{row['max_load_w']:.12g}"
    # The nominal limit is the second figure of the table, and is the same.
    assert text.count(old) == 2
    path.write_text(text.replace(old, f"{row['max_load_w'] * factor:.12g}", 1), encoding="utf-8")
    _, findings = found_in(folder, catalogue, data)
    assert [(f.kind, f.severity) for f in findings] == [
        (FindingKind.ALTERED_FILE, Severity.FAULT),
        (kind, Severity.FAULT),
    ]
    assert (findings[0].file, findings[0].problem) == ("group_windows.csv", FileFault.ALTERED)
    finding = findings[1]
    assert (finding.family, finding.group, finding.application, finding.size) == tuple(
        row[["family", "group", "application", "size"]]
    )
    assert (finding.limit, finding.sst_k) == (LimitKind.MAXIMUM, pytest.approx(row["sst_k"]))
    assert finding.from_load_w / finding.to_load_w == pytest.approx(factor, rel=1e-9)
    # Also where the manifest was made to agree.
    manifest = folder / "manifest.json"
    record = json.loads(manifest.read_text(encoding="utf-8"))
    record["files_sha256"]["group_windows.csv"] = hashlib.sha256(path.read_bytes()).hexdigest()
    manifest.write_text(json.dumps(record), encoding="utf-8")
    # The database still has the figure that was computed.
    altered = Finding(kind=FindingKind.ALTERED_FILE, file="tables.sqlite", problem=FileFault.ALTERED)
    # As texts: from Python 3.13 on, a figure that is not known makes findings unequal.
    assert repr(found_in(folder, catalogue, data)[1]) == repr([finding, altered])


@pytest.mark.slow
def test_one_altered_figure_of_the_workbook_is_found(made, tmp_path):
    catalogue, data, _ = made
    folder = copied(made, tmp_path)
    path = folder / "windows.xlsx"
    book = openpyxl.load_workbook(path)
    sheet = book["Group windows"]
    column = [c.value for c in sheet[1]].index("Minimum load, kBtu/h") + 1
    cell = sheet.cell(row=22, column=column)
    cell.value = round(cell.value - 0.01, 2)
    book.save(path)
    _, findings = found_in(folder, catalogue, data)
    row = data.group_windows.iloc[20]
    assert [(f.kind, f.limit, f.size, f.file) for f in findings] == [
        (FindingKind.OVERPROMISE, LimitKind.MINIMUM, row["size"], "windows.xlsx")
    ]
    assert findings[0].sst_k == pytest.approx(row["sst_k"])
    assert findings[0].to_load_w == row["min_load_w"]


def test_one_altered_figure_of_the_phone_page_is_found(made, tmp_path):
    catalogue, data, _ = made
    folder = copied(made, tmp_path)
    path = folder / "lookup.html"
    text = path.read_text(encoding="utf-8")
    # The maximum load of a member that binds the group at its first suction temperature, a figure more.
    row = data.group_windows[(data.group_windows["family"] == "rowan") & data.group_windows["max_load_w"].notna()].iloc[
        0
    ]
    _, maximum = Formatter("SI").window(row["min_load_w"], row["max_load_w"])
    place = 0
    for key in ("windows", "rowan", row["max_member"], row["size"], "SI"):
        place = text.index(f'"{key}":', place)
    start = text.index(f" {maximum} ", place) + 1
    more = f"{float(maximum) + 0.01:.2f}"
    path.write_text(text[:start] + more + text[start + len(maximum) :], encoding="utf-8")
    _, findings = found_in(folder, catalogue, data)
    [finding] = findings
    assert (finding.kind, finding.family, finding.size) == (FindingKind.OVERPROMISE, "rowan", row["size"])
    assert (finding.limit, finding.file, finding.load_unit) == (LimitKind.MAXIMUM, "lookup.html", "kW")


@pytest.mark.parametrize(
    "tables", ["[]", '{"windows": 3}', '{"windows": {"rowan": {"x": {"y": {"sizes": {"4": 1}}}}}}']
)
def test_a_phone_page_of_another_origin_is_one_line(made, tmp_path, tables):
    catalogue, data, _ = made
    folder = copied(made, tmp_path)
    page = f'<script type="application/json" id="tables">{tables}</script>'
    (folder / "lookup.html").write_text(page, encoding="utf-8")
    with pytest.raises(DataSetError, match=r"lookup\.html: cannot be read") as caught:
        found_in(folder, catalogue, data)
    assert "\n" not in str(caught.value)


def test_altered_figures_on_the_pages_of_a_booklet_are_found(made, tmp_path):
    """Printed from data in which one limit is more, one less, and one window is missing."""
    catalogue, data, _ = made
    frame = data.group_windows.astype({"max_reason": "str"})
    more, less, gone = frame.index[[5, 100, 200]]
    frame.loc[more, "max_load_w"] *= 1.02
    frame.loc[less, "max_load_w"] *= 0.98
    frame.loc[gone, ["min_load_w", "max_load_w"]] = float("nan")
    frame.loc[gone, "max_reason"] = "crossed"
    written(data, tmp_path / "out", dataclasses.replace(data, group_windows=frame))
    _, findings = found_in(tmp_path / "out", catalogue, data)
    assert {f.file for f in findings} == {"booklet.pdf"}
    by_place = {(f.family, f.size, round(f.sst_k, 4)): f for f in findings}
    assert len(by_place) == len(findings) == 3

    def finding(index: int) -> Finding:
        row = frame.loc[index]
        return by_place[row["family"], row["size"], round(row["sst_k"], 4)]

    assert (finding(more).kind, finding(more).limit) == (FindingKind.OVERPROMISE, LimitKind.MAXIMUM)
    assert (finding(less).kind, finding(less).limit) == (FindingKind.MISPRINT, LimitKind.MAXIMUM)
    assert (finding(gone).kind, finding(gone).problem) == (FindingKind.MISPRINT, FileFault.NO_WINDOW)


def test_a_window_printed_where_none_was_computed_promises_too_much(made):
    catalogue, data, folder = made
    frame = data.group_windows.copy()
    frame.loc[frame.index[12], ["min_load_w", "max_load_w"]] = float("nan")
    closed = dataclasses.replace(data, group_windows=frame)
    _, findings = found_in(folder, catalogue, closed)
    assert {f.kind for f in findings} == {FindingKind.OVERPROMISE}
    files = {"group_windows.csv", "windows.xlsx", "booklet.pdf", "lookup.html"}
    assert {f.file for f in findings} == files


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE windows SET max_load_w = max_load_w * 1.0001 WHERE rowid = 9",
        "DELETE FROM group_windows WHERE rowid = 3",
        "DROP TABLE saturation",
    ],
)
def test_a_database_that_is_not_the_data_set_is_found(made, tmp_path, statement):
    catalogue, data, _ = made
    folder = copied(made, tmp_path)
    with contextlib.closing(sqlite3.connect(folder / "tables.sqlite")) as database:
        assert database.execute(statement)
        database.commit()
    _, findings = found_in(folder, catalogue, data)
    assert [(f.kind, f.file) for f in findings] == [(FindingKind.ALTERED_FILE, "tables.sqlite")]


@pytest.mark.slow
def test_a_name_altered_in_the_database_of_a_build_is_found(tmp_path):
    path = small_catalogue(tmp_path / "configs", ["hazel"], {"R134a": ["R134a"]}, ["walk_in_medium"])
    catalogue = load_catalogue(path)
    folder, data = build(path, tmp_path).folder, compute(catalogue)
    assert found_in(folder, catalogue, data, is_recorded=False)[1] == []
    with contextlib.closing(sqlite3.connect(folder / "tables.sqlite")) as database:
        database.execute("UPDATE size_names SET size_name = 'other' WHERE rowid = 1")
        database.commit()
    _, findings = found_in(folder, catalogue, data, is_recorded=False)
    assert [(f.kind, f.file) for f in findings] == [(FindingKind.ALTERED_FILE, "tables.sqlite")]


def test_of_a_release_from_other_config_files_windows_that_differ_are_one_line(made, tmp_path):
    """The catalogue has another Kv now: every print is as it was written."""
    catalogue, data, _ = made
    folder = copied(made, tmp_path)
    families = dict(catalogue.families)
    alder = families["alder"]
    families["alder"] = dataclasses.replace(
        alder, sizes=tuple(dataclasses.replace(s, kv_rated_m3h=1.1 * s.kv_rated_m3h) for s in alder.sizes)
    )
    edited = dataclasses.replace(catalogue, families=families, files={**catalogue.files, "families/alder.yaml": "0"})
    now = compute(edited)
    _, findings = found_in(folder, edited, now)
    differing = int(data.group_windows["max_load_w"].notna()[data.group_windows["family"] == "alder"].sum())
    assert {(f.kind, f.file, f.problem) for f in findings} == {
        (FindingKind.OTHER_INPUTS, "families/alder.yaml", FileFault.DIFFERS),
        (FindingKind.OTHER_INPUTS, "group_windows.csv", FileFault.OTHER_WINDOWS),
    }
    first = grouped([Finding(kind=FindingKind.OVERPROMISE), *findings])[0]
    text = FindingWriter(Formatter("IP"), edited).text(first)
    assert text.startswith(f"group_windows.csv: windows that differ from those computed now: {differing}; ")
    assert text.endswith("give the config files in its configs.zip with catalogue")
    # Without a window that differs, all is compared.
    same = dataclasses.replace(catalogue, files={**catalogue.files, "company.yaml": "0"})
    counts, findings = found_in(folder, same, data)
    assert [f.file for f in findings] == ["company.yaml"] and counts["booklet.pdf"]


def test_other_inputs_other_versions_and_missing_files_are_found(made, tmp_path):
    catalogue, data, _ = made
    folder = copied(made, tmp_path)
    manifest = folder / "manifest.json"
    record = json.loads(manifest.read_text(encoding="utf-8"))
    record["versions"]["numpy"] = "1.0"
    record["inputs_sha256"]["families/alder.yaml"] = "0"
    manifest.write_text(json.dumps(record), encoding="utf-8")
    for name in ("states.csv", "tables.sqlite", "windows.xlsx", "booklet.pdf", "lookup.html"):
        (folder / name).unlink()
    _, findings = found_in(folder, catalogue, data)
    found = {(f.kind, f.file, f.problem) for f in findings}
    assert found == {
        (FindingKind.ALTERED_FILE, "states.csv", FileFault.MISSING),
        (FindingKind.OTHER_INPUTS, "families/alder.yaml", FileFault.DIFFERS),
        (FindingKind.OTHER_VERSIONS, "numpy", FileFault.OTHER_VERSION),
        (FindingKind.NOT_READ, "tables.sqlite", FileFault.MISSING),
        (FindingKind.NOT_READ, "windows.xlsx", FileFault.MISSING),
        (FindingKind.NOT_READ, "booklet.pdf", FileFault.MISSING),
        (FindingKind.NOT_READ, "lookup.html", FileFault.MISSING),
    }
    assert len(findings) == len(found)
    (version,) = [line for line in grouped(findings) if line.kind is FindingKind.OTHER_VERSIONS]
    text = FindingWriter(Formatter("IP"), catalogue).text(version)
    assert text == f"numpy: 1.0 / {np.__version__} (release / this installation)"


def test_without_the_library_the_pages_are_named_as_not_read(made, monkeypatch):
    catalogue, data, folder = made
    monkeypatch.setattr(read_back.importlib.util, "find_spec", lambda name: None)
    windows, findings = found_in(folder, catalogue, data)
    assert "booklet.pdf" not in windows
    assert [(f.kind, f.severity) for f in findings] == [(FindingKind.NOT_READ, Severity.REMARK)]
    text = FindingWriter(Formatter("IP"), catalogue).text(grouped(findings)[0])
    assert text == "reading booklet.pdf needs pypdfium2 (pip install 'tablegen[audit]')"


@pytest.mark.parametrize(
    ("change", "text"),
    [
        (lambda r: r | {"catalogue": "other"}, "a release of the catalogue 'other', not of 'demo'"),
        (lambda r: {k: v for k, v in r.items() if k != "inputs"}, "its manifest.json contains no inputs"),
        (lambda r: r | {"inputs": {**r["inputs"], "printing": {}}}, "has another layout: 'units' is missing"),
        (lambda r: [r], "its manifest.json contains no inputs"),
    ],
)
def test_a_folder_that_is_no_such_release_is_one_line(made, tmp_path, change, text):
    folder = copied(made, tmp_path)
    path = folder / "manifest.json"
    path.write_text(json.dumps(change(json.loads(path.read_text(encoding="utf-8")))), encoding="utf-8")
    with pytest.raises(DataSetError, match=text) as caught:
        release_of(folder, made[0])
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("windows.xlsx", "cannot be read"),
        ("tables.sqlite", "cannot be read"),
        ("booklet.pdf", "cannot be read"),
        ("lookup.html", "cannot be read"),
        ("group_windows.csv", "it has no column family"),
    ],
)
def test_a_file_that_cannot_be_read_is_one_line(made, tmp_path, name, text):
    folder = copied(made, tmp_path)
    (folder / name).write_bytes(b"nothing of the kind\n1,2")
    with pytest.raises(DataSetError, match=f"{name}: .*{text}") as caught:
        found_in(folder, made[0], made[1])
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("name", ["windows.xlsx", "lookup.html", "booklet.pdf"])
def test_a_flipped_bit_of_a_printed_file_is_found(made, tmp_path, name, seed):
    folder = copied(made, tmp_path)
    content = bytearray((folder / name).read_bytes())
    place = np.random.default_rng(seed).integers(8 * len(content))
    content[place // 8] ^= 1 << (place % 8)
    (folder / name).write_bytes(content)
    found = found_in(folder, *made[:2], is_recorded=False)[1]
    assert repr(Finding(kind=FindingKind.ALTERED_FILE, file=name, problem=FileFault.ALTERED)) in map(repr, found)


def test_a_printed_file_of_elsewhere_and_a_missing_one_are_found(made, tmp_path):
    folder = copied(made, tmp_path)
    (folder / "lookup.html").write_text("junk", encoding="utf-8")
    (folder / "booklet.pdf").unlink()
    found = {(own.file, own.problem) for own in found_in(folder, *made[:2], is_recorded=False)[1]}
    assert {("lookup.html", FileFault.ALTERED), ("booklet.pdf", FileFault.MISSING)} <= found


def test_a_folder_without_its_record_is_not_called_sound(made, tmp_path):
    folder = copied(made, tmp_path)
    (folder / RECORD).unlink()
    found = found_in(folder, *made[:2], is_recorded=False)[1]
    assert [(own.severity, own.file, own.problem) for own in found] == [
        (Severity.FAULT, RECORD, FileFault.RECORD_MISSING)
    ]


@pytest.mark.parametrize("content", [b"{}", b"", b"[", b'{"layout": 2}', b"\xff"])
def test_a_record_that_is_none_is_a_fault_and_not_called_missing(made, tmp_path, content):
    folder = copied(made, tmp_path)
    (folder / RECORD).write_bytes(content)
    (folder / "booklet.pdf").unlink()
    found = found_in(folder, *made[:2], is_recorded=False)[1]
    faults = [own for own in found if own.severity is Severity.FAULT]
    assert [(own.file, own.problem) for own in faults] == [(RECORD, FileFault.RECORD_ALTERED)]
    text = FindingWriter(Formatter("IP"), made[0]).text(grouped(faults)[0])
    assert text.startswith("outputs.json was changed since it was written")


@pytest.mark.slow
def test_every_flipped_bit_of_the_record_is_noticed(made, tmp_path):
    content = (made[2] / RECORD).read_bytes()
    assert OutputRecord.read(made[2]) is not None
    for place in range(0, 8 * len(content), 7):
        own = bytearray(content)
        own[place // 8] ^= 1 << (place % 8)
        (tmp_path / RECORD).write_bytes(own)
        assert OutputRecord.read(tmp_path) is None, place


def test_a_document_struck_from_the_record_is_a_fault(made, tmp_path):
    folder = copied(made, tmp_path)
    record = json.loads((folder / RECORD).read_text(encoding="utf-8"))
    del record["documents"]["all"]["files"]["booklet.pdf"]
    (folder / RECORD).write_text(json.dumps(record, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    (folder / "booklet.pdf").unlink()
    found = found_in(folder, *made[:2], is_recorded=False)[1]
    assert (Severity.FAULT, RECORD) in {(own.severity, own.file) for own in found}


@pytest.mark.parametrize("seed", range(25))
def test_a_damaged_workbook_is_one_line_whatever_is_damaged_in_it(made, tmp_path, seed):
    """Also where its hash was renewed: the library raises errors of the archive, the compression and the XML inside."""
    folder = copied(made, tmp_path)
    content = bytearray((folder / "windows.xlsx").read_bytes())
    generator = np.random.default_rng(seed)
    for place in generator.integers(len(content), size=20):
        content[place] ^= int(generator.integers(1, 256))
    (folder / "windows.xlsx").write_bytes(content)
    problem = ""
    try:
        found_in(folder, *made[:2])
    except DataSetError as error:
        problem = str(error)
    assert not problem or ("\n" not in problem and "windows.xlsx" in problem)
