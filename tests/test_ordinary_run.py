"""What the ordinary run leaves out are tests that exist, and of many cases of one kind it tries every third."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.ordinary import FIRST, THIRDS, WIDE, wide

TESTS = Path(__file__).parent


@pytest.mark.parametrize("name", FIRST)
def test_a_file_that_comes_first_exists(name: str):
    assert (TESTS / name).is_file()


@pytest.mark.parametrize("pattern", [*WIDE, *THIRDS])
def test_a_pattern_is_for_a_test_that_exists(pattern: str):
    """By its file and by how the name of its function begins; a renamed test would be ordinary again unnoticed."""
    file, _, name = pattern.partition("::")
    begin = re.match(r"\w*", name)
    assert begin is not None
    found = re.findall(r"^(?:async )?def (test_\w+)", (TESTS / file).read_text(encoding="utf-8"), re.MULTILINE)
    assert any(function.startswith(begin[0]) for function in found)


def test_the_first_of_every_three_cases_is_ordinary():
    test = THIRDS[0].rstrip("*") + "one"
    others = ["answers/test_pick.py::test_of_another_kind"]
    names = [f"{test}[{number}]" for number in range(7)]
    assert list(wide(names + others)) == [names[number] for number in (1, 2, 4, 5)]


def test_one_case_asked_for_by_its_name_is_tried():
    test = THIRDS[0].rstrip("*") + "one"
    assert not list(wide([f"{test}[4]"]))
