"""A catalogue of own valves that still says who the demo's company is: named by file, line and key."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from tablegen.config.bench_dates import dated_before_bench
from tablegen.config.demo_texts import demo_texts
from tests.small import DEMO


@pytest.fixture
def catalogue(tmp_path: Path) -> Path:
    for name in ("catalogue.yaml", "company.yaml", "logo.svg"):
        shutil.copyfile(DEMO / name, tmp_path / name)
    shutil.copytree(DEMO / "applications", tmp_path / "applications")
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
    company, notice, *systems = demo_texts(catalogue)
    assert "company.yaml:2: name, address, contact, logo: still as in the demo. The valves are yours" in company
    assert "catalogue.yaml:7: notice, date: still as in the demo. " in notice
    edit(catalogue, "notice: Demonstration with invented valves; not for", "notice: Only for")
    edit(catalogue.with_name("company.yaml"), "name: Quillmere Valves (invented)", "name: Fern Valves (invented)")
    edit(catalogue.with_name("company.yaml"), "100 Example Street", "1 Fern Street")
    edit(catalogue.with_name("company.yaml"), "logo: logo.svg\n", "")
    edit(catalogue, "\ndate: 2026-11-25", "\ndate: 2027-01-15")
    note, *systems = demo_texts(catalogue)
    assert "company.yaml:7: contact: still as in the demo. " in note
    assert len(systems) == 7


def test_sources_of_the_demo_are_noted_by_application(catalogue):
    edit(catalogue, "families: [alder, ", "families: [fern, alder, ")
    text = catalogue.read_text(encoding="utf-8")
    catalogue.write_text(
        re.sub(r"(?m)^applications: .*$", "applications: [walk_in_medium, own]", text), encoding="utf-8"
    )
    path = catalogue.parent / "applications" / "walk_in_medium.yaml"
    shutil.copyfile(path, path.with_name("own.yaml"))
    *_, note = demo_texts(catalogue)
    line = path.read_text(encoding="utf-8").split("\nrating:")[0].count("\n") + 2
    assert f"walk_in_medium.yaml:{line}: rating, low_head, high_head, losses, superheat, coil, compressor, " in note
    assert "by_refrigerant.R134a.low_head, " in note and "own.yaml" not in "".join(demo_texts(catalogue))
    assert "the sources are still those of the demo, and are printed." in note
    edit(path, 'source: "A hot day (assumed for this demonstration)"', "source: Weather data of our county")
    *_, note = demo_texts(catalogue)
    assert "low_head, losses" in note
    path.write_text(re.sub("source: .*", "source: Measured", path.read_text(encoding="utf-8")), encoding="utf-8")
    assert "walk_in_medium" not in "".join(demo_texts(catalogue))


def test_a_catalogue_dated_before_its_bench_data_is_noted(catalogue):
    bench = catalogue.parent / "bench"
    bench.mkdir()
    shutil.copyfile(DEMO / "bench" / "alder.csv", bench / "alder.csv")
    assert list(dated_before_bench(catalogue)) == []
    edit(bench / "alder.csv", "# date: 2026-11-20", "# date: 2026-11-27")
    (note,) = dated_before_bench(catalogue)
    assert "catalogue.yaml:9: date: 2026-11-25 is before the newest bench data, bench/alder.csv of 2026-11-27" in note
    edit(bench / "alder.csv", "# date: 2026-11-27\n", "")
    assert list(dated_before_bench(catalogue)) == []


def test_bench_data_that_may_not_be_looked_at_are_passed_over(catalogue, monkeypatch):
    looked_at = Path.stat

    def refused(self: Path, **how: bool) -> object:
        if self.parent.name == "bench":
            raise PermissionError(13, "Permission denied", str(self))
        return looked_at(self, **how)

    monkeypatch.setattr(Path, "stat", refused)
    assert list(dated_before_bench(catalogue)) == []
