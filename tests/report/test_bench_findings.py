"""What a fit cannot determine, in words: every reason and every unusable row has its sentence, in the reader's units."""

import dataclasses

import pytest

from tablegen.bench.parameters import LeftOut, Parameter, Part, Quantity, Shortfall, Unusable, Why
from tablegen.bench.result import ConditionKey, Findings, LackOfFit, Outlier, Reading, Third
from tablegen.physics.flow import FlowLaw
from tablegen.report.answers.bench_findings import (
    lack_remarks,
    lack_text,
    missing_test,
    off_the_fit,
    parameter_text,
    reason_text,
    suspect_text,
    unusable_text,
)
from tablegen.report.formatter import Formatter
from tests.demo import demo_catalogue

IP, SI = Formatter("IP"), Formatter("SI")
# What decides the flow law asks for no test.
DECIDED = {Why.FLOW_LEVELS_OFF, Why.FLOW_GROWS, Why.EXPONENTS_FIT, Why.EXPONENTS_NEEDLESS}


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def reason(why: Why, **more) -> Shortfall:
    """A reason with a figure in every field."""
    full = Shortfall(
        why=why,
        rows=2,
        needed=5,
        temperatures=3,
        line=17,
        value=0.25,
        scatter=0.0312,
        low=0.1,
        high=0.9,
        wanted_low=0.2,
        wanted_high=1.2,
        law=FlowLaw.CHOKED,
        parameters=(Parameter(Quantity.KV, "45"), Parameter(Quantity.PRESSURE_RECOVERY)),
        sizes=("45", "90"),
    )
    return dataclasses.replace(full, **more)


@pytest.mark.parametrize("why", Why)
def test_every_reason_has_its_sentence_and_its_test(why):
    text, test = (plain(own(reason(why), IP)) for own in (reason_text, missing_test))
    assert text and (test == "") is (why in DECIDED)
    for own in (text, test):
        assert not any(part in own for part in ("{", "None", "nan", "\N{EN DASH}"))


@pytest.mark.parametrize(
    ("own", "formatter", "text", "test"),
    [
        (
            reason(Why.TRAVEL_LOW, low=0.5, wanted_low=0.25),
            IP,
            "no row opens less than 50 %, and the valve operates from 25 % up",
            "rows at 25 % opening",
        ),
        (
            reason(Why.ONE_DROP, low=400e3, high=420e3),
            IP,
            "all rows are at nearly the same pressure drop, 58 to 60.9 psi",
            "the same openings at another inlet pressure, for half or twice the drop",
        ),
        (
            reason(Why.SETTING_FAR, low=255.372, high=258.15, wanted_low=273.15),
            IP,
            "the factory setting is at a bulb temperature of 32.0 °F, and the rows are at 0.0 to 5.0 °F",
            "rows with the bulb near 32.0 °F",
        ),
        (
            reason(Why.SETTING_FAR, low=255.372, high=258.15, wanted_low=273.15),
            SI,
            "the factory setting is at a bulb temperature of 0.0 °C, and the rows are at −17.8 to −15.0 °C",
            "rows with the bulb near 0.0 °C",
        ),
        (
            reason(Why.FLOW_ONE_OPENING, low=1.0, high=1.0, wanted_low=0.25, wanted_high=1.2),
            IP,
            "all rows are at nearly the same opening, 100 %",
            "rows at several openings from 25 % to 120 %",
        ),
        (
            reason(Why.KV_ONLY_WITH),
            IP,
            "these rows do not separate it from Kv of size 45 and pressure recovery factor",
            "rows at 100 % opening",
        ),
        (
            reason(Why.NONE_BEYOND, line=12, high=0.87),
            IP,
            "no row has a drop beyond the choking limit, where any valve chokes whatever its pressure recovery factor is (the largest "
            "drop, in line 12, is 87 % of the limit)",
            "rows with a lower outlet pressure or warmer liquid",
        ),
        (
            reason(Why.SUPERHEAT_BOUND, value=2.5),
            IP,
            "its bound of ±4.50 °F is too wide to be of use",
            "more rows, at openings from nearly closed to rated stroke",
        ),
        (
            reason(Why.FEW_TEMPERATURES, rows=4, temperatures=4),
            IP,
            "4 rows at 4 bulb temperatures are too few",
            "bulb pressure at 4 or more temperatures, 6 rows or more",
        ),
    ],
)
def test_figures_of_a_reason_are_in_the_readers_units(own, formatter, text, test):
    assert plain(reason_text(own, formatter)) == text
    assert plain(missing_test(own, formatter)) == test


@pytest.mark.parametrize(("rows", "text"), [(1, "1 row can be used"), (0, "0 rows can be used")])
def test_rows_are_counted_in_singular_and_plural(rows, text):
    assert reason_text(reason(Why.FEW_OF_SIZE, rows=rows), IP) == text


@pytest.mark.parametrize("why", Unusable)
def test_every_unusable_row_has_its_sentence(why):
    family = demo_catalogue().families["alder"]
    row = LeftOut(line=3, part=Part.BALANCE, why=why, size="45", value=0.042)
    text = unusable_text(row, family, FlowLaw.CHOKED)
    assert text and "{" not in text and "None" not in text and "nan" not in text


def test_an_inferred_opening_that_cannot_be_used_is_given_with_the_stop():
    family = demo_catalogue().families["alder"]
    near = LeftOut(line=3, part=Part.BALANCE, why=Unusable.INFERRED_NEAR_STOP, value=1.184)
    text = "the opening inferred from its flow, 118 %, is too near the stop at 120 % to say whether the valve is on it"
    assert plain(unusable_text(near, family, None)) == text
    other = LeftOut(line=3, part=Part.BALANCE, why=Unusable.KV_OF_OTHER_LAW, size="45")
    assert unusable_text(other, family, FlowLaw.CHOKED).endswith("family's Kv is for the orifice law, not choked")


@pytest.mark.parametrize(
    ("parameter", "text"),
    [
        (Parameter(Quantity.KV, "45"), "Kv of size 45"),
        (Parameter(Quantity.KV), "Kv"),
        (Parameter(Quantity.OPENING, opening=0.333), "share of Kv at 33.3 % opening"),
        (Parameter(Quantity.OPENING), "opening characteristic"),
        (Parameter(Quantity.STATIC_SUPERHEAT, "cross"), "static superheat of charge cross"),
        (Parameter(Quantity.STATIC_SUPERHEAT), "static superheat"),
        (Parameter(Quantity.GRADIENT, "cross"), "spring gradient of charge cross"),
        (Parameter(Quantity.UNBALANCE), "unbalance of the port"),
    ],
)
def test_parameters_are_named_as_in_a_sentence(parameter, text):
    assert plain(parameter_text(parameter)) == text


def lack(reading: Reading, part: Part = Part.FLOW, **more) -> LackOfFit:
    full = LackOfFit(
        part=part,
        condition=ConditionKey(reading),
        group=Third.LOWEST,
        low=1.2,
        high=8.0,
        rows=35,
        residual=0.021,
        farthest=0.083,
        lines=(),
        chance=1e-4,
        error_rate=0.01,
        also=(),
    )
    return dataclasses.replace(full, **more)


@pytest.mark.parametrize(
    ("own", "text", "suspect"),
    [
        (
            lack(Reading.INLET_SUBCOOLING),
            "35 rows with low inlet subcooling (2.2 to 14.4 °F) are above the flow law, 2.1 % on average and up to 8.3 %",
            "the flow law",
        ),
        (
            lack(Reading.REFRIGERANT, group="R448A", low=float("nan"), farthest=-0.083, residual=-0.02),
            "35 rows of refrigerant R448A are below the flow law, 2.0 % on average and up to 8.3 %",
            "the refrigerant's data, or the refrigerant actually charged",
        ),
        (
            lack(Reading.LINE, low=10.0, high=44.0, residual=-0.002),
            "35 rows at lines 10 to 44 are above the flow law, −0.20 % on average and up to 8.3 %",
            "instruments that drifted during the test",
        ),
        (
            lack(Reading.OPENING, Part.BALANCE, low=0.1, high=0.4, residual=-0.5, farthest=-1.0),
            "35 rows with low opening (10 to 40 %) have a colder bulb than the force balance gives, 0.90 °F on average and up "
            "to 1.80 °F",
            "the spring: its force is not linear in the opening",
        ),
    ],
)
def test_lack_of_fit_names_the_rows_how_far_they_are_off_and_what_to_suspect(own, text, suspect):
    assert plain(lack_text(own, IP)) == text
    assert suspect_text(own) == suspect


def test_lack_of_fit_names_conditions_that_varied_along_and_rows_that_stay():
    own = lack(Reading.CHOKING, lines=(4, 9), also=(ConditionKey(Reading.INLET_SUBCOOLING),))
    assert lack_remarks(own) == [
        "These rows do not separate it from inlet subcooling.",
        "Lines 4 and 9 are far off but stay in the fit.",
    ]


def test_the_summary_says_whether_the_law_is_wrong_or_single_rows_are():
    lack = LackOfFit(
        part=Part.FLOW,
        condition=ConditionKey(Reading.CHOKING),
        group=Third.HIGHEST,
        low=1.2,
        high=1.9,
        rows=30,
        residual=0.1,
        farthest=0.2,
        lines=(),
        chance=1e-6,
        error_rate=0.01,
        also=(),
    )
    rows = [Outlier(31, Part.FLOW, 0.1, 7.0), Outlier(12, Part.BALANCE, 1.0, 9.0)]
    assert list(off_the_fit(Findings(lack_of_fit=[lack]))) == [
        "The deviation of mass flow follows drop relative to the choking limit: suspect the flow law, not single rows."
    ]
    assert list(off_the_fit(Findings(outliers=rows))) == [
        "The rows in lines 12 and 31 are outliers: each is off by itself, whatever the condition; suspect their readings."
    ]
    assert list(off_the_fit(Findings())) == []
