"""`tablegen trace` from the command line: text, sheet, JSON, problems."""

from __future__ import annotations

import io
import json
import re

import pypdfium2
import pytest

from tablegen.cli.main import main
from tests.demo import CATALOGUE, demo_data, page_texts
from tests.worked import WORKED

WHERE = ["--catalogue", str(WORKED)]
CELL = ["alder", "90", "R448A-family", "--sst", "24 degF", "--application", "walk_in_medium"]


def run(capsys, *arguments: str) -> tuple[int, str, str]:
    code = main(["trace", *arguments, *WHERE])
    done = capsys.readouterr()
    return code, done.out, done.err


def test_text_ends_in_the_printed_figures_and_names_its_sources(capsys):
    code, out, err = run(capsys, *CELL)
    assert (code, err) == (0, "")
    assert out.splitlines()[1] == "Printed: 14.1–31.4 kBtu/h."
    assert "losses.distributor: 25 psi (applications/walk_in_medium.yaml:54)" in out
    minimum, maximum = "Minimum load, set by R407F at high head", "Maximum load, set by R449A at low head"
    assert out.index(minimum) < out.index(maximum)
    flat = " ".join(out.split())
    assert (
        "14.012 kBtu/h, rounded up to three significant figures so that it promises no more than was computed: 14.1 kBtu/h."
        in flat
    )
    assert (
        "31.41 kBtu/h, rounded down to three significant figures so that it promises no more than was computed: 31.4 kBtu/h."
        in flat
    )
    assert "IEC 60534-2-1" in out
    assert "invented valves" in out
    assert max(map(len, out.splitlines())) <= 110
    # The factory setting is calculated once.
    assert out.count("p_spring = p_b0") == 1
    assert "Factory setting\nSteps 21 to 27 above." in out


def test_the_loads_that_are_compared_are_named_minimum_and_maximum(capsys):
    out = run(capsys, *CELL)[1]
    assert "Minimum load at each operating condition; the largest sets the minimum" in out
    assert "Minimum load of each refrigerant; the largest sets the group's minimum" in out
    assert "Maximum load at each operating condition; the smallest sets the maximum" in out
    assert "Maximum load of each refrigerant; the smallest sets the group's maximum" in out
    for lines in (line.split() for line in out.splitlines() if line.endswith("sets it")):
        assert float(lines[-3]) in (14.012, 31.41)


def test_one_limit_in_si_has_one_unit_system(capsys):
    code, out, _ = run(capsys, *CELL, "--limit", "maximum", "--units", "SI")
    assert code == 0
    assert "Maximum load, set by" in out and "Minimum load, set by" not in out
    assert "psi" not in out.split("Maximum load, set by")[1]


def test_detail_says_what_is_printed_and_leaves_nothing_out_of_the_data(capsys):
    texts = {name: run(capsys, *CELL, "--detail", name)[1] for name in ("summary", "steps", "full")}
    sizes = {name: len(text.splitlines()) for name, text in texts.items()}
    assert sizes["summary"] < 25 < 200 < sizes["steps"] < sizes["full"]
    assert texts["full"] == run(capsys, *CELL)[1]
    for text in texts.values():
        assert "Minimum load, set by R407F at high head" in text
        assert "14.012 kBtu/h, rounded up" in text
    # Without where figures come from, but with the figures.
    assert "applications/walk_in_medium.yaml" not in texts["steps"]
    assert "equation of state" not in texts["steps"]
    assert "25 psi ×" in texts["steps"]
    assert " = " not in texts["summary"]
    exported = [json.loads(run(capsys, *CELL, "--detail", name, "--json")[1])["tables"] for name in texts]
    assert exported[0] == exported[1] == exported[2]


@pytest.mark.slow
def test_detail_of_a_case_file_and_of_a_sheet(capsys, tmp_path):
    case = tmp_path / "case.yaml"
    case.write_text(
        "{family: alder, size: 90, refrigerant: R448A-family, sst: 24F, application: walk_in_medium, detail: summary}"
    )
    assert run(capsys, "--case", str(case))[1] == run(capsys, *CELL, "--detail", "summary")[1]
    case.write_text(case.read_text().replace("summary", "sumary"))
    code, out, err = run(capsys, "--case", str(case))
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert "did you mean summary" in err
    sheets = [sheet(capsys, tmp_path / "s.pdf", *CELL, "--detail", name) for name in ("summary", "steps", "full")]
    # With the origin of every figure each part may need a page of its own.
    assert [len(pages) for pages in sheets[:2]] == [1, 1] and len(sheets[2]) <= 3
    short, steps, whole = map(" ".join, sheets)
    assert "losses.distributor" in whole and "losses.distributor" not in steps
    assert "throttling" in steps and "throttling" not in short
    assert all(
        "is printed as 14.1" in " ".join(page.replace("\N{NO-BREAK SPACE}", " ").split())
        for page in (short, steps, whole)
    )


def test_overrides_are_named_as_such_and_move_the_figure(capsys):
    plain = run(capsys, *CELL, "--limit", "maximum")[1]
    code, out, _ = run(capsys, *CELL, "--limit", "maximum", "--set", "low_head.head_pressure=150 psi_gauge")
    assert code == 0
    assert "low_head.head_pressure: 150 psi_gauge (--set)" in out
    assert "Changed      low_head.head_pressure=150 psi_gauge" in out
    assert out.splitlines()[-4:] == plain.splitlines()[-4:]
    assert out.splitlines()[1] != plain.splitlines()[1]


@pytest.mark.slow
def test_a_row_that_is_not_printed_is_said_to_be_none(capsys):
    """'Printed' is said of what a booklet prints, and of nothing else."""
    for change, why in (
        (["--sst", "25 degF"], "the tables have no row at this suction temperature"),
        (["--set", "losses.lift=10 ft"], "this case changes values of the application"),
    ):
        out = run(capsys, *CELL, *change)[1]
        assert f"\nComputed, not printed in a booklet ({why}): " in out.replace("\n  ", " ")
        assert "\nPrinted" not in out
    alone = run(capsys, *CELL[:2], "R448A", *CELL[3:])[1]
    assert (
        "Computed, not printed in a booklet (tables are printed for groups; this refrigerant is in the table of R448A-family): "
        in " ".join(alone.split())
    )
    # The booklet leaves this table out of print.
    out = run(capsys, "rowan", "6.3", "R404A-R507A", *CELL[3:])[1]
    assert "Computed, not printed in a booklet (no booklet of the catalogue prints this table): " in out
    assert "\nPrinted: " in run(capsys, *CELL)[1]


@pytest.mark.parametrize(
    ("cell", "why"),
    [
        (
            ["rowan", "4", "R448A", "--sst", "-10 degF", "--application", "walk_in_low"],
            "Rowan is not offered for R448A in walk_in_low: No bulb charge for low temperature is offered.",
        ),
        (
            ["hazel", "40", "R407C", "--sst", "-10 degF", "--application", "walk_in_low"],
            "Hazel is not offered for R407C in walk_in_low: Offered for R404A, R507A and the R448A group only.",
        ),
        (
            ["alder", "90", "R134a", "--sst", "-10 degF", "--application", "walk_in_low"],
            "no valve is offered for R134a in walk_in_low: Offered for coolers only.",
        ),
        ([*CELL[:4], "-10 degF", *CELL[5:]], "for R448A-family that SST is covered by walk_in_low, walk_in_low_fixed"),
    ],
)
def test_what_the_catalogue_does_not_offer_is_refused_with_its_reason(capsys, cell, why):
    code, out, err = run(capsys, *cell)
    assert (code, out) == (2, "")
    assert why in err and err.count("\n") == 1


def test_json_has_every_line_in_si(capsys):
    code = main(["trace", *CELL, "--json", "--catalogue", str(CATALOGUE)])
    record = json.loads(capsys.readouterr().out)
    assert code == 0
    steps = record["tables"]["steps"]
    last = [step for step in steps if step["limit"] == "maximum"][-1]
    assert (last["name"], last["equation"], last["part"]) == ("Q", "Kv Q₁", "size")
    assert {step["part"] for step in steps} == {"rating", "setting", "head", "liquid", "valve", "size"}
    assert record["facts"]["max_load_w"] == pytest.approx(last["value_si"], rel=1e-12)
    [setting] = [g for g in record["tables"]["given"] if g["written_as"].startswith("losses.distributor: ")]
    assert setting["value_si"] == pytest.approx(25.0 * 6894.757293168)
    row = demo_data().group_windows.query("family == 'alder' and size == '90' and group == 'R448A-family'")
    row = row[(row["application"] == "walk_in_medium") & ((row["sst_k"] - (24.0 + 459.67) / 1.8).abs() < 1e-6)].iloc[0]
    assert last["value_si"] == pytest.approx(row["max_load_w"], rel=1e-9)


def test_a_window_that_is_empty_is_explained_and_gives_code_1(capsys):
    code, out, _ = run(capsys, "alder", "45", "R407C", "--sst", "0 degF", "--application", "walk_in_low")
    assert code == 1
    assert "φ_SH = −0.998735 is not above φ_min = 0.25" in out


@pytest.mark.parametrize(
    ("arguments", "text"),
    [
        (["aldr", *CELL[1:]], "'aldr' is not allowed; a family must be one of alder, rowan, hazel, larch"),
        (["alder", "91", *CELL[2:]], "'91' is not allowed; a size of Alder must be one of 11, 16"),
        (["alder", "90", "R448", *CELL[3:]], "did you mean R448A?"),
        ([*CELL[:4], "24 A"], "--sst: '24 A' is not allowed; a temperature takes one of the units"),
        ([*CELL[:4], "180 degF"], "it must be at least -76 degF and at most 86 degF"),
        ([*CELL, "--set", "losses.lift=3"], "--set: losses.lift: 3 is not allowed; it has no unit"),
    ],
)
def test_a_problem_is_one_line_and_code_2(capsys, arguments, text):
    code, out, err = run(capsys, *arguments)
    assert (code, out) == (2, "")
    assert text in err
    assert err.count("\n") == 1


def sheet(capsys, target, *arguments: str) -> list[str]:
    code, _, err = run(capsys, *arguments, "--output", str(target))
    assert (code in (0, 1), err) == (True, "")
    return page_texts(target.read_bytes())


@pytest.mark.slow
def test_sheet_of_each_family_and_paper_is_one_page_with_the_figures_of_the_text(capsys, tmp_path):
    medium = CELL[3:]
    cells = [
        CELL,
        [*CELL, "--units", "SI"],
        ["rowan", "6.3", "R404A-R507A", *medium],
        ["hazel", "250", "R404A-R507A", *medium],
        ["larch", "200", "R448A-family", *medium],
        ["alder", "45", "R404A-R507A", "--sst", "24 degF", "--application", "walk_in_medium_lift"],
        ["alder", "45", "R407C", "--sst", "-20 degF", "--application", "walk_in_low"],
        ["alder", "45", "R407C", "--sst", "0 degF", "--application", "walk_in_low"],
    ]
    for number, cell in enumerate(cells):
        # The figures of the config files are on pages of their own.
        (text,) = sheet(capsys, tmp_path / f"{number}.pdf", *cell, "--detail", "steps")
        out = run(capsys, *cell)[1]
        cell_line = " ".join(out.split("\n\n")[0].split("\n", 1)[1].split())
        printed = re.sub(r"^(Printed|Computed, not printed in a booklet \(.*?\)): ", "", cell_line)
        shown = " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())
        assert "invented valves" in shown
        assert "licensed technicians" in shown
        if not printed.startswith("no load window"):
            minimum, maximum = printed.split(" ")[0].split("–")
            how = "is printed as" if cell_line.startswith("Printed") else "rounds to"
            assert f"{how} {minimum}" in shown
            assert f"{how} {maximum}" in shown


def test_the_coefficients_of_a_compressor_are_printed_once(capsys, tmp_path):
    """On the full sheet with their figures, on the terminal with the list that they are from."""
    demo = ["trace", *CELL, "--demo"]
    assert main([*demo, "--output", str(tmp_path / "s.pdf")]) == 0
    capsys.readouterr()
    whole = " ".join(" ".join(page_texts((tmp_path / "s.pdf").read_bytes())).replace("\N{NO-BREAK SPACE}", " ").split())
    listed = "C1 = 496.86, C2 = 10.277, C3 = −0.97111, C4 = 0.085716, C5 = 0.002919, C6 = −0.0029576, C7 = 0.000458,"
    assert whole.count(listed) == 1
    assert main(demo) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert out.count("compressor.coefficients: 496.86, 10.277") == 1
    assert all(f"C{i} = " in out for i in range(1, 11))
    assert main([*demo, "--json"]) == 0
    given = json.loads(capsys.readouterr().out)["tables"]["given"]
    written = [row["written_as"] for row in given if row["name"] in {f"C{i}" for i in range(1, 11)}]
    assert len(written) == 10 and len(set(written)) == 1 and written[0].startswith("compressor.coefficients: 496.86")


def test_same_sheet_same_bytes_and_a_failure_leaves_the_last_one(capsys, tmp_path):
    target = tmp_path / "sheet.pdf"
    sheet(capsys, target, *CELL)
    first = target.read_bytes()
    sheet(capsys, target, *CELL)
    assert target.read_bytes() == first
    assert run(capsys, "alder", "91", *CELL[2:], "--output", str(target))[0] == 2
    assert target.read_bytes() == first
    assert [p.name for p in tmp_path.iterdir()] == ["sheet.pdf"]
    code, _, err = run(capsys, *CELL, "--output", str(tmp_path / "none" / "sheet.pdf"))
    assert (code, err.count("\n")) == (2, 1)


def test_nothing_of_a_sheet_is_cut_off(capsys, tmp_path):
    target = tmp_path / "sheet.pdf"
    sheet(capsys, target, *CELL)
    document = pypdfium2.PdfDocument(io.BytesIO(target.read_bytes()))
    page = document[0]
    width, height = page.get_size()
    text = page.get_textpage()
    boxes = [text.get_charbox(i) for i in range(text.count_chars())]
    document.close()
    assert min(left for left, *_ in boxes) >= 40
    assert max(right for _, _, right, _ in boxes) <= width - 40
    assert min(bottom for _, bottom, _, _ in boxes) >= 20
    assert max(top for *_, top in boxes) <= height - 20


def test_steps_say_where_each_figure_is_from_without_files(capsys):
    """A pressure of two keys, figures solved together, the curve of a bulb charge."""
    text = " ".join(run(capsys, *CELL, "--detail", "steps")[1].split())
    assert (
        "p_h = 149.696 psia head pressure, low head low_head.head_pressure: 135 psi_gauge; site_pressure: 14.696"
        in text
    )
    assert "inlet pressure of the valve [with the density that the liquid has there, solved together]" in text
    assert "the step and a later one depend on each other; both show the solved values" in text
    assert (
        "[T_p, p_p starts this segment of the charge curve and b₁ to b₃ are its coefficients; the curve is a monotone cubic"
        in text
    )
    assert ".yaml" not in text


@pytest.mark.slow
def test_a_table_of_a_handout_alone_is_said_to_be_there(capsys, tmp_path, monkeypatch):
    """A school prints no booklet: the answer names its handout."""
    monkeypatch.chdir(tmp_path)
    assert main(["init", "school", "--for", "school"]) == 0
    capsys.readouterr()
    taught = ["alder", "90", "R448A-family", "--sst", "24 degF", "--application", "walk_in_medium"]
    assert main(["trace", *taught, "--catalogue", "school", "--detail", "summary"]) == 0
    assert "Computed, not printed in a booklet (this table is in handout.pdf): " in capsys.readouterr().out
