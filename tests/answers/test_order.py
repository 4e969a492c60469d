"""Order lines, part numbers and split units, by the command and from Python."""

from __future__ import annotations

import dataclasses
import json
import math
import re
import shutil
from pathlib import Path

import pytest

from tablegen.answers.case import Case
from tablegen.answers.order import order_line
from tablegen.answers.pick import pick
from tablegen.answers.split import loads_of, pick_each
from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.errors import RequestError
from tablegen.model.printed_tables import printed_table
from tablegen.sweep.identity import fingerprint
from tests.demo import demo_data
from tests.us_units import W_PER_KBTU
from tests.worked import WORKED, worked_catalogue, worked_data

KELVIN_24F = (24.0 + 459.67) / 1.8
ASKED = [
    "R448A",
    "--sst",
    "24 degF",
    "--load",
    "20 kBtu/h",
    "--application",
    "walk_in_medium",
    "--catalogue",
    str(WORKED),
]
ALDER = [*ASKED, "--family", "alder"]


def run(capsys, *arguments: str) -> tuple[int, str, str]:
    code = main(["pick", *arguments])
    out, err = capsys.readouterr()
    return code, out, err


def order_of(out: str) -> str:
    """The order line of an answer, folded lines joined."""
    return " ".join(out.split("\nTo order\n")[1].split("\n\n")[0].split())


@pytest.mark.slow
def test_the_order_line_says_all_that_the_family_offers(capsys):
    code, out, _ = run(capsys, *ALDER)
    assert code == 0
    line = order_of(out)
    # The only connections are taken, of two capillaries neither; revision and fingerprint are those of the pages.
    assert line == (
        "Quillmere Valves (invented) Alder size 90; Cross charge for R448A, R449A, R407A and R407F, medium "
        "temperature, set for R448A at 4 °F static superheat; external equalizer; connections 1/2 in x 5/8 in solder; "
        "capillary: choose 5 ft or 10 ft; part number 71-0207; quantity: not stated; "
        f"job: not stated; revision A of 2026-11-25, data {worked_data().fingerprint}"
    )


def test_what_is_stated_is_on_the_order(capsys):
    more = ["--capillary", "3.05 m", "--quantity", "3", "--job", "Cold room 7"]
    line = order_of(run(capsys, *ALDER, *more)[1])
    assert "; capillary 10 ft; " in line
    assert "; quantity 3; job Cold room 7; revision A" in line


def test_connections_are_left_to_choose_where_there_are_several(capsys):
    rowan = [*ASKED, "--family", "rowan"]
    line = order_of(run(capsys, *rowan)[1])
    assert "; connections: choose 3/8 in x 1/2 in solder or 1/2 in x 5/8 in solder; capillary 5 ft; " in line
    out = order_of(run(capsys, *rowan, "--connections", "1/2 IN x 5/8 in solder")[1])
    assert "; connections 1/2 in x 5/8 in solder; " in out


def test_an_electronic_valve_is_ordered_with_its_driver(capsys):
    out = order_of(run(capsys, *ASKED)[1])
    assert "Hazel size 250; stepper, 500 full steps" in out
    assert "; driver: Stepper driver with superheat control, pressure and temperature sensors" in out


def test_a_charge_is_ordered_with_its_mop(capsys):
    case = ["R407C", "--sst", "-10 degF", "--load", "9 kBtu/h", "--application", "walk_in_low", "--family", "alder"]
    out = order_of(run(capsys, *case, "--catalogue", str(WORKED))[1])
    assert re.search(r"MOP [\d.]+ psia, set for R407C", out)


def test_a_pick_of_the_demo_alone_has_the_fingerprint_of_its_build(capsys):
    out = order_of(run(capsys, *ASKED[:7], "--demo")[1])
    assert f"data {demo_data().fingerprint}" in out


def test_the_fingerprint_follows_every_file(tmp_path: Path):
    folder = shutil.copytree(WORKED.parent, tmp_path / "configs")
    before = load_catalogue(folder / "catalogue.yaml").files
    for name, more in (("publications/counter.yaml", "# A remark.\n"), ("part_numbers.csv", "QX-1,Alder,11,,\n")):
        path = folder / name
        path.write_text(path.read_text(encoding="utf-8") + more, encoding="utf-8")
    after = load_catalogue(folder / "catalogue.yaml").files
    assert {name for name in after if after[name] != before[name]} == {"publications/counter.yaml", "part_numbers.csv"}
    assert fingerprint(before) != fingerprint(after)


def test_an_electronic_valve_has_no_charge_equalizer_or_capillary():
    picked = pick(worked_catalogue(), Case("R448A", KELVIN_24F, 20.0 * W_PER_KBTU, "walk_in_medium"))
    order = order_line(worked_catalogue(), picked.first)
    assert (order.family, order.size, order.equalizer, order.capillary_m) == ("Hazel", "250", "", None)
    assert order.static_superheat_k is None


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (["--connections", "3/8 in x 1/2 in solder"], "the connections of Alder 90 must be one of 1/2 in x 5/8 in"),
        (["--capillary", "7 ft"], "Alder is offered with 1.524 m (5 ft), 3.048 m (10 ft)"),
        (["--capillary", "7"], "--capillary: 7 is not allowed; it has no unit"),
        (["--split", "20 percent, 70 percent"], "the shares add up to 90.0 percent"),
        (["--split", "20 kBtu/h"], "at least two evaporators"),
        (["--split", "20 kBtu/h, 0 kBtu/h"], "above zero"),
        (["--split", "20 kBtu/h, 30 percent"], "--split: '30 percent'"),
    ],
)
def test_what_is_not_offered_is_refused_with_what_is(more, message, capsys):
    code, out, err = run(capsys, *ALDER, *more)
    assert (code, out) == (2, "")
    assert message in err


def test_a_choice_is_on_the_order(capsys):
    code, out, _ = run(capsys, *ALDER, "--capillary", "10 ft", "--json")
    order = json.loads(out)["sections"]["order"]["facts"]
    assert code == 0
    assert order["capillary_m"] == pytest.approx(3.048) and order["capillary_offered_m"] == pytest.approx(
        [1.524, 3.048]
    )
    assert order["part_number"] == "71-0207"
    assert order["connections"] == order["connections_offered"][0]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("sizes: [45, 63, 90]", "sizes: [45, 63, 91]", "offered.connections[1].sizes[2]: '91' is not allowed"),
        ("sizes: [45, 63, 90]", "sizes: [45, 63]", "no connections are offered for size 90"),
        ("capillary_lengths: [5 ft", "capillary_lengths: [5 psi", "offered.capillary_lengths[0]: '5 psi'"),
    ],
)
def test_problems_in_what_is_offered(old, new, message, capsys, tmp_path: Path):
    shutil.copytree(WORKED.parent, tmp_path / "configs")
    path = tmp_path / "configs" / "families" / "alder.yaml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
    assert main(["check", "--catalogue", str(tmp_path / "configs" / "catalogue.yaml")]) == 2
    assert message in capsys.readouterr().err


def test_an_electronic_family_with_a_capillary_is_refused(capsys, tmp_path: Path):
    shutil.copytree(WORKED.parent, tmp_path / "configs")
    path = tmp_path / "configs" / "families" / "hazel.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("offered:\n", "offered:\n  capillary_lengths: [5 ft]\n"), encoding="utf-8")
    assert main(["check", "--catalogue", str(tmp_path / "configs" / "catalogue.yaml")]) == 2
    assert "an electronic valve has no capillary" in capsys.readouterr().err


def test_a_split_is_a_pick_for_each_share():
    case = Case("R448A", KELVIN_24F, 20.0 * W_PER_KBTU, "walk_in_medium")
    loads = loads_of(case.load_w, [0.3, 0.7], are_shares=True)
    assert loads == pytest.approx((6.0 * W_PER_KBTU, 14.0 * W_PER_KBTU))
    assert loads_of(case.load_w, loads, are_shares=False) == pytest.approx(loads)
    # Rounded loads of a data sheet are put in proportion, so that the whole capacity is placed.
    assert sum(loads_of(100.0, [33.3, 66.9], are_shares=False)) == pytest.approx(100.0)
    answers = pick_each(worked_catalogue(), case, loads)
    for load, answer in zip(loads, answers, strict=True):
        alone = pick(worked_catalogue(), Case("R448A", KELVIN_24F, load, "walk_in_medium"))
        assert answer == alone or repr(answer) == repr(alone)
    with pytest.raises(RequestError, match="above zero"):
        loads_of(100.0, [100.0, math.nan], are_shares=False)


def test_a_split_prints_each_evaporator(capsys):
    code, out, _ = run(capsys, *ALDER, "--split", "6 kBtu/h, 14 kBtu/h")
    assert code == 0
    assert "Evaporator 1: 6.00 kBtu/h, 30.0 % of the unit" in out
    assert out.count("To order\nQuillmere Valves (invented) Alder") == 2
    code, out, _ = run(capsys, *ALDER, "--split", "2 percent, 98 percent", "--json")
    record = json.loads(out)
    assert code == 1
    parts = record["sections"]
    assert [parts[f"evaporator_{number}"]["facts"]["fits"] for number in (1, 2)] == [False, True]
    assert {row["evaporator"] for row in record["tables"]["sizes"]} == {1, 2}


GROUP = ["R448A-family", *ALDER[1:]]
IN_BOOKLET = "Alder: R448A, R449A, R407A and R407F, Walk-in cooler, floating head pressure."


def where(capsys, *arguments: str) -> tuple[list[str], dict[str, object]]:
    """What an answer says of the booklet that prints its window: sentences, and facts."""
    order = json.loads(run(capsys, *arguments, "--json")[1])["sections"]["order"]
    keys = ("is_printed", "booklet_file", "booklet_destination")
    return order["references"], {key: order["facts"][key] for key in keys}


@pytest.mark.slow
def test_the_order_names_the_booklet_and_the_table_that_print_the_window(capsys, tmp_path: Path):
    destination = "table.alder.R448A-family.walk_in_medium"
    for units, file in (("IP", "booklet.pdf"), ("SI", "booklet-letter-si.pdf")):
        page = tmp_path / f"{units}.html"
        said, facts = where(capsys, *GROUP, "--units", units)
        assert said == [f"Printed in {file}: {IN_BOOKLET}"]
        assert facts == {"is_printed": True, "booklet_file": file, "booklet_destination": destination}
        assert run(capsys, *GROUP, "--units", units, "--output", str(page))[0] == 0
        assert f'<a href="{file}#nameddest={destination}">{said[0]}</a>' in page.read_text(encoding="utf-8")
        out = " ".join(run(capsys, *GROUP, "--units", units)[1].split())
        assert f"data {worked_data().fingerprint} {said[0]} Nearest" in out


@pytest.mark.parametrize(
    ("asked", "reason", "has_table"),
    [
        (["--set", "losses.lift=10 ft"], "this case changes values of the application", False),
        (["--sst", "25 degF"], "the tables have no row at this suction temperature", True),
        (["R448A"], "tables are printed for groups; this refrigerant is in the table of R448A-family", True),
        (["R404A-R507A", "--family", "rowan"], "no booklet of the catalogue prints this table", False),
    ],
)
def test_a_window_that_no_table_prints_is_said_to_be_none_by_pick_as_by_trace(asked, reason, has_table, capsys):
    given = [asked[0], *GROUP[1:], *asked[1:]] if not asked[0].startswith("-") else [*GROUP, *asked]
    said, facts = where(capsys, *given)
    own = IN_BOOKLET if "rowan" not in asked else ""
    assert said == [
        f"Computed, not printed in a booklet ({reason}).",
        *([f"See booklet.pdf: {own}"] if has_table else []),
    ]
    assert facts["is_printed"] is False and bool(facts["booklet_file"]) is has_table
    options = [text for text in given[1:] if text not in ("--load", "20 kBtu/h")]
    options = [text for i, text in enumerate(options) if "--family" not in (text, options[i - 1])]
    size = ["rowan", "10"] if "rowan" in asked else ["alder", "90"]
    assert main(["trace", *size, given[0], *options]) == 0
    assert f"Computed, not printed in a booklet ({reason}): " in " ".join(capsys.readouterr().out.split())


def test_of_a_series_the_booklet_of_the_family_prints_the_window():
    """Its index prints none; of a refrigerant in several groups the first in print counts."""
    catalogue = worked_catalogue()
    whole = catalogue.booklets[0]
    [index, *own] = [
        dataclasses.replace(
            whole, series="booklet", family=family, printed=dataclasses.replace(whole.printed, name=name)
        )
        for family, name in (("", "booklet"), ("alder", "booklet-alder"))
    ]
    own = [
        dataclasses.replace(one, combinations=tuple(c for c in one.combinations if c.family == "alder")) for one in own
    ]
    series = dataclasses.replace(catalogue, booklets=(index, *own))
    found = printed_table(series, "alder", "R449A", "walk_in_medium", "SI", "en")
    assert found.link == "booklet-alder.pdf#nameddest=table.alder.R448A-family.walk_in_medium"
    assert printed_table(series, "hazel", "R449A", "walk_in_medium", "SI", "en") is None


def test_the_print_in_the_reader_s_language_and_units_is_preferred():
    catalogue = worked_catalogue()
    prints = (("de", "IP", "a"), ("en", "SI", "b"), ("de", "SI", "c"), ("en", "IP", "d"), ("en", "IP", "e"))
    booklets = tuple(
        dataclasses.replace(
            catalogue.booklets[0],
            printed=dataclasses.replace(catalogue.booklets[0].printed, language=language, units=units, name=name),
        )
        for language, units, name in prints
    )
    own = dataclasses.replace(catalogue, booklets=booklets)
    asked = ("alder", "R448A-family", "walk_in_medium")
    for units, language, name in (("IP", "en", "d"), ("SI", "en", "b"), ("IP", "de", "a"), ("SI", "fr", "b")):
        assert printed_table(own, *asked, units, language).file == f"{name}.pdf"
