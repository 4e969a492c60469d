"""The verification book: every check in text, CSV and print; one that fails is told by the exit code."""

import dataclasses
import io
import json
import re

import pandas as pd
import pytest

from tablegen.catalogue.verification import practice, table
from tablegen.catalogue.verification.check import Check
from tablegen.cli import main
from tests.demo import page_texts
from tests.registry import refrigerant

PAIR = ("R404A", "R507A")


def told(capsys, *arguments: str) -> tuple[int, str, str]:
    code = main(["verify", *arguments])
    done = capsys.readouterr()
    return code, done.out, done.err


def test_text_names_sources_conditions_and_verdict(capsys):
    code, out, err = told(capsys, *PAIR)
    assert (code, err) == (0, "")
    assert "group spread" in out
    assert "ASHRAE Handbook Fundamentals ch. 29, Table 2 (read in a stored public text)" in out
    assert "(common practice)" in out and "(from memory)" in out
    lines = out.splitlines()
    assert lines[-1].startswith("All ") and lines[-1].endswith(" checks pass.")


def test_csv_and_json_hold_the_same_checks(capsys):
    code, out, _ = told(capsys, *PAIR, "--csv")
    frame = pd.read_csv(io.StringIO(out), keep_default_na=False)
    assert code == 0
    assert set(frame["verdict"]) == {"passes"}
    assert ((frame["computed_value"] - frame["published_value"]).abs() <= frame["allowed_deviation"]).all()
    assert (frame[["source", "provenance", "condition", "why_allowed"]] != "").all(axis=None)
    rows = json.loads(told(capsys, *PAIR, "--json")[1])
    assert [row["published_text"] for row in rows] == [str(text) for text in frame["published_text"]]


def test_every_check_is_a_line(capsys):
    _, out, _ = told(capsys, "R134a", "--every")
    frame = pd.read_csv(io.StringIO(told(capsys, "R134a", "--csv")[1]))
    assert sum(line.endswith("  passes") for line in out.splitlines()) == len(frame) > 40


def test_the_book_holds_every_published_figure_and_is_the_same_each_time(capsys, tmp_path):
    books = [tmp_path / "one.pdf", tmp_path / "two.pdf"]
    for book in books:
        code, out, _ = told(capsys, *PAIR, "--output", str(book))
        assert code == 0
        assert out.splitlines()[-1].startswith(f"{book}: ")
    assert books[0].read_bytes() == books[1].read_bytes()
    text = " ".join(" ".join(page_texts(books[0].read_bytes())).replace("\N{NO-BREAK SPACE}", " ").split())
    frame = pd.read_csv(io.StringIO(told(capsys, *PAIR, "--csv")[1]), dtype=str)
    for figure in frame["published_text"]:
        assert figure.replace("-", "\N{MINUS SIGN}") in text
    assert f"All {len(frame)} checks pass" in text
    # Units as they are printed, in the words of sources too.
    assert not re.search(r"\d deg[FC]\b", text)


def test_a_check_that_fails_ends_with_1_and_is_told(capsys, monkeypatch):
    real = table.law_checks

    def wrong() -> list[Check]:
        *others, last = real()
        return [*others, dataclasses.replace(last, computed=last.computed + 2.0 * last.allowed)]

    monkeypatch.setattr(table, "law_checks", wrong)
    code, out, _ = told(capsys, *PAIR)
    assert code == 1
    assert "1\N{NO-BREAK SPACE}FAILS" in out
    passed, of, count = out.splitlines()[-1].split()[:3]
    assert (int(passed), of) == (int(count) - 1, "of")


@pytest.mark.parametrize(
    ("arguments", "parts"),
    [
        (["R404"], ("'R404' is not allowed", "a refrigerant must be one of", "did you mean R404A?")),
        (["--configs", "nowhere"], ("--configs: nowhere holds no folder 'refrigerants'",)),
    ],
)
def test_mistakes_are_one_line_and_code_2(capsys, arguments, parts):
    code, out, err = told(capsys, *arguments)
    assert (code, out) == (2, "")
    (line,) = err.splitlines()
    for part in parts:
        assert part in line


def test_bands_are_left_by_what_is_no_walk_in_or_no_group(monkeypatch):
    # common practice: a table for R404A with R134a would be off by far more than a group's own spread.
    mixed = {name: refrigerant(name) for name in ("R404A", "R134a")}
    monkeypatch.setattr(practice, "GROUPS", ((("R404A", "R134a"), 10),))
    found = [c for c in practice.practice_checks(mixed) if c.quantity == "group spread"]
    assert found
    assert not any(check.passes for check in found)
    assert practice.practice_checks({"R744": refrigerant("R744")}) == []


def test_what_cannot_be_computed_is_null_in_json(capsys, monkeypatch):
    real = table.law_checks
    monkeypatch.setattr(table, "law_checks", lambda: [dataclasses.replace(c, computed=float("nan")) for c in real()])
    code, out, err = told(capsys, *PAIR, "--json")
    assert (code, err) == (1, "")
    lost = [row for row in json.loads(out) if row["verdict"] == "fails"]
    assert len(lost) == len(real())
    assert all(row["computed_value"] is None for row in lost)


def test_both_flow_laws_stand_beside_measured_flows_in_text_and_book(capsys, tmp_path):
    book = tmp_path / "book.pdf"
    code, out, _ = told(capsys, "R22", "R410A", "--output", str(book))
    assert code == 0
    assert "Flow laws beside measured flows" in out
    assert re.search(r"short tube +60  choked +0\.\d+ +\d\.\d.% +\d+.%", out)
    [page] = [text for text in page_texts(book.read_bytes()) if "A table of measured flows that may be cited" in text]
    assert "for R22 and R410A" in page.replace("\r\n", " ")
    # One that was measured in neither has none.
    assert "Flow laws beside" not in told(capsys, "R448A")[1]
