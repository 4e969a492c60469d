"""A class's handouts from the command: sheets, key and grade sheet read back, quiz files read by parsers of others."""

import html
import inspect
import json
import re
import warnings
import xml.etree.ElementTree as ET
import zipfile
from pathlib import Path

import openpyxl
import pandas as pd
import pytest
from pypdf import PdfReader

import tablegen
from tablegen.class_folder import HandoutReport
from tablegen.cli.main import main
from tablegen.dataset.handout_data import for_students, handout_data
from tablegen.dataset.shown import shown_by
from tablegen.model.students import Student, seed_of
from tablegen.report.pdf.page import Document, Heading, paragraph
from tablegen.report.pdf.page_sides import NextSheet
from tablegen.sweep.sweep import SweepOptions
from tests.cli.test_shared_options import COMMANDS
from tests.demo import CATALOGUE, demo_catalogue, demo_data

# What begins a formula, ends a question or a tag, or parts the names of a path.
HOSTILE = ["=cmd|'/c calc'!A1", "{x} ~y #z: <b>&amp;</b> \\n", "a/b ::c:: $$ %d </text>"]
NAMES = ["Ana Lopez", "Zoë Łukasz", *HOSTILE]
LABEL = "Class 2B, fall term"


def class_list(folder: Path, names: list[str], column: str = "Name") -> Path:
    path = folder / "class.csv"
    path.write_text(pd.DataFrame({column: names}).to_csv(index=False), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> HandoutReport:
    folder = tmp_path_factory.mktemp("class")
    return tablegen.handout(CATALOGUE, folder / "out", class_list=class_list(folder, NAMES))


def page_texts(path: Path) -> list[str]:
    return [" ".join(p.extract_text().replace("\N{NO-BREAK SPACE}", " ").split()) for p in PdfReader(path).pages]


def by_student(path: Path, names: list[str]) -> dict[str, list[str]]:
    """The pages of each student: of those with the name in the running head, and the first, which has it as its heading."""
    pages = page_texts(path)
    return {name: [page for page in pages if " ".join(name.split()) in page] for name in names}


def questions(folder: Path) -> list[dict[str, object]]:
    sheet = openpyxl.load_workbook(folder / "questions.xlsx").active
    header, *rows = sheet.iter_rows(values_only=True)
    return [dict(zip(header, row, strict=True)) for row in rows]


def test_each_student_has_a_sheet_of_its_own_that_begins_on_a_right_page(made):
    pages = page_texts(made.folder / "class.pdf")
    assert len(pages) == made.pages["class.pdf"]
    sheets = by_student(made.folder / "class.pdf", NAMES)
    starts = [pages.index(sheets[name][0]) for name in NAMES]
    assert starts == sorted(starts)
    assert all(start % 2 == 0 for start in starts)
    for name, student in zip(NAMES, made.students, strict=True):
        # The seed is the teacher's.
        assert not any(str(student.seed) in page for page in sheets[name])
        # The name is on every page of it: loose sheets find together again.
        text = " ".join(sheets[name])
        assert re.findall(r"(?<= )(\d+) (?=(?:Pick a size|Round a window|Static superheat))", text)[:2] == ["1", "2"]
    assert len({re.sub(r"seed \d+|Page \d+", "", " ".join(own).replace(name, "")) for name, own in sheets.items()}) == 5


def test_every_page_of_a_class_has_cautions_and_none_is_empty(made):
    for name in ("class.pdf", "class-answers.pdf"):
        for page in page_texts(made.folder / name):
            assert "Adjusting a valve is work for a licensed technician who measures superheat." in page
            assert "under local codes and the equipment manufacturer's instructions." in page.replace(
                "\N{RIGHT SINGLE QUOTATION MARK}", "'"
            )
    first, *more = page_texts(made.folder / "lesson.pdf")
    assert "Isolate, recover the refrigerant and relieve the pressure before opening a circuit." in first
    # Head and foot of a page are about thirty words.
    assert all(len(page.split()) > 60 for page in more)


def heads_and_feet(path: Path) -> list[tuple[str, str]]:
    """Of each page what stands over 740 pt, where a letter page has its running head, and its number."""
    found = []
    for page in PdfReader(path).pages:
        parts: list[str] = []
        high = page.mediabox.height - 52.0
        page.extract_text(
            visitor_text=lambda text, cm, tm, *_, parts=parts, high=high: parts.append(
                text if cm[5] + tm[5] > high else ""
            )
        )
        number = re.search(r"Page \d+ of \d+", page.extract_text())
        assert number
        found.append((" ".join("".join(parts).split()), number[0]))
    return found


def test_each_page_of_a_sheet_has_its_own_student_in_its_head_and_is_numbered_within_the_sheet(made):
    """The first page has the name as its heading and no running head; a page for notes belongs to the sheet before it."""
    pages, found = page_texts(made.folder / "class.pdf"), heads_and_feet(made.folder / "class.pdf")
    starts = [i for i, (_, foot) in enumerate(found) if foot.startswith("Page 1 of")]
    assert len(starts) == len(NAMES)
    for name, first, end in zip(NAMES, starts, [*starts[1:], len(found)], strict=True):
        printed = " ".join(name.split())
        assert found[first][0] == ""
        assert printed in pages[first]
        assert all(head.endswith(printed) for head, _ in found[first + 1 : end])
        assert [foot for _, foot in found[first:end]] == [
            f"Page {i} of {end - first}" for i in range(1, end - first + 1)
        ]


def test_a_page_for_notes_has_the_name_of_its_sheet(tmp_path):
    target = tmp_path / "sheets.pdf"
    story = [part for name in ("Ana", "Ben") for part in (NextSheet(), Heading(name), paragraph("A question."))]
    assert Document(target, "letter", "Title", date=None).build(story) == 3
    assert heads_and_feet(target) == [("", "Page 1 of 2"), ("Title Ana", "Page 2 of 2"), ("", "Page 1 of 1")]
    assert "Notes" in page_texts(target)[1]


def test_no_name_is_alone_at_the_foot_of_the_key(made):
    """The first answer is on the page of the name."""
    reader = PdfReader(made.folder / "class-answers.pdf")
    outline = reader.outline
    own = [(item, outline[i + 1][0]) for i, item in enumerate(outline) if getattr(item, "title", "") in NAMES]
    assert len(own) == len(NAMES)
    for name, answer in own:
        assert reader.get_destination_page_number(name) == reader.get_destination_page_number(answer), name.title


@pytest.mark.slow
def test_a_name_gives_the_same_sheet_in_any_list(made, tmp_path):
    other = tablegen.handout(
        CATALOGUE, tmp_path / "out", class_list=class_list(tmp_path, ["Cem", "ana  LOPEZ"], "Student")
    )
    own, again = (
        [q for q in questions(r.folder) if str(q["Student"]).casefold().startswith("ana")] for r in (made, other)
    )
    assert len(own) == len(again) > 12
    for first, second in zip(own, again, strict=True):
        assert {**first, "Student": ""} == {**second, "Student": ""}
    assert made.students[0].seed == other.students[1].seed == seed_of("Ana Lopez", 2026)
    # The rule of the manual, worked by hand: the first four bytes of a digest.
    assert seed_of("Ana Lopez", 2026) == 1774726819


def of_application(frame: pd.DataFrame, application: str) -> pd.DataFrame:
    own = frame[frame["application"] == application] if "application" in frame else frame
    return own.reset_index(drop=True)


@pytest.mark.slow
def test_a_handout_is_drawn_from_the_same_data_as_in_a_build():
    """The catalogue of one table alone gives every figure of the whole catalogue."""
    handout = demo_catalogue().handouts[0]
    handout_law = demo_catalogue().families[handout.family].flow_law.value
    (own,) = for_students(handout, [Student("", handout.seed)])
    narrow, wide = handout_data(demo_catalogue(), [own], SweepOptions()), shown_by(demo_data(), "handout")
    for name in ("group_windows", "windows", "states", "example", "balance", "superheat", "limit_forces", "charges"):
        # Which other application is compared with depends on the units.
        found, expected = (of_application(getattr(data, name), handout.application) for data in (narrow, wide))
        if "flow_law" in expected:
            # Of other families' laws too.
            expected = expected[expected["flow_law"] == handout_law].reset_index(drop=True)
        # A column without any fraction is read as whole numbers: other rows of the whole catalogue may have some.
        pd.testing.assert_frame_equal(found, expected, check_categorical=False, check_dtype=False)
    for name in ("exercises", "exercise_tables"):
        expected, found = getattr(wide, name), getattr(narrow, name)
        expected = expected[expected["publication"] == "handout"].drop(columns="publication").reset_index(drop=True)
        pd.testing.assert_frame_equal(found.drop(columns="publication"), expected, check_categorical=False)


def test_the_key_has_each_answer_in_the_order_of_the_class(made):
    reader = PdfReader(made.folder / "class-answers.pdf")
    outline = [item.title for item in reader.outline if not isinstance(item, list)]
    assert outline == ["Grade sheet", "Teaching pages", *NAMES]
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).replace("\N{NO-BREAK SPACE}", " ").split())
    asked = pd.DataFrame(questions(made.folder))
    asked["Number"] = asked["Exercise"].astype(str).str.extract(r"(\d+)")
    place = text.index("Teaching pages Each line")
    for name in NAMES:
        place = text.index(f"{name} 1 ", place)
        for number, rows in asked[asked["Student"] == name].groupby("Number", sort=False):
            place = text.index(f"{number} {rows['Title'].iloc[0]} ", place)
            answer = text.index("Answer: ", place)
            # Up to where the next one begins.
            shown = text[answer : answer + 160]
            figures = [
                row["Answer"].replace("-", "\N{MINUS SIGN}")
                for _, row in rows.iterrows()
                if row["Unit"] and row["Wrong choices"] is None
            ]
            assert all(re.search(rf"(?<![\d.]){re.escape(f)}(?![\d.]*\d)", shown) for f in figures), (
                name,
                shown,
                figures,
            )
            place = answer


def tolerance(row: dict[str, object]) -> float:
    """What a row of the questions allows."""
    return 0.0 if row["Tolerance"] == "exact" else float(str(row["Tolerance"]))


def element(question: ET.Element, path: str) -> str:
    found = question.find(path)
    assert found is not None, path
    return found.text or ""


def test_moodle_xml_has_the_elements_that_the_format_asks_for(made):
    """Elements, attributes and values as Moodle's documentation of its XML format lists them for these types."""
    root = ET.fromstring((made.folder / "questions.xml").read_bytes())
    assert root.tag == "quiz"
    assert {child.tag for child in root} == {"question"}
    categories = [element(q, "category/text") for q in root if q.get("type") == "category"]
    # A slash in a name is doubled.
    assert categories == [f"$course$/top/{LABEL}/{name.replace('/', '//')}" for name in NAMES]
    asked = [q for q in root if q.get("type") != "category"]
    rows = questions(made.folder)
    assert len(asked) == len(rows) > 60
    for question, row in zip(asked, rows, strict=True):
        number = re.fullmatch(r"(\d+)([a-z]?)", str(row["Exercise"]))
        assert element(question, "name/text") == f"{row['Student']} {int(number[1]):02d}{number[2]}"
        assert question.find("questiontext").get("format") == "html"
        assert str(row["Asked for"]) in html.unescape(
            re.sub(r"</?sub>", "", element(question, "questiontext/text"))
        ).replace("\n", " ")
        assert float(element(question, "defaultgrade")) == 1.0
        assert 0.0 <= float(element(question, "penalty")) <= 1.0
        assert element(question, "hidden") == "0"
        right = [a for a in question.findall("answer") if a.get("fraction") == "100"]
        assert len(right) == 1
        if row["Tolerance"] is None:
            assert question.get("type") == "multichoice"
            assert element(question, "single") == "true"
            assert element(question, "shuffleanswers") in ("true", "1")
            assert element(question, "answernumbering") in ("abc", "ABCD", "123", "iii", "IIII", "none")
            assert html.unescape(element(right[0], "text")) == row["Answer"]
            wrong = [html.unescape(element(a, "text")) for a in question.findall("answer") if a.get("fraction") == "0"]
            assert "; ".join(wrong) == row["Wrong choices"]
            assert wrong and row["Answer"] not in wrong
        else:
            assert question.get("type") == "numerical"
            assert element(right[0], "text") == row["Answer"]
            assert float(element(right[0], "tolerance")) == pytest.approx(tolerance(row), rel=1e-6, abs=1e-9)
            units = [element(u, "unit_name") for u in question.findall("units/unit")]
            assert units[:1] == ([row["Unit"]] if row["Unit"] else [])
            assert {element(u, "multiplier") for u in question.findall("units/unit")} <= {"1"}
            assert element(question, "showunits") == ("0" if units else "3")


def test_questions_by_kind_are_the_same_in_other_categories(made):
    """A category for each kind, with each student's questions of it in the order of the class; the same in both formats."""
    root = ET.fromstring((made.folder / "questions-by-kind.xml").read_bytes())
    rows = questions(made.folder)
    kinds = list(dict.fromkeys(str(row["Kind"]) for row in rows))
    assert len(kinds) > 8
    found: dict[str, list[bytes]] = {}
    for question in root:
        if question.get("type") == "category":
            own = found.setdefault(element(question, "category/text"), [])
        else:
            own.append(ET.tostring(question).strip())
    assert list(found) == [f"$course$/top/{LABEL}/{kind}" for kind in kinds]
    assert [len(own) for own in found.values()] == [sum(row["Kind"] == kind for row in rows) for kind in kinds]
    by_student = ET.fromstring((made.folder / "questions.xml").read_bytes())
    other = [ET.tostring(question).strip() for question in by_student if question.get("type") != "category"]
    assert sorted(part for own in found.values() for part in own) == sorted(other)
    entries, others = (
        (made.folder / f"questions{name}.gift.txt").read_text(encoding="utf-8").split("\n\n")
        for name in ("-by-kind", "")
    )
    assert [entry for entry in entries if entry.startswith("$")] == [f"$CATEGORY: {name}" for name in found]
    assert sorted(e for e in entries if e[:1] == ":") == sorted(e for e in others if e[:1] == ":")


@pytest.mark.slow
def test_a_school_number_is_in_the_grade_sheet_alone(tmp_path):
    path = tmp_path / "class.csv"
    path.write_text('ID,Student\n0077001,"Brown, Tyler"\n0077002,"Brown, Tyler"\n', encoding="utf-8")
    report = tablegen.handout(
        CATALOGUE, tmp_path / "out", class_list=path, count=2, kinds=["pick", "rounding"], units="IP"
    )
    names = ["Brown, Tyler", "Brown, Tyler (2)"]
    # As without numbers, and as the manual says: from the name as it is printed.
    assert [student.seed for student in report.students] == [seed_of(name, 2026) for name in names]
    for name in report.files:
        if name.endswith(".pdf"):
            assert not any("00770" in page for page in page_texts(report.folder / name)), name
        elif name != "grades.xlsx":
            assert b"00770" not in (report.folder / name).read_bytes(), name
    first, *rows = openpyxl.load_workbook(report.folder / "grades.xlsx").active.iter_rows()
    assert [cell.value for cell in first] == ["Student", "ID", "1", "2", "Total", "Out of", "Percent", "Seed"]
    assert [[cell.value for cell in row[:2]] for row in rows[:2]] == [[names[0], "0077001"], [names[1], "0077002"]]
    assert rows[0][4].value == "=SUM(C2:D2)" and rows[0][6].value == "=ROUND(100*E2/F2,0)"
    assert rows[0][5].value > 0


def unescaped(text: str) -> str:
    return re.sub(r"\\([\\~=#{}:])", r"\1", text)


def test_a_parser_of_gift_reads_the_same_questions(made):
    with warnings.catch_warnings():
        # Of its own ways to find the language of the user.
        warnings.simplefilter("ignore")
        from pygiftparser import parser as gift_parser
    with (made.folder / "questions.gift.txt").open(encoding="utf-8") as stream:
        found = gift_parser.parseFile(stream)
    rows = questions(made.folder)
    assert len(found) == len(rows)
    for question, row in zip(found, rows, strict=True):
        assert question.valid
        number = re.fullmatch(r"(\d+)([a-z]?)", str(row["Exercise"]))
        assert unescaped(question.title) == f"{row['Student']} {int(number[1]):02d}{number[2]}"
        assert question.markup == "html"
        assert str(row["Asked for"]) in html.unescape(re.sub(r"</?sub>", "", unescaped(question.text)))
        answers = question.answers.answers
        if row["Tolerance"] is None:
            assert type(question.answers).__name__ == "SelectSet" or len(answers) > 1
            texts = [html.unescape(unescaped(a.answer)).strip() for a in answers]
            assert [t for t, a in zip(texts, answers, strict=True) if a.fraction > 0] == [row["Answer"]]
            assert "; ".join(texts[1:]) == row["Wrong choices"]
        else:
            (answer,) = answers
            assert float(answer.value) == float(row["Answer"])
            assert float(answer.tolerance) == pytest.approx(tolerance(row), rel=1e-6, abs=1e-9)


def test_the_grade_sheet_adds_up_and_no_name_is_a_formula(made):
    sheet = openpyxl.load_workbook(made.folder / "grades.xlsx").active
    header, *rows = sheet.iter_rows()
    assert [cell.value for cell in header] == ["Student", *map(str, range(1, 13)), "Total", "Out of", "Percent", "Seed"]
    asked = pd.DataFrame(questions(made.folder))["Student"].value_counts()
    for name, student, row in zip(NAMES, made.students, rows, strict=True):
        assert (row[0].value, row[0].data_type) == (name, "s")
        assert all(cell.value is None for cell in row[1:13])
        assert (row[13].value, row[13].data_type) == (f"=SUM(B{row[0].row}:M{row[0].row})", "f")
        assert row[14].value == asked[name]
        number = row[0].row
        assert (row[15].value, row[15].data_type) == (f"=ROUND(100*N{number}/O{number},0)", "f")
        assert row[16].value == str(student.seed)
    own = [q["Student"] for q in questions(made.folder)]
    assert list(dict.fromkeys(own)) == NAMES
    with zipfile.ZipFile(made.folder / "questions.xlsx") as archive:
        assert b"<f>" not in archive.read("xl/worksheets/sheet1.xml")


def test_points_are_on_the_sheets_and_what_they_are_out_of_is_in_the_grade_sheet(made):
    """Students have different totals: each exercise and each sheet states its points, a second sheet adds them up by exercise."""
    book = openpyxl.load_workbook(made.folder / "grades.xlsx")
    _, *marks = book["Grade sheet"].iter_rows(values_only=True)
    header, *rows = book["Out of"].iter_rows(values_only=True)
    assert header == ("Student", *map(str, range(1, 13)))
    assert [row[0] for row in rows] == [*NAMES, "Class average, percent", "Kind"]
    sheets = by_student(made.folder / "class.pdf", NAMES)
    for name, row, mark in zip(NAMES, rows, marks, strict=False):
        text = " ".join(sheets[name])
        printed = [int(own) for own in re.findall(r"\((\d+) points?\)", text)]
        assert tuple(printed) == row[1:]
        assert f": {sum(printed)} points, one for each figure and each choice." in text
        assert mark[14] == sum(printed)
    last = len(NAMES) + 1
    marks_of = f"'Grade sheet'!B2:B{last}"
    assert rows[-2][1] == (
        f'=IF(COUNT({marks_of})=0,"",ROUND(100*SUM({marks_of})/SUMIF({marks_of},">=0",B2:B{last}),0))'
    )
    assert rows[-1][1:4] == ("pick", "rounding", "mass_flow")


@pytest.mark.slow
def test_what_was_entered_is_not_replaced_and_the_same_list_gives_the_same_bytes(tmp_path, capsys):
    arguments = ["handout", "--catalogue", str(CATALOGUE), "--count", "2", "--difficulty", "easy", "--units", "SI"]
    arguments += ["--class-list", str(class_list(tmp_path, ["7", "12"], "No.")), "--output", str(tmp_path / "out")]
    assert main(arguments) == 0
    shown = capsys.readouterr()
    assert shown.err == ""
    assert "handouts for 2 students" in shown.out
    written = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    assert "kW" in page_texts(tmp_path / "out" / "class.pdf")[0]
    assert main(arguments) == 0
    assert written == {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    assert [p["name"] for p in json.loads(written["handout.json"])["students"]] == ["7", "12"]
    capsys.readouterr()
    book = openpyxl.load_workbook(tmp_path / "out" / "grades.xlsx")
    book.active["B2"] = 1
    book.save(tmp_path / "out" / "grades.xlsx")
    changed = (tmp_path / "out" / "grades.xlsx").read_bytes()
    assert main(arguments) == 2
    assert "grades.xlsx is not as it was written" in capsys.readouterr().err
    assert (tmp_path / "out" / "grades.xlsx").read_bytes() == changed
    (tmp_path / "out" / "grades.xlsx").write_bytes(written["grades.xlsx"])
    (tmp_path / "out" / "notes.txt").write_text("mine", encoding="utf-8")
    assert main(arguments) == 2
    assert "contains notes.txt" in capsys.readouterr().err
    assert not [path for path in tmp_path.iterdir() if path.name.endswith(".part")]


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"publication": "hand"}, "publication: 'hand' is not allowed; a handout must be one of handout"),
        ({"seed": -1}, "seed: -1 is not allowed; it must be a whole number from 0 to 4294967295"),
        ({"count": 61}, "count: 61 is not allowed; it must be a whole number from 1 to 60"),
        ({"kinds": ["picks"]}, "kinds: 'picks' is not allowed; it must be one of pick, .*did you mean pick"),
        ({"difficulty": "esy"}, "difficulty: 'esy' is not allowed; .*did you mean easy"),
        ({"paper": "a5"}, "paper: 'a5' is not allowed"),
        ({"units": "US"}, "'US' is not allowed"),
    ],
)
def test_an_argument_that_is_not_allowed_is_named(given, message, tmp_path):
    with pytest.raises(tablegen.RequestError, match=message):
        tablegen.handout(CATALOGUE, tmp_path / "out", **given)
    assert not (tmp_path / "out").exists()


def test_the_function_has_the_options_of_the_command():
    options = {action.dest for action in COMMANDS["handout"]._actions} - {"help", "demo"}
    # A terminal shows a bar without being asked.
    assert set(inspect.signature(tablegen.handout).parameters) - options == {"progress"}
    assert options <= set(inspect.signature(tablegen.handout).parameters)


def test_another_folder_is_not_replaced(tmp_path):
    (tmp_path / "letter.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(tablegen.OutputError, match=r"contains no handout\.json"):
        tablegen.handout(CATALOGUE, tmp_path, count=1, kinds=["pick"])
    assert (tmp_path / "letter.txt").read_text(encoding="utf-8") == "mine"
