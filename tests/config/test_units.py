"""Units at the edges: closed lists in, SI inside, printed figures out."""

import math
from fractions import Fraction

import pytest

from tablegen.errors import BadValue
from tablegen.unit_lines import LINES
from tablegen.units import CV_PER_KV, KINDS, LOAD_UNITS, print_unit, read_pressure, to_si
from tests.unit_lines import line, pairs, registry

PSI = 6894.757293168


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("32 degF", "temperature", 273.15),
        ("-40 degF", "temperature", 233.15),
        ("-40 degC", "temperature", 233.15),
        ("300 K", "temperature", 300.0),
        ("9 delta_degF", "temperature difference", 5.0),
        ("5 delta_degC", "temperature difference", 5.0),
        ("5 K", "temperature difference", 5.0),
        ("25 psi", "pressure difference", 25 * PSI),
        ("1.5 bar", "pressure difference", 150e3),
        ("1 ton_refrigeration", "load", 3516.8528420667),
        ("12 kBtu/h", "load", 3516.8528420667),
        ("12000 Btu/h", "load", 3516.8528420667),
        ("3.5 kW", "load", 3500.0),
        ("45 L/h", "flow coefficient", 0.045),
        ("0.045 m3/h", "flow coefficient", 0.045),
        ("1.156 US_gal/min", "flow coefficient", 1.0),
        ("10 ft", "length", 3.048),
        ("1 in", "length", 0.0254),
        ("25 percent", "share", 0.25),
        ("-0.2 percent", "share", -0.002),
        ("100 lb/h", "mass flow", 45.359237 / 3600),
        ("1e-1 bar", "pressure difference", 10e3),
        (".5 m", "length", 0.5),
        ("  7 m  ", "length", 7.0),
        ("7m", "length", 7.0),
    ],
)
def test_reads_to_si(text, kind, expected):
    assert to_si(text, kind) == pytest.approx(expected, rel=1e-9)


def test_ton_of_refrigeration_is_12000_btu_per_hour():
    assert to_si("1 ton_refrigeration", "load") == pytest.approx(3516.85, abs=0.01)


def test_a_cv_is_more_than_a_change_of_unit():
    # IEC 60534: Cv = 1.156 Kv, though 1 US gal/min is 0.2271 m3/h.
    assert CV_PER_KV == 1.156
    assert to_si("1 US_gal/min", "flow coefficient") == pytest.approx(1 / 1.156)
    assert to_si("1 US_gal/min", "flow coefficient") != pytest.approx(0.2271, rel=0.1)


@pytest.mark.parametrize("kind", KINDS)
def test_every_spelling_reads_and_no_other(kind):
    for unit in KINDS[kind].spellings:
        if kind == "pressure":
            assert math.isfinite(read_pressure(f"3 {unit}").value_pa)
        else:
            assert math.isfinite(to_si(f"3 {unit}", kind))
    everything = {unit for other in KINDS.values() for unit in other.spellings} | {
        "F",
        "C",
        "TR",
        "ton",
        "tons",
        "psig",
        "bara",
        "R",
        "degree_Rankine",
        "meter",
        "kilowatt",
        "",
        "degF/h",
    }
    for unit in everything - set(KINDS[kind].spellings):
        with pytest.raises(BadValue):
            (read_pressure if kind == "pressure" else lambda t: to_si(t, kind))(f"3 {unit}")


@pytest.mark.parametrize(
    ("text", "kind", "hint"),
    [
        ("9 degF", "temperature difference", "delta_degF"),
        ("9 delta_degF", "temperature", "degF"),
        ("25 F", "temperature", "degF"),
        ("25 °C", "temperature", "degC"),
        ("2 TR", "load", "ton_refrigeration"),
        ("3 ton", "load", "ton_refrigeration"),
        ("30 MBH", "load", "kBtu/h"),
        ("30 kw", "load", "kW"),
        ("4 %", "share", "percent"),
        ("4 Cv", "flow coefficient", "US_gal/min"),
        ("4 l/h", "flow coefficient", "L/h"),
    ],
)
def test_near_miss_is_hinted(text, kind, hint):
    with pytest.raises(BadValue) as caught:
        to_si(text, kind)
    assert caught.value.hint == f"did you mean {hint}?"
    assert KINDS[kind].allowed() in caught.value.rule


@pytest.mark.parametrize("text", [None, True, [], {}, "", "psi", "1e999 psi", "1,5 psi", "nan psi", "1 2 psi", 5, 5.0])
def test_what_is_no_quantity_is_refused(text):
    with pytest.raises(BadValue):
        to_si(text, "pressure difference")


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


@pytest.mark.parametrize("unit", LOAD_UNITS)
def test_load_read_and_printed_is_the_same(unit):
    for system in ("SI", "IP"):
        assert print_unit("load", system, unit).of(to_si(f"7.25 {unit}", "load")) == pytest.approx(7.25)


def test_every_line_is_pints():
    """A line that is missing or moved is written anew by `python -m tests.unit_lines`."""
    units = registry()
    assert list(LINES) == pairs()
    for (first, second), (scale, offset) in LINES.items():
        # Another version of pint may leave another last digit.
        assert (scale, offset) == pytest.approx(line(units, first, second), rel=5e-16, abs=0.0), (first, second)


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_read_is_what_pint_reads(kind):
    units = registry()
    for spelling, word in KINDS[kind].spellings.items():
        for number in (-40.0, -0.1, 0.0, 1.0, 9.0, 24.0, 96.3, 105.0, 1234.5):
            theirs = units.Quantity(number, word).to(KINDS[kind].si).magnitude
            assert KINDS[kind].to_si(number, spelling) == pytest.approx(theirs, rel=5e-16, abs=1e-300), spelling


@pytest.mark.parametrize(
    ("unit", "si", "exactly"),
    [
        # By definition: the international pound, foot and inch, standard gravity, the gallon of 231 cubic inches, the
        # Btu of the International Table (NIST SP 811).
        ("psi", "pascal", Fraction(45359237, 10**8) * Fraction(980665, 10**5) / Fraction(254, 10**4) ** 2),
        ("foot", "meter", Fraction(3048, 10**4)),
        ("inch", "meter", Fraction(254, 10**4)),
        ("lb/hour", "kg/s", Fraction(45359237, 10**8) / 3600),
        ("lb/foot**3", "kg/m**3", Fraction(45359237, 10**8) / Fraction(3048, 10**4) ** 3),
        ("kBtu_it/hour", "watt", Fraction(105505585262, 10**8) * 1000 / 3600),
        ("ton_refrigeration", "watt", Fraction(105505585262, 10**8) * 12000 / 3600),
        ("US_gal/min", "m**3/hour", 231 * Fraction(254, 10**4) ** 3 * 60),
        ("delta_degF", "kelvin", Fraction(5, 9)),
    ],
)
def test_a_scale_is_the_defined_one(unit, si, exactly):
    scale, offset = LINES[unit, si]
    assert abs(Fraction(scale) / exactly - 1) < Fraction(1, 10**15)
    assert offset == 0.0
    back, offset = LINES[si, unit]
    assert abs(Fraction(back) * exactly - 1) < Fraction(1, 10**15)
    assert offset == 0.0


@pytest.mark.parametrize("degrees", ["-40", "0", "24", "32", "96.3", "105"])
def test_fahrenheit_is_exact_to_the_last_digit_of_a_kelvin(degrees):
    exactly = (Fraction(degrees) + Fraction("459.67")) * 5 / 9
    assert abs(Fraction(to_si(f"{degrees} degF", "temperature")) - exactly) <= Fraction(math.ulp(256.0))


@pytest.mark.parametrize(("text", "kind"), [("16", "flow coefficient"), ("1,234 kW", "load"), ("1,234,567 W", "load")])
def test_no_hint_guesses_what_may_be_a_thousand_times_too_large(text, kind):
    with pytest.raises(BadValue) as caught:
        to_si(text, kind)
    assert caught.value.hint == ""
