"""What the compressor pumps at low and high head, beside the limits that rest on it."""

import re

import pytest

import tablegen
from tablegen.model.compressor_flow import flow_ratios
from tablegen.model.solving import solve
from tests.demo import demo_catalogue
from tests.worked import worked_catalogue

NAMES = ("R404A", "R448A", "R134a")


def test_ratios_are_those_of_the_compressor_at_the_example():
    catalogue = worked_catalogue()
    application = catalogue.applications["walk_in_medium"]
    members = [solve(catalogue.refrigerants[name], application, []) for name in NAMES]
    low, high = flow_ratios(members)
    row = int(abs(application.sst_k - application.example_sst_k).argmin())
    own = []
    for member in members:
        # Clearance efficiency by hand: 1 - C ((p_d / p_s)^(1/n) - 1), at one suction state.
        machine = member.system.compressor
        suction = float(member.rated.suction_pressure_pa[row])
        heads = [float(s.state.head_pressure_pa[row]) for s in member.states]
        filled = [1.0 - machine.clearance * ((head / suction) ** (1.0 / machine.exponent) - 1.0) for head in heads]
        own.append((filled[0] / filled[1], filled[2] / filled[1]))
    assert low.least == pytest.approx(min(a for a, _ in own), rel=1e-9)
    assert low.most == pytest.approx(max(a for a, _ in own), rel=1e-9)
    assert high.least == pytest.approx(min(b for _, b in own), rel=1e-9)
    # common practice: a compressor pumps more against a lower head.
    assert low.least > 1.0 > high.most


def test_pick_and_table_state_the_ratio_and_its_source():
    picked = tablegen.pick("R404A", load="20 kBtu/h", sst="24 degF", application="walk_in_medium")
    text = " ".join(str(picked).split())
    found = re.search(
        r"Compressor pumps (\S+) times its rated flow at low head, (\S+) times at high head; (.*?\))", text
    )
    assert found and found[3] == demo_catalogue().applications["walk_in_medium"].sources["compressor"]
    assert float(found[1]) > 1.0 > float(found[2])
    record = picked.record()
    assert record["low_head_min_flow_ratio"] == pytest.approx(float(found[1]), abs=0.005)
    table = tablegen.table("alder", "R404A-R507A", application="walk_in_medium")
    assert "times its rated flow at low head" in " ".join(str(table).split())
