"""A catalogue of own valves that still says who the demo's company is: named by file, line and key."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tablegen.config.demo_texts import demo_texts
from tests.small import DEMO


@pytest.fixture
def catalogue(tmp_path: Path) -> Path:
    for name in ("catalogue.yaml", "company.yaml", "logo.svg"):
        shutil.copyfile(DEMO / name, tmp_path / name)
    return tmp_path / "catalogue.yaml"


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_the_demo_and_a_part_of_it_may_say_so(catalogue):
    assert list(demo_texts(DEMO / "catalogue.yaml")) == []
    edit(catalogue, "families: [alder, rowan, ", "families: [alder, ")
    assert list(demo_texts(catalogue)) == []


def test_own_valves_with_the_company_of_the_demo_are_noted(catalogue):
    edit(catalogue, "families: [alder, ", "families: [fern, alder, ")
    company, notice = demo_texts(catalogue)
    assert "company.yaml:2: name, address, contact, logo: still as in the demo. The valves are yours" in company
    assert "catalogue.yaml:7: notice: still as in the demo. " in notice
    edit(catalogue, "notice: Demonstration with invented valves; not for", "notice: Only for")
    edit(catalogue.with_name("company.yaml"), "name: Quillmere Valves (invented)", "name: Fern Valves (invented)")
    edit(catalogue.with_name("company.yaml"), "100 Example Street", "1 Fern Street")
    edit(catalogue.with_name("company.yaml"), "logo: logo.svg\n", "")
    (note,) = demo_texts(catalogue)
    assert "company.yaml:7: contact: still as in the demo. " in note
