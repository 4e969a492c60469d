"""Short statements on the pages agree with the data beside them."""

import json
import re

import pytest

from tablegen.cli.main import main
from tablegen.model.publications import Combination
from tablegen.physics.reasons import Reason
from tablegen.report.formatter import Formatter
from tablegen.report.pages.application_page import application_page, lift_text
from tablegen.report.pages.family_page import swing_text
from tablegen.report.publications.publication import Publication
from tablegen.report.table_conditions import TableConditions
from tablegen.wording import terms
from tablegen.wording.refrigerants import SAFETY
from tests.demo import demo_booklet, demo_data, page_texts

NBSP = "\N{NO-BREAK SPACE}"
GROUP = "R448A-family"


def publication() -> Publication:
    return Publication.of(demo_data())


@pytest.mark.parametrize("family", ["hazel", "larch"])
def test_electronic_valves_have_no_bulb(family):
    part = Combination(family, GROUP, "walk_in_medium")
    conditions = TableConditions.of(publication(), part)
    texts = conditions.superheat(), conditions.suction()
    assert "bulb" not in " ".join(texts)
    assert "at the evaporator outlet; operating superheat set by controller" in texts[0]
    assert "dew point at the evaporator outlet; at the compressor" in texts[1]


def test_thermostatic_valves_count_superheat_at_the_bulb():
    part = Combination("alder", GROUP, "walk_in_medium")
    conditions = TableConditions.of(publication(), part)
    assert conditions.superheat().endswith("at the bulb")
    assert "(the bulb)" in conditions.suction()


def test_pages_of_electronic_valves_never_speak_of_a_bulb():
    # A page of a table begins with its heading, below the running head.
    tables = [p for p in page_texts(demo_booklet("IP", "letter")[1]) if re.search(r"^(Hazel|Larch): R.*", p, re.M)]
    tables = [page for page in tables if "Box: SST" in page]
    assert len(tables) == 4
    for page in tables:
        assert "bulb" not in page.lower()


def test_pick_says_who_sets_the_superheat_of_electronic_valves(capsys):
    case = ["pick", "R448A", "--sst", "24 degF", "--load", "10 kBtu/h", "--application", "walk_in_medium", "--demo"]
    assert main(case) == 0
    shown = capsys.readouterr().out
    fitting = [line for line in shown.splitlines() if re.match(r"(Alder|Rowan|Hazel|Larch) +[0-9.A-G]+ .*–", line)]
    assert {line.split()[0] for line in fitting} == {"Alder", "Rowan", "Hazel", "Larch"}
    for line in fitting:
        assert line.endswith("set by controller") == line.startswith(("Hazel", "Larch"))
        assert "none" not in line
    assert main([*case, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    text = json.dumps(found)
    assert "null" in text
    assert "NaN" not in text


# ISO 817 and ASHRAE 34 (not checked against the source): class 2L is lower flammability, 2 flammable, 3 higher flammability.
@pytest.mark.parametrize(
    ("group", "message"),
    [
        ("A2L", "lower flammability"),
        ("B2L", "lower flammability"),
        ("A2", "flammable"),
        ("A3", "higher flammability"),
        ("A1", "no flame propagation"),
    ],
)
def test_flammability_is_worded_as_in_the_standards(group, message):
    assert SAFETY[group]().endswith(f" toxicity, {message})")


@pytest.mark.parametrize(("units", "label"), [("IP", "psia"), ("SI", "bar absolute")])
def test_the_critical_pressure_is_absolute(capsys, units, label):
    # R744: 7.3773 MPa (NIST, not checked against the source), whatever the table's own pressures read from.
    assert main(["states", "R744", "--units", units, "--coldest", "0 degC", "--warmest", "10 degC"]) == 0
    line = next(line for line in capsys.readouterr().out.splitlines() if line.startswith("Critical point"))
    figure = float(re.search(rf", ([0-9.]+) {label}", line).group(1))
    assert figure * {"IP": 6894.757, "SI": 1e5}[units] == pytest.approx(7.3773e6, rel=1e-3)


@pytest.mark.parametrize(
    ("swing", "port", "message"),
    [
        (
            -2.2,
            -1.2,
            "2.2 K lower at high head than at low head (median of this application). 1.2 K of that comes from the "
            "unbalanced port.",
        ),
        # More than the whole: the rest of the balance works against the port.
        (
            -0.5,
            -1.9,
            "0.5 K lower at high head than at low head (median of this application). With a fully balanced "
            "port, superheat would be 1.4 K higher at high head than at low head.",
        ),
        (
            -0.7,
            0.1,
            "0.7 K lower at high head than at low head (median of this application). With a fully balanced "
            "port, superheat would be 0.8 K lower at high head than at low head.",
        ),
        (-0.7, 0.0, "0.7 K lower at high head than at low head (median of this application)."),
        (
            0.01,
            -1.0,
            "the same at high head as at low head (median of this application). With a fully balanced port, "
            "superheat would be 1.0 K higher at high head than at low head.",
        ),
    ],
)
def test_a_share_of_the_swing_is_never_more_than_the_swing(swing, port, message):
    assert swing_text(swing, port, Formatter("SI")).replace(NBSP, " ") == f"At mid-window, superheat is {message}"


def test_the_column_of_liquid_has_the_shares_of_the_data():
    found = publication()
    name = "walk_in_medium_lift"
    heads = found.heads(name, "R448A")
    text = lift_text(found, name, [Combination("alder", GROUP, name)]).replace(NBSP, " ")
    for condition, words in (("rating", "at the rating point"), ("low_head", "at low head")):
        # The density at the valve, 20 m high.
        column = heads[condition].liquid_density_kg_m3 * 9.80665 * 20.0
        share = 100.0 * column / heads[condition].head_pressure_pa
        psi = re.search(rf"([0-9.]+) psi {words} \(([0-9]+) % of the absolute head pressure\)", text)
        assert psi is not None
        assert float(psi.group(1)) == pytest.approx(column / 6894.757, abs=0.06)
        assert float(psi.group(2)) == pytest.approx(share, abs=0.51)
    assert text.startswith("With R448A, the 66 ft liquid column costs ")
    assert lift_text(found, "walk_in_medium", [Combination("alder", GROUP, "walk_in_medium")]) == ""


@pytest.mark.parametrize(
    ("family", "message", "other"),
    [
        ("alder", "its stop and the maximum superheat allow", "control may open it"),
        ("hazel", "its control may open it", "superheat allow"),
    ],
)
def test_the_balance_graph_says_what_opens_the_valve(family, message, other):
    story = application_page(publication(), "walk_in_medium", [Combination(family, GROUP, "walk_in_medium")], 500.0)
    text = " ".join(flowable.text for flowable in story if hasattr(flowable, "text"))
    assert f"open as far as {message};" in text
    assert other not in text


def test_reasons_claim_no_more_than_the_three_conditions_computed():
    # Windows are computed at low head, rating point and high head; only retrofit and audit look between.
    for reason in (Reason.CROSSED, Reason.CONFIDENCE):
        assert "every head" not in terms.reason(reason)
