"""The verification book: every check in text, CSV and print; one that fails sets the exit code."""

import dataclasses
import json
import re
import tempfile

import pandas as pd
import pytest

from tablegen.cli.main import main
from tablegen.verification import table, worked_cases
from tablegen.verification.check import Check
from tests.demo import page_texts
from tests.registry import refrigerant

PAIR = ("R404A", "R507A")


def run(capsys, *arguments: str) -> tuple[int, str, str]:
    code = main(["verify", *arguments])
    done = capsys.readouterr()
    return code, done.out, done.err


def flat(text: str) -> str:
    """A text with its folded lines joined."""
    return " ".join(text.split())


def checks(capsys, *arguments: str) -> pd.DataFrame:
    """Every check as the CSV file of a call has it."""
    with tempfile.TemporaryDirectory() as folder:
        run(capsys, *arguments, "--csv", f"{folder}/checks.csv")
        return pd.read_csv(f"{folder}/checks.csv", keep_default_na=False)


def test_text_names_sources_conditions_and_verdict(capsys):
    code, out, err = run(capsys, *PAIR)
    assert (code, err) == (0, "")
    published = r"^Published \(\d+ checks\): measured, or computed from another equation or mixture model than ours$"
    assert re.search(published, out, re.MULTILINE)
    assert "Rule of thumb (2 checks)" in out and "Self-check (4 checks)" in out
    assert "Table 2 (ASHRAE 34)" not in out
    assert "(checked against the source)" in flat(out) and "(not checked against the source)" in flat(out)
    assert not re.search("from memory|stored|read in", out)
    headline = flat(out).split("Computed values compared with those of sources ")[1].split(" OUTSIDE ITS BAND")[0]
    counted, _, others = headline.partition(" Not counted: ")
    assert re.fullmatch(r"Published values: all (\d+) pass; \d+ of the \1 were checked against the source\.", counted)
    assert re.fullmatch(
        r"rule of thumb \(0 of 2 pass, 2 outside the band, explained\); "
        r"second implementation \(all \d+ pass\); self-check \(all 4 pass\)\.",
        others,
    )


def test_a_known_deviation_is_printed_with_its_reason_and_ends_with_0(capsys):
    code, out, _ = run(capsys, "R404A", "R444B")
    assert code == 0
    lines = re.findall(r"OUTSIDE ITS BAND, EXPLAINED: .*?\)\. Why: .*?\.(?= OUTSIDE| Published \()", flat(out))
    assert [line.split(": ")[1].split(",")[0] for line in lines] == ["R444B dew temperature", "R404A compressor loss"]
    assert all("Why: " in line for line in lines)
    # A band's deviation counts from its nearer end: 9.7 lies 0.7 above 9, not 2.7 from the middle.
    assert "rule of thumb 5 to 9 %, ours 9.7, 0.73 above the band (Rule of thumb" in lines[1]
    assert "we have no source that we can name" in lines[1]
    assert "1 OUTSIDE" in flat(out)


def test_csv_and_json_have_the_same_checks(capsys):
    frame = checks(capsys, *PAIR)
    assert set(frame["verdict"]) == {"passes", "outside_explained"}
    is_within = frame["deviation"].abs() <= frame["allowed_deviation"]
    assert (is_within == (frame["verdict"] == "passes")).all()
    assert (frame[["kind", "source", "provenance", "condition", "why_allowed"]] != "").all(axis=None)
    rows = json.loads(run(capsys, *PAIR, "--json")[1])["tables"]["checks"]
    assert [row["kind"] for row in rows] == list(frame["kind"])
    assert [row["explanation"] for row in rows] == list(frame["explanation"])
    assert [row["published_text"] for row in rows] == [str(text) for text in frame["published_text"]]


def test_every_check_is_a_line(capsys):
    _, out, _ = run(capsys, "R134a", "--every")
    frame = checks(capsys, "R134a")
    assert set(frame["verdict"]) == {"passes"}
    assert sum(line.endswith("  passes") for line in out.splitlines()) == len(frame) > 40


def test_the_book_has_every_published_figure_and_is_the_same_each_time(capsys, tmp_path):
    books = [tmp_path / "one.pdf", tmp_path / "two.pdf"]
    for book in books:
        code, out, _ = run(capsys, *PAIR, "--every", "--output", str(book))
        assert code == 0
        assert out.splitlines()[-1].startswith(f"{book}: ")
    assert books[0].read_bytes() == books[1].read_bytes()
    text = " ".join(" ".join(page_texts(books[0].read_bytes())).replace("\N{NO-BREAK SPACE}", " ").split())
    frame = checks(capsys, *PAIR)
    for figure in map(str, frame["published_text"]):
        assert figure.replace("-", "\N{MINUS SIGN}") in text
    assert f"Published values: all {(frame['kind'] == 'published').sum()} pass" in text
    for why in set(frame["explanation"]) - {""}:
        assert why.split(",")[0] in text
    # Units as they are printed, in the words of sources too.
    assert not re.search(r"\d deg[FC]\b", text)


def test_a_check_that_fails_ends_with_1_and_is_reported(capsys, monkeypatch):
    real = table.law_checks

    def wrong() -> list[Check]:
        *others, last = real()
        return [*others, dataclasses.replace(last, computed=last.computed + 2.0 * last.allowed)]

    monkeypatch.setattr(table, "law_checks", wrong)
    code, out, _ = run(capsys, *PAIR)
    assert code == 1
    assert "1 FAILS" in flat(out)
    assert "FAILS: polynomial of ten terms" in out
    assert "self-check (3 of 4 pass, 1 FAILS). FAILS: polynomial of ten terms" in flat(out)


@pytest.mark.parametrize(
    ("arguments", "parts"),
    [
        (["R404"], ("'R404' is not allowed", "a refrigerant must be one of", "did you mean R404A?")),
        (["--configs", "nowhere"], ("--configs: nowhere contains no folder 'refrigerants'",)),
    ],
)
def test_problems_are_one_line_and_code_2(capsys, arguments, parts):
    code, out, err = run(capsys, *arguments)
    assert (code, out) == (2, "")
    (line,) = err.splitlines()
    for part in parts:
        assert part in line


def test_only_refrigerants_of_walk_ins_have_the_band_of_walk_ins():
    assert worked_cases.rule_checks({"R744": refrigerant("R744")}) == []
    assert [c.refrigerant for c in worked_cases.rule_checks({"R134a": refrigerant("R134a")})] == ["R134a"]


def test_what_cannot_be_computed_is_null_in_json(capsys, monkeypatch):
    real = table.law_checks
    monkeypatch.setattr(table, "law_checks", lambda: [dataclasses.replace(c, computed=float("nan")) for c in real()])
    code, out, err = run(capsys, *PAIR, "--json")
    assert (code, err) == (1, "")
    lost = [row for row in json.loads(out)["tables"]["checks"] if row["verdict"] == "fails"]
    assert len(lost) == len(real())
    assert all(row["computed_value"] is None for row in lost)


def test_both_flow_laws_are_compared_with_correlations_in_text_and_book(capsys, tmp_path):
    book = tmp_path / "book.pdf"
    code, out, _ = run(capsys, "R22", "R410A", "--output", str(book))
    assert code == 0
    assert "Flow laws compared with published correlations" in out
    assert "beside measured flows" not in out
    assert "HVAC&R Research 10 (2004)" in flat(out) and "Applied Thermal Engineering 53 (2013)" in flat(out)
    assert re.search(r"short tube +60  choked +0\.\d+ +\d\.\d.% +\d+.%", out)
    title = "Flow laws compared with published correlations"
    [page] = [text for text in page_texts(book.read_bytes()) if title in text]
    assert "for R22 and R410A" in page.replace("\r\n", " ")
    # One that neither correlation covers has none.
    assert "Flow laws compared" not in run(capsys, "R448A")[1]
