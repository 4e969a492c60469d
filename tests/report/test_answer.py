"""The value of an answer: what it refuses, what it exports, what a terminal, JSON and CSV make of it."""

import csv
import io
import json
import math
import subprocess
import sys
from datetime import date

import pytest

from tablegen.report.answer import (
    Answer,
    AnswerColumn,
    AnswerTable,
    ColumnStyle,
    Fact,
    Imprint,
    TableLayout,
    Value,
    visible,
)
from tablegen.report.json_export import to_csv, to_json
from tablegen.report.text import WIDTH, to_text

NBSP = "\N{NO-BREAK SPACE}"
HOSTILE = "Ald\x1b[31mer\u202e <b>&\"'\u200b\n=1+1"


def sizes_table(names=("Hazel", "Alder"), **more):
    return AnswerTable(
        key="sizes",
        columns=(
            AnswerColumn(("family",), "Family"),
            AnswerColumn(("min_load_w", "max_load_w"), "Load window, kW"),
            AnswerColumn(("margin",), "Margin", ColumnStyle.FIGURES),
            AnswerColumn(("is_stocked",)),
            AnswerColumn((), "Remark"),
        ),
        rows=tuple(
            (
                Value.of(name),
                Value("2.25 to 16.1", (2250.25, 16100.5 + i)),
                Value("–" if i else "2.50", (math.nan if i else 2.5,)),
                Value("", (not i,)),
                Value("as printed"),
            )
            for i, name in enumerate(names)
        ),
        **more,
    )


def answer(**more):
    given = {
        "key": "pick",
        "heading": f"R448A at SST −4{NBSP}°C",
        "summary": ("First choice: Hazel 250.",),
        "facts": (
            Fact(("sst_k",), "SST", Value(f"−4{NBSP}°C", (269.15,))),
            Fact(("date",), "", Value("", (date(2026, 11, 25),))),
            Fact((), "Application", Value("Walk-in cooler")),
        ),
        "tables": (sizes_table(),),
        "notes": ("Loads are gross.",),
        "imprint": Imprint(notice="Invented data.", cautions=("Follow the codes.",)),
    }
    return Answer(**(given | more))


def test_terminal_text_is_the_parts_in_order():
    assert to_text(answer()).split("\n") == [
        "R448A at SST −4 °C",
        "First choice: Hazel 250.",
        "",
        "SST          −4 °C",
        "Application  Walk-in cooler",
        "",
        "Family  Load window, kW  Margin  Remark",
        "Hazel   2.25 to 16.1       2.50  as printed",
        "Alder   2.25 to 16.1          –  as printed",
        "",
        "Loads are gross.",
        "",
        "Invented data.",
        "Follow the codes.",
    ]


def test_json_reads_back_as_the_same_data():
    read = json.loads(to_json(answer()))
    assert read["facts"] == {"sst_k": 269.15, "date": "2026-11-25"}
    assert read["tables"]["sizes"][1] == {
        "family": "Alder",
        "min_load_w": 2250.25,
        "max_load_w": 16101.5,
        "margin": None,
        "is_stocked": False,
    }
    assert read["answer"] == "pick" and read["heading"] == "R448A at SST −4 °C"
    assert read["summary"] == ["First choice: Hazel 250."] and read["notes"] == ["Loads are gross."]
    assert read["notice"] == "Invented data." and "sections" not in read


def test_json_keeps_every_digit_of_a_figure():
    value = 5861.421412013428
    fact = Fact(("load_w",), "Load", Value("5.86 kW", (value,)))
    assert json.loads(to_json(answer(facts=(fact,))))["facts"]["load_w"] == value


def test_measured_figure_that_is_not_a_number_is_printed_as_none():
    assert Value.measured(math.nan, str).text == "–" and math.isnan(Value.measured(math.nan, str).data[0])


def test_list_is_a_list_in_json_and_one_cell_in_csv():
    value = Value("5 ft or 10 ft", ((1.524, 3.048),))
    assert json.loads(to_json(answer(facts=(Fact(("lengths_m",), "", value),))))["facts"] == {
        "lengths_m": [1.524, 3.048]
    }
    table = AnswerTable(key="t", columns=(AnswerColumn(("lengths_m",)),), rows=((value,),))
    assert to_csv(table) == "lengths_m\n1.524; 3.048\n"


def test_infinity_is_null_too():
    fact = Fact(("ratio",), "Ratio", Value("–", (math.inf,)))
    assert json.loads(to_json(answer(facts=(fact,))))["facts"] == {"ratio": None}


def test_csv_is_the_keys_and_si_values():
    rows = list(csv.DictReader(io.StringIO(to_csv(sizes_table()))))
    assert rows[0] == {
        "family": "Hazel",
        "min_load_w": "2250.25",
        "max_load_w": "16100.5",
        "margin": "2.5",
        "is_stocked": "true",
    }
    assert rows[1]["margin"] == ""


@pytest.mark.parametrize(
    ("text", "cell"), [("=1+1", "'=1+1"), ("@x", "'@x"), ("-cmd", "'-cmd"), ("-45.2", "-45.2"), ("+3e-2", "+3e-2")]
)
def test_csv_cell_is_no_formula(text, cell):
    assert list(csv.reader(io.StringIO(to_csv(sizes_table([text])))))[1][0] == cell


def test_csv_table_is_the_one_named_or_the_first_with_keys():
    printed = AnswerTable(key="shown", columns=(AnswerColumn((), "Text"),), rows=((Value("a"),),))
    named = sizes_table()
    assert answer(tables=(printed, named)).csv_table() is named
    other = AnswerTable(key="other", columns=(AnswerColumn(("n",)),), rows=())
    assert answer(tables=(named, other), csv_key="other").csv_table() is other
    with pytest.raises(AssertionError, match="answer 'pick' has no table '' for a CSV file"):
        answer(tables=(printed,)).csv_table()


def test_terminal_shows_no_control_or_bidirectional_character():
    shown = to_text(
        answer(
            heading=HOSTILE,
            notes=(HOSTILE,),
            tables=(sizes_table([HOSTILE]),),
            facts=(Fact(("name",), "Name", Value.of(HOSTILE)),),
        )
    )
    assert [c for c in shown if not c.isprintable() and c != "\n"] == []
    assert shown.count("Ald\\x1b[31mer\\u202e") == 4


def test_json_of_hostile_text_reads_back_and_turns_no_terminal():
    text = to_json(answer(facts=(Fact(("name",), "Name", Value.of(HOSTILE)),)))
    assert json.loads(text)["facts"]["name"] == HOSTILE
    assert [c for c in text if not c.isprintable() and c != "\n"] == []


def test_visible_leaves_ordinary_text_alone():
    plain = f"Δp = 3.1{NBSP}kPa – “é”"
    assert visible(plain) == plain


def test_long_table_is_printed_to_its_limit_and_exported_whole():
    table = sizes_table([f"F{i}" for i in range(500)], printed_rows=3, more="497 rows more in the CSV file.")
    shown = to_text(answer(tables=(table,)))
    assert "F2 " in shown and "F3 " not in shown and "497 rows more in the CSV file." in shown
    assert len(table.records()) == 500 and to_csv(table).count("\n") == 501


@pytest.mark.parametrize("width", [40, 60, 80, WIDTH])
def test_no_line_is_wider_than_the_terminal(width):
    long = "a load that no size covers, between two sizes, " * 5
    table = AnswerTable(
        key="why",
        columns=(
            AnswerColumn(("a",), "What"),
            AnswerColumn(("b",), "Why"),
            AnswerColumn(("c",), "Load in kilowatts", ColumnStyle.FIGURES),
        ),
        rows=((Value.of(long), Value.of(long), Value("12.5", (12500.0,))),) * 2,
    )
    lines = to_text(answer(tables=(table,), notes=(long,)), width).split("\n")
    assert max(map(len, lines)) <= width
    # Folded, not cut: every word is still there.
    assert " ".join(lines).count("covers,") == 5 * 5


def test_table_too_narrow_for_its_columns_is_a_list_of_labels_and_cells():
    columns = tuple(AnswerColumn((f"k{i}",), f"Label {i}", ColumnStyle.FIGURES) for i in range(9))
    rows = (tuple(Value("123456.7", (float(i),)) for i in range(9)),)
    shown = to_text(answer(tables=(AnswerTable(key="wide", columns=columns, rows=rows),)), 60)
    assert "Label 8  123456.7" in shown


def test_break_of_a_table_is_an_empty_line():
    shown = to_text(answer(tables=(sizes_table(breaks=(0, 1)),)))
    assert "as printed\n\nAlder" in shown


def test_entries_have_a_line_for_each_cell_that_is_not_empty():
    columns = tuple(AnswerColumn((key,), key.title()) for key in ("step", "equation", "figures", "result"))
    rows = (
        (Value.of("9"), Value.of("a = b c"), Value.of("= 2 × 3"), Value.of("= 6")),
        (Value.of("10"), Value.of("d = a"), Value.of(""), Value.of("= 6")),
    )
    table = AnswerTable(key="steps", columns=columns, rows=rows, layout=TableLayout.ENTRIES)
    lines = to_text(answer(tables=(table,), facts=(), summary=(), notes=(), imprint=None)).split("\n")
    assert lines[1:] == [" 9  a = b c", "    = 2 × 3", "    = 6", "10  d = a", "    = 6"]


def test_sections_are_shown_and_exported_within_their_answer():
    whole = answer(sections=(answer(key="first", imprint=None), answer(key="second", imprint=None)))
    assert [part.key for part in whole.every_section()] == ["pick", "first", "second"]
    assert list(json.loads(to_json(whole))["sections"]) == ["first", "second"]
    assert to_text(whole).count("First choice") == 3 and to_text(whole).count("Invented data.") == 1


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Fact(("a", "b"), "L", Value.of("x")), "fact 'L': 'x' has 1 data, 2 keys"),
        (lambda: Fact(("Load [W]",), "L", Value.of("x")), "'Load \\[W\\]' is no key"),
        (
            lambda: AnswerTable(key="t", columns=(AnswerColumn(("a",)), AnswerColumn(("a",))), rows=()),
            "table 't': a key is used twice among a, a",
        ),
        (
            lambda: AnswerTable(key="t", columns=(AnswerColumn(("a",)),), rows=((),)),
            "table 't': a row of 0 values, 1 columns",
        ),
        (lambda: answer(tables=(sizes_table(), sizes_table())), "a key is used twice among sizes, sizes"),
        (
            lambda: answer(facts=(Fact(("a",), "1", Value.of("x")), Fact(("a",), "2", Value.of("x")))),
            "a key is used twice among a, a",
        ),
    ],
)
def test_value_refuses_what_could_not_be_exported(make, message):
    with pytest.raises(AssertionError, match=message):
        make()


def test_value_and_its_quick_renderers_need_no_heavy_library():
    code = (
        "import sys, tablegen.report.answer, tablegen.report.text, tablegen.report.json_export;"
        "print([m for m in ('numpy', 'pandas', 'fontTools', 'reportlab', 'pydantic', 'CoolProp') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
