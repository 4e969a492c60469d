"""Lists of jobs in files: each job is answered as by itself, quantities add up, bad rows are named and the rest answered."""

import contextlib
import dataclasses
import io
import json
import random
import re
from pathlib import Path

import openpyxl
import pytest

import tablegen
from tablegen.answers.case import Case
from tablegen.answers.job_list import Job, pick_jobs
from tablegen.answers.pick import pick
from tablegen.api._questions import PickQuestion
from tablegen.api.jobs import pick_job_file
from tablegen.cli.main import main
from tablegen.config.job_file import MOST_JOBS
from tablegen.errors import ConfigError, TablegenError
from tablegen.model.box_temperature import AskedSst
from tests.demo import CATALOGUE
from tests.worked import WORKED, copy_of_worked, worked_catalogue

HEADINGS = (
    "Job,Refrigerant,Box temp [degF],TD [delta_degF],SST,Load [kBtu/h],Application,Family,Qty,Connections,Capillary"
)
# Alder 90 has one kind of connections, Rowan two; a TD of its own, one of the application, an SST.
JOBS = f"""{HEADINGS},Note
A,R448A,35,11,,20,walk_in_medium,alder,2,,10 ft,=1+1
B,r-448a,35,11,,20,walk_in_medium,Alder,,,10 ft,
C,R448A,,,24 degF,19,walk_in_medium,rowan,3,1/2 IN x 5/8 in solder,,
D,R448A-family,36,,,9,walk_in_medium,,1,,,
E,R407C,,,-10F,9,walk_in_low,alder,,,,@home
F,R448A,,,24 degF,900,walk_in_medium,,1,,,
"""


def answer_to(text: str, name: str = "jobs.csv", **more: object) -> tablegen.Answer:
    return pick_job_file(text.encode(), name, **{"catalogue": WORKED, **more})


def rows_of(content: bytes, sheet: str) -> list[list[object]]:
    return [list(row) for row in openpyxl.load_workbook(io.BytesIO(content))[sheet].iter_rows(values_only=True)]


def alone(row: str, catalogue: Path) -> tablegen.Answer:
    """The answer of `pick` to a row of `JOBS`."""
    job, refrigerant, box, td, sst, load, application, family, quantity, connections, capillary, _ = row.split(",")
    return tablegen.pick(
        refrigerant,
        sst=sst or None,
        box=f"{box} degF" if box else None,
        coil_difference=f"{td} delta_degF" if td else None,
        load=f"{load} kBtu/h",
        application=application,
        family=family or None,
        quantity=int(quantity) if quantity else None,
        connections=connections,
        capillary=capillary or None,
        job=job,
        catalogue=catalogue,
    )


def test_what_is_wrong_in_many_rows_is_said_once():
    rows = "".join(f"{i},R448A,35,{8 + i},20 kBtu/h,walk_in_medium\n" for i in range(6))
    text = f"job,refrigerant,box [degF],TD,load,application\n{rows}x,R448A,35,,20 kBtu/h,walk_in_medium\n"
    [problem] = answer_to(text).problems
    assert problem == (
        "jobs.csv:2: TD: '8' is not allowed; a temperature difference needs its unit, in the heading, such as "
        "'TD [\u00b0F]', or in the cell (the same in 6 rows, lines 2, 3, 4, ...)"
    )


def test_each_job_of_a_file_is_answered_as_by_itself(tmp_path):
    # A copy is loaded as a whole, once for all of its refrigerants.
    folder = copy_of_worked(tmp_path / "configs").parent
    answer = answer_to(JOBS, catalogue=folder)
    sheet = rows_of(answer.sheets.workbook(), "Jobs")
    assert answer.problems == () and not answer.passed
    for row, own, cells in zip(JOBS.splitlines()[1:], answer.frame().to_dict("records"), sheet[1:], strict=True):
        single, shown = alone(row, folder), dict(zip(sheet[0], cells, strict=True))
        first = single.record()
        assert own["sst_k"] == pytest.approx(first["sst_k"], rel=1e-14)
        if first["first_size"] is None:
            assert not own["family"] and own["reason"].startswith("No valve covers this load; the closest is Hazel 400")
            assert shown["valve"] is None and shown["margin"] is None and shown["reason"] == own["reason"]
            continue
        [found] = single.table("fitting").records()[:1]
        assert (own["family"], own["size"]) == (found["family"], found["size"])
        figures = ("min_load_w", "max_load_w", "margin")
        assert [own[key] for key in figures] == pytest.approx([found[key] for key in figures], rel=1e-13)
        # What is printed is the same to the last digit, the order line to the last word.
        printed = single.table("fitting").cells()[0]
        assert f"{shown['minimum load [kBtu/h]']:g}" == printed[2].split("–")[0].rstrip("0").rstrip(".")
        assert f"{shown['margin']:.2f}" == printed[4]
        [order] = [section for section in single.sections if section.key == "order"]
        assert shown["order line"] == order.summary[0].replace("\N{NO-BREAK SPACE}", " ")
        assert own["part_number"] == order.record()["part_number"]


def test_of_equal_margins_the_first_is_taken_as_by_itself():
    catalogue = worked_catalogue()
    alder = catalogue.families["alder"]
    size = next(own for own in alder.sizes if own.name == "90")
    twins = (dataclasses.replace(size, name="twin"), *alder.sizes, dataclasses.replace(size, name="other"))
    families = {**catalogue.families, "alder": dataclasses.replace(alder, sizes=twins)}
    catalogue = dataclasses.replace(catalogue, families=families)
    case = Case(refrigerant="R448A", sst_k=269.0, load_w=5861.0, application="walk_in_medium")
    picked = pick(catalogue, case, "alder")
    assert [own.size for own in picked.tied] == ["twin", "90", "other"]
    job = Job(refrigerant="R448A", asked_sst=AskedSst(sst_k=269.0), load_w=5861.0, application="walk_in_medium")
    [answer] = pick_jobs(catalogue, [dataclasses.replace(job, family="alder")])
    assert (answer.size, answer.margin) == ("twin", pytest.approx(picked.tied[0].margin, rel=1e-13))


def test_quantities_add_up_by_valve():
    answer = answer_to(JOBS)
    ordered = answer.frame("order_list")
    # A and B are one valve, two and one that is not stated; C, D and E are one valve each.
    assert dict(zip(ordered["family"] + " " + ordered["size"], ordered["quantity"], strict=True)) == {
        "Alder 90": 3,
        "Alder 45": 1,
        "Rowan 6.3": 3,
        "Hazel 100": 1,
    }
    assert ordered.loc[ordered["size"] == "90", "jobs"].tolist() == [("A", "B")]
    assert ordered["part_number"].tolist()[1] == "71-0207" and ordered["capillary_m"][1] == pytest.approx(3.048)
    assert sum(ordered["quantity"]) == 2 + 1 + 3 + 1 + 1
    sheet = rows_of(answer.sheets.workbook(), "Order list")
    assert [row[0] for row in sheet[1:]] == ordered["quantity"].tolist()


def test_a_workbook_has_numbers_and_no_formulas():
    content = answer_to(JOBS).sheets.workbook()
    book = openpyxl.load_workbook(io.BytesIO(content))
    assert [sheet.freeze_panes for sheet in book] == ["A2", "A2", None]
    for sheet in book.worksheets[:2]:
        assert sheet.auto_filter.ref.startswith("A1:") and sheet.print_title_rows == "$1:$1"
        assert sheet.page_setup.orientation == "landscape" and sheet.page_setup.fitToWidth in (None, 1)
        assert {cell.data_type for row in sheet.iter_rows() for cell in row} <= {"n", "s"}
    # The cautions are where nothing takes them for a job, and at the foot of every printed page.
    cautions = " ".join(str(line) for [line] in rows_of(content, "Caution"))
    assert "Demonstration with invented valves" in cautions and "licensed technicians, under local codes" in cautions
    assert all("Licensed technicians only; follow codes" in sheet.oddFooter.center.text for sheet in book)
    jobs = rows_of(content, "Jobs")
    assert jobs[1][jobs[0].index("Load [kBtu/h]")] == 20 and jobs[1][jobs[0].index("Note")] == "=1+1"
    assert content == answer_to(JOBS).sheets.workbook()


def as_workbook(text: str, separator: str = ",") -> bytes:
    """A list as a clerk keeps it: a title in merged cells, an empty row, numbers as numbers."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Jobs of the week"])
    sheet.merge_cells("A1:D1")
    sheet.append([])
    for line in text.splitlines():
        cells = line.split(separator)
        sheet.append([float(cell) if cell.replace(".", "").isdigit() else cell or None for cell in cells])
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


@pytest.mark.slow
def test_a_workbook_and_a_list_with_decimal_commas_have_the_same_answers():
    plain = answer_to(JOBS).frame().drop(columns="line")
    in_book = pick_job_file(as_workbook(JOBS.replace("=1+1", "x")), "jobs.XLSX", catalogue=WORKED).frame()
    assert in_book.drop(columns="line").equals(plain) and in_book["line"].tolist() == [4, 5, 6, 7, 8, 9]
    text = JOBS.replace(",", ";").replace(";20;", ";20,0;").replace("-10F", "-10,0 degF")
    assert answer_to(text).frame().drop(columns="line").equals(plain)
    list_csv, order_csv = answer_to(text).sheets.csv_files()
    assert (
        list_csv.decode("utf-8-sig")
        .splitlines()[1]
        .startswith("A;R448A;35;11;;20,0;walk_in_medium;alder;2;;10 ft;'=1+1")
    )
    assert order_csv.decode("utf-8-sig").splitlines()[2].startswith("3;71-0207;Alder;90;")


def test_an_answered_list_is_answered_again():
    first = answer_to(JOBS)
    again = pick_job_file(first.sheets.csv_files()[0], "jobs.csv", catalogue=WORKED)
    assert again.sheets.csv_files() == first.sheets.csv_files()
    book = first.sheets.workbook()
    assert rows_of(pick_job_file(book, "a.xlsx", catalogue=WORKED).sheets.workbook(), "Jobs") == rows_of(book, "Jobs")


BAD = """# Invented.
refrigerant,load,SST [degF],application,quantity,capillary,job
R448A,20 kBtu/h,24,walk_in_medium,1,,"two
lines"
R448a,20,24,walk_in_medium,1.5,,no unit
R448,20 kBtu/h,24,walk_in_medium,1,,
R448A,20 psi,240,walk_in_medium,0,,three
R448A,20 kBtu/h,24,walk_in_mediun,1,,
R448A,20 kBtu/h,24,,1,,several
R448A,20 kBtu/h,-60,walk_in_medium,1,,
R448A,,,walk_in_medium,1,,
R134a,9 kBtu/h,24,walk_in_medium,1,7 ft,
"""
PROBLEMS = [
    "jobs.csv:5: load: '20' is not allowed; a load needs its unit, in the heading, such as 'load [kBtu/h]', or in the cell",
    "jobs.csv:5: quantity: '1.5' is not allowed; it must be a whole number",
    "jobs.csv:6: refrigerant: 'R448' is not allowed; a refrigerant or group must be one of",
    "jobs.csv:7: SST [degF]: '240 degF' is not allowed; it must be at least -76 degF and at most 86 degF",
    "jobs.csv:7: load: '20 psi' is not allowed; a load takes one of the units",
    "jobs.csv:7: quantity: 0 is not allowed; it must be at least 1 and at most 9999",
    "jobs.csv:8: application: 'walk_in_mediun' is not allowed; an application must be one of",
    "jobs.csv:9: application: several applications cover an SST of 24.0 degF",
    "jobs.csv:10: SST [degF]: walk_in_medium covers an SST of",
    "jobs.csv:11: SST [degF]: no temperature; fill in 'SST [degF]'",
    "jobs.csv:11: load: it is missing",
    "jobs.csv:12: capillary: '7 ft' is not allowed",
]


def test_bad_rows_are_named_by_line_and_the_rest_is_answered(tmp_path: Path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("jobs.csv").write_text(BAD, encoding="utf-8")
    code = main(
        ["pick", "--jobs", "jobs.csv", "--family", "alder", "--demo", "--output", "out.xlsx", "--csv", "out.csv"]
    )
    out, err = capsys.readouterr()
    assert code == 2 and "1 job has a valve." in out and "8 rows cannot be answered." in out
    lines = err.splitlines()
    assert len(lines) == len(PROBLEMS)
    for line, start in zip(lines, PROBLEMS, strict=True):
        assert line.startswith(start)
    assert "(did you mean R448A?)" in lines[2] and "(did you mean walk_in_medium?)" in lines[6]
    jobs = rows_of(Path("out.xlsx").read_bytes(), "Jobs")
    why = jobs[0].index("reason")
    assert len(jobs) == 10 and [row[why] is None for row in jobs[1:]] == [True, *[False] * 8]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["jobs.csv", "out-order.csv", "out.csv", "out.xlsx"]


def test_a_list_in_the_words_of_the_counter(tmp_path: Path):
    """Its job is the PO, its application a cooler; a row of totals is no job."""
    folder = copy_of_worked(tmp_path / "configs").parent
    text = (folder / "catalogue.yaml").read_text(encoding="utf-8")
    (folder / "catalogue.yaml").write_text(
        re.sub(r"(?m)^applications: .*$", "applications: [walk_in_medium, walk_in_low]", text), encoding="utf-8"
    )
    rows = "Quotes of the week\n\nPO,Gas,Box temp [F],SST [F],Load,Application\n"
    rows += "".join(
        f"P-{i},R448A,,24,20 kBtu/h,{name}\n" for i, name in enumerate(("cooler", "Walk-in coolers", "medium temp"))
    )
    rows += "P-3,R448A,,,20 kBtu/h,cooler\nTOTAL,,,,80,\n"
    answer = answer_to(rows, catalogue=folder)
    assert [problem.partition(":")[2] for problem in answer.problems] == [
        "7: SST [F]: no temperature; fill in 'SST [F]' or 'Box temp [F]'",
        "8: Gas: no refrigerant, and no SST or box temperature; is it a row of totals?",
    ]
    frame = answer.frame()
    assert frame["job"].tolist()[:3] == ["P-0", "P-1", "P-2"] and set(frame["application"][:3]) == {"walk_in_medium"}


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("refrigerant,load [kBtu/h],sst [degF]\nR448A,20,24\n", 0),
        ("refrigerant,load [kBtu/h],sst [degF]\nR448A,20,24\nR448A,900,24\n", 1),
        ("refrigerant,load [kBtu/h],sst [degF]\nR448A,20,24\nR448A,900,240\n", 2),
        ("refrigerant,load [kBtu/h],sst [degF]\nR448A,20,240\n", 2),
    ],
)
def test_exit_codes_are_those_of_a_list_of_cases(text, code, tmp_path: Path, capsys):
    (tmp_path / "jobs.csv").write_text(text, encoding="utf-8")
    arguments = ["pick", "--jobs", str(tmp_path / "jobs.csv"), "--application", "walk_in_medium", "--demo", "--json"]
    assert main(arguments) == code
    if code < 2:
        record = json.loads(capsys.readouterr().out)
        assert record["facts"]["with_valve"] == 1 and record["tables"]["jobs"][0]["family"] == "hazel"


@pytest.mark.parametrize("name", ["jobs.csv", "./x/../jobs.csv", "link.csv"])
def test_the_list_is_never_written_over(name, tmp_path: Path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "x").mkdir()
    Path("jobs.csv").write_text(JOBS, encoding="utf-8")
    Path("link.csv").symlink_to("jobs.csv")
    for option in ("--output", "--csv"):
        assert main(["pick", "--jobs", "jobs.csv", "--demo", option, name]) == 2
        assert "it is a list that this command reads" in capsys.readouterr().err
    Path("jobs-order.csv").write_text(JOBS, encoding="utf-8")
    assert main(["pick", "--jobs", "jobs-order.csv", "--demo", "--csv", "jobs.csv"]) == 2
    assert "the order list would be written to jobs-order.csv" in capsys.readouterr().err
    with pytest.raises(tablegen.RequestError, match="it is a list"):
        tablegen.pick(jobs="jobs.csv").write("jobs.csv")
    assert Path("jobs.csv").read_text(encoding="utf-8") == JOBS


@pytest.mark.parametrize(
    ("header", "message"),
    [
        ("refrigerant,sst [degF]", r":1: no column is called 'load \[kBtu/h\]'; every job needs it"),
        ("refrigerant,lod [kW],sst [degF]", r"lod \[kW\]: unknown column.*did you mean load"),
        ("refrigerant,load [kW]", r"no column is called 'sst \[degF\]' or 'box \[degF\]'"),
        ("refrigerant,load [psi],sst [degF]", r"load \[psi\]: 'psi' is not allowed; a load takes one of the units"),
        ("refrigerant,load [kW],load [kW],sst [degF]", "the column 'load .kW.' already gives load"),
        ("refrigerant,load [kW],box [degF],TD [psi]", "'psi' is not allowed; a temperature difference"),
        ("refrigerant,load [kW],sst [degF],quantitys", "quantitys: unknown column.*did you mean quantity"),
        ("1,2,3", "every job needs it"),
    ],
)
def test_headings_that_cannot_be_used(header, message):
    with pytest.raises(ConfigError, match=message):
        answer_to(f"{header}\n1,2,3,4\n")


def test_headings_as_clerks_write_them():
    for box, td, load in (
        ("Box Temperature (°F)", "Coil TD (°F)", "CAPACITY (Btu/h)"),
        ("ROOM TEMP degF", "coil temperature difference [delta_degF]", "Cooling load Btu/h"),
        ("box_temperature_degF", "TD [F]", "load_Btu/h"),
    ):
        text = f'Gas,{box},{td},{load},use\nR448A,35,11,"20,000",x\n'
        call = PickQuestion(application="walk_in_medium")
        assert answer_to(text, call=call).frame()["size"].tolist() == ["250"], box


def test_a_number_sign_is_a_heading_of_a_list_too():
    call = PickQuestion(application="walk_in_medium")
    text = "# of today\n#,Gas,Box temperature degF,TD degF,Load Btu/h\n7,R448A,35,11,20000\n# 8,R448A,35,11,9000\n"
    assert answer_to(text, call=call).frame()["size"].tolist() == ["250"]


def test_what_a_list_has_not(tmp_path: Path):
    path = tmp_path / "jobs.csv"
    path.write_text(JOBS, encoding="utf-8")
    for more in ({"split": ["40 %", "60 %"]}, {"overrides": ["losses.lift=1 m"]}, {"record": tmp_path}):
        with pytest.raises(tablegen.RequestError, match="it cannot be used with"):
            tablegen.pick(jobs=path, **more)


def test_hostile_files_end_in_one_clear_line():
    head = "refrigerant,load [kBtu/h],sst [degF],job\n"
    good = "R448A,20,24,ok\n"
    huge = "x" * 100_000
    for row in (
        "R448A\x1b[31m,20,24,a\n",
        f'R448A,20,24,"{huge}"\n',
        "R448A,1e999,24,b\n",
        "R448A,nan,24,c\n",
        ",,,\n",
        "R448A\n",
    ):
        answer = answer_to(head + good + row, call=PickQuestion(application="walk_in_medium"))
        assert answer.record()["with_valve"] == 1
        assert all("\n" not in line and len(line) < 2000 and line.isprintable() for line in answer.problems)
        rows_of(answer.sheets.workbook(), "Jobs")
    for data, name in (
        (b"", "a.csv"),
        (b"\0" * 50, "a.csv"),
        (b"PK\x03\x04rubbish", "a.xlsx"),
        (b"", "a.xlsx"),
        (b"x", "a.pdf"),
    ):
        with pytest.raises(ConfigError) as found:
            pick_job_file(data, name)
        assert len(str(found.value).splitlines()) <= 3
    with pytest.raises(ConfigError, match="100000 rows; a list of jobs has at most 100,000 rows"):
        answer_to(head + good * MOST_JOBS)


@pytest.mark.slow
def test_random_damage_never_ends_in_a_traceback():
    draw = random.Random(3)
    for _ in range(400):
        data = bytearray(JOBS.encode())
        for _ in range(draw.randint(1, 12)):
            at = draw.randrange(len(data))
            data[at : at + draw.randint(0, 3)] = bytes(draw.randrange(256) for _ in range(draw.randint(0, 3)))
        with contextlib.suppress(TablegenError):
            answer = pick_job_file(bytes(data), "jobs.csv")
            answer.sheets.workbook()
            answer.sheets.csv_files()


def test_the_list_that_comes_with_the_demo_is_answered():
    answer = tablegen.pick(jobs=CATALOGUE.parent / "jobs.csv")
    assert (answer.problems, answer.record()["with_valve"], answer.record()["without_valve"]) == ((), 6, 1)
    # By hand: 2 + 1 + 3 + 1 + 2 + 4.
    assert answer.frame("order_list")["quantity"].sum() == 13


def test_headings_and_cells_of_the_trade_are_read():
    plain = "Job,Refrigerant,Box temp [F],Load [MBH],Application\nA,R448A,35,18,walk_in_medium\nB,R404A,35,9,walk_in_medium\n"
    trade = "Job,Refrig,Box [F],BTUH,Application\nA,R448A,35,18000,walk_in_medium\nB,R404A,35,3/4 ton,walk_in_medium\n"
    mixed = "Job,Gas,Box [F],Load [MBH],Application\nA,R448A,35,1.5 tons,walk_in_medium\nB,R404A,35,9,walk_in_medium\n"
    expected = answer_to(plain).frame()
    for text in (trade, mixed):
        answer = answer_to(text)
        found = answer.frame()
        assert not answer.problems and found["part_number"].tolist() == expected["part_number"].tolist() != ["", ""]
        assert found["load_w"].tolist() == pytest.approx(expected["load_w"].tolist())


def test_a_unit_of_load_alone_is_no_second_load():
    text = "Refrigerant,Box [F],Load [MBH],kW,Application\nR448A,35,18,7.5,walk_in_medium\n"
    assert not answer_to(text).problems


@pytest.mark.parametrize(("units", "heading"), [("IP", "load [kBtu/h]"), ("SI", "load [kW]")])
def test_a_missing_column_is_named_in_the_units_of_the_reader(units, heading):
    with pytest.raises(ConfigError) as error:
        answer_to("Refrigerant,Box [F],Application\nR448A,35,walk_in_medium\n", units=units)
    assert heading in str(error.value)


def test_a_figure_beyond_the_headings_is_said_and_a_remark_is_none():
    answer = answer_to(
        "job,refrigerant,sst [degF],load [kBtu/h]\na,R134a,24,5,5\nb,R134a,24,5,by Friday\n#4711,R134a,24,5\n"
    )
    text = " ".join(str(answer).split())
    assert "'5' is not allowed; this row has more cells than the 4 headings" in text
    assert text.count("this row has more cells") == 1 and "#4711" in text


def test_a_list_that_would_lose_columns_is_refused():
    own = [f"own {i}" for i in range(96)]
    text = ",".join(["refrigerant", "sst [degF]", "load [kBtu/h]", *own]) + "\nR134a,24,5\n"
    assert answer_to(text)
    with pytest.raises(ConfigError, match="a list of jobs has at most 99 columns"):
        answer_to(text.replace("\n", ",more\n", 1))
