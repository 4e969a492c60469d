"""Units at the edges: what people write in, SI inside, printed figures out."""

import contextlib
import itertools
import math
import re
import subprocess
import sys
from fractions import Fraction

import pint
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tablegen.errors import BadValue
from tablegen.unit_table import CV_PER_KV, KINDS
from tablegen.units import SYSTEMS, print_unit, read_pressure, split, to_si, unit_named

PSI = 6894.757293168
# Units of ours by pint's words; a Cv is more than its unit.
PINT = {
    "K": "kelvin",
    "kBtu/h": "kBtu_it/hour",
    "Btu/h": "Btu_it/hour",
    "ton_refrigeration": "kBtu_it/hour",
    "m3/h": "m**3/hour",
    "L/h": "liter/hour",
    "kg/h": "kg/hour",
    "lb/h": "lb/hour",
    "kg/m3": "kg/m**3",
    "lb/ft3": "lb/foot**3",
    "Btu/lb": "Btu_it/lb",
    "kJ/(kg K)": "kJ/(kg*kelvin)",
    "Btu/(lb degF)": "Btu_it/(lb*delta_degF)",
    "Btu/(ft degF)": "Btu_it/(foot*delta_degF)",
    "in": "inch",
}
SPELLINGS = [
    (kind.name, unit, spelling)
    for kind in KINDS.values()
    for unit in kind.units
    for spelling in (unit.name, *unit.also)
]


def si(text, kind):
    """A quantity of any kind in SI; a gauge pressure stays one."""
    return read_pressure(text).value_pa if kind == "pressure" else to_si(text, kind)


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("32 degF", "temperature", 273.15),
        ("-40 degF", "temperature", 233.15),
        ("-40 degC", "temperature", 233.15),
        ("300 K", "temperature", 300.0),
        ("-40F", "temperature", 233.15),
        ("24 °F", "temperature", 268.70556),
        ("24 deg F", "temperature", 268.70556),
        ("\N{MINUS SIGN}40 °C", "temperature", 233.15),
        ("-40 c", "temperature", 233.15),
        ("9 delta_degF", "temperature difference", 5.0),
        ("9 delta F", "temperature difference", 5.0),
        ("5 delta_degC", "temperature difference", 5.0),
        ("5 K", "temperature difference", 5.0),
        ("25 psi", "pressure difference", 25 * PSI),
        ("1.5 bar", "pressure difference", 150e3),
        ("1 ton_refrigeration", "load", 3516.8528420667),
        ("1 ton", "load", 3516.8528420667),
        ("2 tons", "load", 2 * 3516.8528420667),
        ("2 TR", "load", 2 * 3516.8528420667),
        ("12 kBtu/h", "load", 3516.8528420667),
        ("12 MBH", "load", 3516.8528420667),
        ("12000 Btu/h", "load", 3516.8528420667),
        ("12000 BTUH", "load", 3516.8528420667),
        ("12000 Btuh", "load", 3516.8528420667),
        ("12000 BTU/hr", "load", 3516.8528420667),
        ("12000 BTU", "load", 3516.8528420667),
        ("12 MBTUH", "load", 3516.8528420667),
        ("3/4 ton", "load", 0.75 * 3516.8528420667),
        ("1 1/2 tons", "load", 1.5 * 3516.8528420667),
        ("1-1/2 tons", "load", 1.5 * 3516.8528420667),
        ("12000 btu/h", "load", 3516.8528420667),
        ("12,000 Btu/h", "load", 3516.8528420667),
        ("12,000 BTU/hr", "load", 3516.8528420667),
        ("3,500 W", "load", 3500.0),
        ("1,234.5 kW", "load", 1234.5e3),
        ("1,234,567 W", "load", 1234567.0),
        ("3.5 kW", "load", 3500.0),
        ("3.5 KW", "load", 3500.0),
        ("45 L/h", "flow coefficient", 0.045),
        ("0.045 m3/h", "flow coefficient", 0.045),
        ("0.045 m³/h", "flow coefficient", 0.045),
        ("0.045 Kv", "flow coefficient", 0.045),
        ("1.156 US_gal/min", "flow coefficient", 1.0),
        ("1.156 Cv", "flow coefficient", 1.0),
        ("10 ft", "length", 3.048),
        ("1 in", "length", 0.0254),
        ("25 percent", "share", 0.25),
        ("25 %", "share", 0.25),
        ("25%", "share", 0.25),
        ("-0.2 percent", "share", -0.002),
        ("100 lb/h", "mass flow", 45.359237 / 3600),
        ("1e-1 bar", "pressure difference", 10e3),
        (".5 m", "length", 0.5),
        ("  7 m  ", "length", 7.0),
        ("7m", "length", 7.0),
        # What pint reads.
        ("500 degR", "temperature", 500 / 1.8),
        ("9 degR", "temperature difference", 5.0),
        ("10 inH2O", "pressure difference", 2490.889),
        ("10 mmH2O", "pressure difference", 98.0665),
        ("1 kgf/cm2", "pressure difference", 98066.5),
        ("860 kcal/h", "load", 999.5111),
        ("200 Btu/min", "load", 3516.8528420667),
        ("0.75 L/min", "flow coefficient", 0.045),
        ("69.36 gal/h", "flow coefficient", 1.0),
        ("120 cm", "length", 1.2),
        ("10 g/s", "mass flow", 0.01),
        ("1.2 g/mL", "density", 1200.0),
        ("1 kcal/kg", "enthalpy", 4184.0),
    ],
)
def test_reads_to_si(text, kind, expected):
    assert to_si(text, kind) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "pascal", "is_gauge"),
    [
        ("135 psi_gauge", 135 * PSI, True),
        ("135 psig", 135 * PSI, True),
        ("135 PSIG", 135 * PSI, True),
        ("135 psi gauge", 135 * PSI, True),
        ("135 psi(g)", 135 * PSI, True),
        ("150 psia", 150 * PSI, False),
        ("9 barg", 9e5, True),
        ("9 bar g", 9e5, True),
        ("10 bara", 1e6, False),
        ("10 bar(a)", 1e6, False),
        ("10 bar abs", 1e6, False),
        ("930 kPag", 930e3, True),
        ("1000 kPaa", 1e6, False),
        ("1 MPag", 1e6, True),
        ("-10 inHg_gauge", -33863.886, True),
        ("760 torr absolute", 101325.0, False),
        ("1 atm_absolute", 101325.0, False),
        ("1013.25 mbar_absolute", 101325.0, False),
        ("9 kgf/cm2 g", 9 * 98066.5, True),
    ],
)
def test_a_pressure_says_gauge_or_absolute(text, pascal, is_gauge):
    reading = read_pressure(text)
    assert reading.value_pa == pytest.approx(pascal, rel=1e-6)
    assert reading.is_gauge == is_gauge


@pytest.mark.parametrize("unit", ["psi", "bar", "kPa", "MPa", "mbar", "torr", "inHg", "kgf/cm2", "Pa"])
def test_a_pressure_that_does_not_say_it_is_refused_with_the_fix(unit):
    with pytest.raises(BadValue) as caught:
        read_pressure(f"10 {unit}")
    assert caught.value.hint == f"did you mean {unit}_gauge or {unit}_absolute?"
    for fix in re.findall(r"\S+(?:_gauge|_absolute)\b", caught.value.hint):
        assert read_pressure(f"10 {fix}").is_gauge == fix.endswith("_gauge")


@pytest.mark.parametrize(
    "unit",
    [
        "hp",
        "HP",
        "Hp",
        " hp",
        "h.p.",
        "bhp",
        "kilohp",
        "horsepower",
        "metric_horsepower",
        "boiler_horsepower",
        "hp*m/m",
    ],
)
def test_a_motors_rating_is_no_load(unit):
    with pytest.raises(BadValue) as caught:
        to_si(f"5 {unit}", "load")
    fix = "hp is a motor's rating; give the system capacity in tons, Btu/h or kW"
    assert caught.value.hint == fix
    assert str(caught.value).endswith(f"({fix})")
    for instead in ("tons", "Btu/h", "kW"):
        assert to_si(f"5 {instead}", "load") > 0.0


def test_ton_of_refrigeration_is_12000_btu_per_hour():
    assert to_si("1 ton_refrigeration", "load") == pytest.approx(3516.85, abs=0.01)


def test_a_cv_is_more_than_a_change_of_unit():
    # IEC 60534: Cv = 1.156 Kv, though 1 US gal/min is 0.2271 m3/h.
    assert CV_PER_KV == 1.156
    assert to_si("1 US_gal/min", "flow coefficient") == pytest.approx(1 / 1.156)
    assert to_si("1 gal/s", "flow coefficient") == pytest.approx(60 / 1.156)
    assert to_si("1 imperial_gallon/min", "flow coefficient") == pytest.approx(1.20095 / 1.156, rel=1e-5)


@pytest.mark.parametrize(("kind", "unit", "spelling"), SPELLINGS)
def test_a_spelling_means_the_same_in_any_case_and_with_or_without_a_space(kind, unit, spelling):
    for text in (spelling, spelling.replace("_", " "), spelling.upper(), spelling.lower()):
        # A small m is a thousandth, a large one a million, so these keep their case.
        if text[0] != spelling[0] and spelling[0] in "mM":
            continue
        assert unit_named(kind, text) is unit
        assert split(f"7{text}", kind) == (7.0, unit) == split(f" 7.0  {text} ", kind)


@pytest.mark.parametrize("kind", KINDS)
def test_no_spelling_means_two_units_of_a_kind(kind):
    plain = [(re.sub(r"[\s_.()°]", "", s.lower()), unit.name) for own, unit, s in SPELLINGS if own == kind]
    for text, same in itertools.groupby(sorted(plain), key=lambda pair: pair[0]):
        assert len({name for _, name in same}) == 1, text


def test_units_of_one_kind_are_refused_by_the_others_unless_both_have_them():
    both = {("temperature", "temperature difference")}
    for kind, unit, spelling in SPELLINGS:
        for other in KINDS:
            if other == kind:
                continue
            try:
                found = unit_named(other, spelling)
            except BadValue:
                continue
            # A step of a kelvin is one wherever it is counted from.
            assert tuple(sorted((kind, other))) in both, (spelling, kind, other)
            assert (spelling, found.scale) == (spelling, unit.scale)
            assert unit.offset == found.offset == 0.0


@pytest.mark.parametrize(
    ("text", "kind", "hint"),
    [
        ("9 degF", "temperature difference", "did you mean delta_degF?"),
        ("9 °F", "temperature difference", "did you mean delta_degF?"),
        ("5 C", "temperature difference", "did you mean delta_degC?"),
        ("9 delta_degF", "temperature", "did you mean degF?"),
        ("9 psig", "pressure difference", "did you mean psi?"),
        ("9 inHg_gauge", "pressure difference", "did you mean inHg?"),
        ("12 MBtu/h", "load", "this unit has two meanings; write MBH, kBtu/h or kW"),
        ("12 MMBTUH", "load", "this unit has two meanings; write MBH, kBtu/h or kW"),
        ("12 mW", "load", "this unit has two meanings; write MBH, kBtu/h or kW"),
        ("2 mPa", "pressure difference", "this unit has two meanings; write MPa"),
        ("2 tons/h", "mass flow", "this unit has two meanings; write lb/h or kg/h"),
        ("30 kJ/h/kg", "load", ""),
        ("3 Btu/x", "load", "did you mean Btu/h?"),
        ("0.3", "share", "write '30 percent' if that is meant"),
        ("30", "share", "write '30 percent' if that is meant"),
        ("12000", "load", "for example '20 kBtu/h'"),
        ("12,5 kW", "load", "write '12.5 kW' if that is meant"),
        ("16", "flow coefficient", "for example '16 L/h'"),
        ("kW", "load", "write a number and a unit, for example '20 kBtu/h'"),
        # Which of the two it is cannot be known, so there is no guess.
        ("1,234 kW", "load", ""),
        ("16,000 L/h", "flow coefficient", ""),
        ("0,045 m3/h", "flow coefficient", ""),
        ("12,000", "load", ""),
    ],
)
def test_a_refusal_shows_what_to_write(text, kind, hint):
    with pytest.raises(BadValue) as caught:
        si(text, kind)
    assert caught.value.hint == hint
    if "comma" not in caught.value.rule:
        assert KINDS[kind].rule in caught.value.rule


@given(st.floats(min_value=1.01, max_value=1e9).map(lambda x: f"{x:.12g}"), st.sampled_from(sorted(KINDS)))
def test_a_hint_never_puts_a_unit_to_a_bare_number_but_percent(number, kind):
    """12000 that means Btu/h must not be offered as 12000 kW."""
    # A number that the example happens to have.
    assume(number not in KINDS[kind].example)
    with pytest.raises(BadValue) as caught:
        si(number, kind)
    expected = f"write '{float(number):.10g} percent' if that is meant" if kind == "share" else ""
    assert caught.value.hint == expected or KINDS[kind].example in caught.value.hint


@pytest.mark.parametrize("kind", KINDS)
def test_the_example_of_a_kind_can_be_read_and_uses_a_usual_unit(kind):
    assert split(KINDS[kind].example, kind)[1] in KINDS[kind].units
    assert math.isfinite(si(KINDS[kind].example, kind))


@pytest.mark.parametrize(
    "text",
    [
        None,
        True,
        [],
        {},
        "",
        "psi",
        "1e999 psi",
        "1,5 psi",
        "nan psi",
        "1 2 psi",
        5,
        5.0,
        "5 psi**999999999",
        "5 __import__('os')",
        "5 psi psi",
        "5 dBm",
        "5 " + "psi*" * 30 + "psi",
        "5 psi)",
        "5 TR",
        "5 F",
    ],
)
def test_what_is_no_quantity_is_refused(text):
    with pytest.raises(BadValue):
        to_si(text, "pressure difference")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("30 dBm", "load"),
        ("1 ft3/min", "flow coefficient"),
        ("5 deg", "share"),
        ("5 ppm", "share"),
        ("5 cfm", "load"),
        ("5 delta_degRe", "temperature"),
        ("5 degRe", "temperature difference"),
        ("5 kW/h", "load"),
        ("5 R", "temperature"),
        ("75 lb/cu ft", "length"),
    ],
)
def test_what_pint_would_misread_is_refused(text, kind):
    with pytest.raises(BadValue):
        to_si(text, kind)


PARTS = [
    "k",
    "m",
    "M",
    "psi",
    "Pa",
    "W",
    "Btu",
    "ton",
    "gal",
    "h",
    "/",
    "*",
    "^2",
    "min",
    "deg",
    "F",
    " ",
    "g",
    "3",
    "H2O",
    "delta_",
    "L",
    "lb",
]


@pytest.mark.slow
@given(st.text(max_size=30) | st.lists(st.sampled_from(PARTS), max_size=6).map("".join), st.sampled_from(sorted(KINDS)))
@settings(max_examples=500, deadline=None)
def test_any_text_is_read_or_refused(unit, kind):
    with contextlib.suppress(BadValue):
        assert math.isfinite(si(f"7 {unit}", kind))


@pytest.mark.parametrize("text", ["-460 degF", "-273.15 degC", "0 K", "-1 K"])
def test_absolute_zero(text):
    with pytest.raises(BadValue, match="above absolute zero"):
        to_si(text, "temperature")


@pytest.mark.parametrize("site_psi", [14.696, 12.2])
def test_gauge_pressure_takes_the_site_pressure(site_psi):
    reading = read_pressure("135 psi_gauge")
    assert reading.is_gauge
    assert reading.absolute(site_psi * PSI) == pytest.approx((135 + site_psi) * PSI)


def test_absolute_pressure_does_not():
    reading = read_pressure("10 bar_absolute")
    assert not reading.is_gauge
    assert reading.absolute(101325.0) == 1e6


def test_vacuum_in_gauge_is_allowed_and_a_negative_absolute_is_not():
    assert read_pressure("-5 psi_gauge").value_pa == pytest.approx(-5 * PSI)
    with pytest.raises(BadValue, match="must be positive"):
        read_pressure("-5 psi_absolute")


@pytest.mark.parametrize(
    ("quantity", "system", "value_si", "printed"),
    [
        ("temperature", "IP", 273.15, 32.0),
        ("temperature", "SI", 273.15, 0.0),
        ("temperature difference", "IP", 5.0, 9.0),
        ("temperature difference", "SI", 5.0, 5.0),
        ("load", "IP", 3516.8528420667, 12.0),
        ("load", "SI", 3500.0, 3.5),
        ("pressure", "IP", 100 * PSI, 100.0),
        ("pressure", "SI", 1e6, 10.0),
        ("pressure difference", "SI", 1e5, 100.0),
        ("density", "IP", 16.018463374, 1.0),
        ("enthalpy", "IP", 2326.0, 1.0),
        ("length", "IP", 0.3048, 1.0),
        ("mass flow", "IP", 0.45359237 / 3600, 1.0),
        ("flow coefficient", "SI", 0.045, 0.045),
    ],
)
def test_prints_back(quantity, system, value_si, printed):
    assert print_unit(quantity, system).of(value_si) == pytest.approx(printed, abs=1e-9, rel=1e-8)


NUMBERS = st.floats(min_value=-300.0, max_value=1e6).map(lambda x: round(x, 3))


@given(st.data(), NUMBERS)
def test_what_is_printed_is_read_back(data, figure):
    """Read again by the label beside it, in the kind that it was printed as."""
    system = data.draw(st.sampled_from(sorted(SYSTEMS)))
    quantity = data.draw(st.sampled_from(sorted(SYSTEMS[system])))
    kind, unit = quantity.removesuffix(" gauge"), print_unit(quantity, system)
    # A step of a Fahrenheit degree and a pressure in bar are printed so that a reader knows them by the heading alone.
    label = unit.name if (quantity, system) in {("temperature difference", "IP"), ("pressure", "SI")} else unit.label
    number, read = split(f"{figure}\N{NO-BREAK SPACE}{label}".replace("-", "\N{MINUS SIGN}"), kind)
    assert (number, read.name) == (figure, unit.name)
    assert unit.of(read.to_si(number)) == pytest.approx(figure, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize("unit", ["kW", "kBtu/h", "ton_refrigeration"])
def test_load_read_and_printed_is_the_same(unit):
    for system in ("SI", "IP"):
        assert print_unit("load", system, unit).of(to_si(f"7.25 {unit}", "load")) == pytest.approx(7.25)


def pints(unit, kind, registry=pint.UnitRegistry(autoconvert_offset_to_baseunit=False)):  # noqa: B008 - one for all
    """A function from a figure of a unit to its SI value as pint has it."""
    name = re.sub(r"_(gauge|absolute)$", "", unit.name)
    times = 12.0 if name == "ton_refrigeration" else 1.0
    return lambda figure: registry.Quantity(times * figure, PINT.get(name, name)).to(kind.si or "").magnitude


@pytest.mark.parametrize(
    ("kind", "unit"), [(k, u) for k in KINDS.values() for u in k.units if u.name != "US_gal/min"], ids=lambda x: x.name
)
@given(figure=st.floats(min_value=-500.0, max_value=1e6))
@settings(max_examples=50)
def test_usual_units_are_pints(kind, unit, figure):
    theirs = pints(unit, kind)
    assert unit.to_si(figure) == pytest.approx(theirs(figure), rel=1e-15, abs=abs(unit.offset) * 1e-15)
    assert unit.of(theirs(figure)) == pytest.approx(figure, rel=1e-14, abs=1e-9)


@pytest.mark.parametrize(
    ("kind", "unit", "exactly"),
    [
        # By definition: the international pound, foot and inch, standard gravity, the Btu of the International Table
        # (NIST SP 811).
        ("pressure difference", "psi", Fraction(45359237, 10**8) * Fraction(980665, 10**5) / Fraction(254, 10**4) ** 2),
        ("length", "ft", Fraction(3048, 10**4)),
        ("length", "in", Fraction(254, 10**4)),
        ("mass flow", "lb/h", Fraction(45359237, 10**8) / 3600),
        ("density", "lb/ft3", Fraction(45359237, 10**8) / Fraction(3048, 10**4) ** 3),
        ("load", "kBtu/h", Fraction(105505585262, 10**8) * 1000 / 3600),
        ("load", "ton_refrigeration", Fraction(105505585262, 10**8) * 12000 / 3600),
        ("temperature difference", "delta_degF", Fraction(5, 9)),
    ],
)
def test_a_scale_is_the_defined_one(kind, unit, exactly):
    found = unit_named(kind, unit)
    assert abs(Fraction(found.scale) / exactly - 1) < Fraction(1, 10**15)
    assert found.offset == 0.0


@pytest.mark.parametrize("degrees", ["-40", "0", "24", "32", "96.3", "105"])
def test_fahrenheit_is_exact_to_the_last_digit_of_a_kelvin(degrees):
    exactly = (Fraction(degrees) + Fraction("459.67")) * 5 / 9
    assert abs(Fraction(to_si(f"{degrees} degF", "temperature")) - exactly) <= Fraction(math.ulp(256.0))


@pytest.mark.slow
def test_pint_is_imported_only_for_a_unit_that_is_not_usual():
    code = (
        "import sys; from tablegen.units import to_si; to_si('12 MBH', 'load'); print('pint' in sys.modules); "
        "to_si('1 kcal/h', 'load'); print('pint' in sys.modules)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["False", "True"]
