"""A reader with a calculator and the printed text of `trace`: every line of figures comes to the figure under it.

Nothing of the package's physics or formulas is used, only the text: signs are looked up among those printed above, units
are compared, and lines are evaluated by a calculator of a few lines.
"""

from __future__ import annotations

import ast
import math
import operator
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

import pytest
from CoolProp.CoolProp import PropsSI

import tablegen
from tablegen.report.text import to_text
from tests.answers.test_trace import cases
from tests.small import HARD, small_catalogue

MINUS, LINE = "\N{MINUS SIGN}", 3000
# As they are printed, the longest first.
UNITS = (
    *("psi per lb/ft³ and ft", "kPa per kg/m³ and m", "Btu/h per kBtu/h", "kBtu/h per m³/h", "m³/h per kBtu/h"),
    *("ft³/h per m³/h", "m³/h per m³/h", "lb/h per m³/h", "kg/h per m³/h", "m³/h per kW", "kW per m³/h", "kJ/h per kW"),
    *(
        "kBtu/h/ft",
        "kW/m",
        "kBtu/h",
        "lb/ft³",
        "kg/m³",
        "ft³/lb",
        "m³/kg",
        "Btu/lb/°F",
        "kJ/kg/K",
        "Btu/lb",
        "kJ/kg",
        "m³/h",
        "psia",
        "psi",
        "kPa",
        "kW",
        "°F",
        "°C",
    ),
    *("°R", "K", "ft", "m"),
)
# Quantities that are shares, ratios or numbers; every other figure has a unit.
BARE = {
    "d_max",
    "k_SH",
    "r_lim",
    "φ_size",
    "C",
    "n",
    "η_v",
    "x",
    "σ",
    "f",
    "s",
    "u",
    "φ_SH",
    "φ_stop",
    "φ_stable",
    "φ_max",
    "φ_min",
    "c",
    "c_port",
    "r",
    "k",
    "F_F",
    "F_L",
    "s_sub",
    "s_ref",
    "y_drop",
    "y_ref",
    "a",
    "b",
    "C_d",
    "q",
    "q_e",
    "S",
    "D_c",
    "m_c",
    "m_c,r",
}
BARE |= {f"C{i}" for i in range(1, 11)} | {
    "z",
    "y",
    "t",
    "b₁",
    "b₂",
    "b₃",
    "φ_p",
    "c_p",
    "A_c",
    "B_c",
    "C_c",
    "m_11",
    "m_12",
    "m_21",
    "m_22",
}
# Signs of the rating point where one of a head is beside them.
OF_RATING = {"ρ_r": "ρ", "m_c,r": "m_c", "v_r": "v", "T_e,r": "T_e"}
FIGURE = re.compile(rf"({MINUS}?\d+(?:\.\d+)?)(?: ({'|'.join(map(re.escape, UNITS))})(?![A-Za-z/]))?")
SIGN = re.compile(r"[A-Za-zα-ωΔ][A-Za-z0-9]*(?:_[A-Za-z0-9]+(?:,[a-z]+)?)?[₀₁₂₃]?(?:,[a-z])?")
CALL = re.compile(r"[A-Za-zα-ωΔ][A-Za-z0-9_,]*\(")
# What is no curve of a config file: properties, and where a charge has a pressure.
PROPERTIES = {"p_dew", "p_bub", "p_mid", "T_bub", "T_dew", "p_dew_setting", "T_charge"}
PROPERTIES |= {f"{of_what}_{phase}" for of_what in "hρ" for phase in ("bub", "dew", "liquid", "vapor")}
OPERATORS: dict[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}
KNOWN: dict[str, Callable[..., float]] = {"sqrt": math.sqrt, "min": min, "max": max, "exp": math.exp}

Case = tuple[Path, str, str, str, str, float]


@dataclass
class Step:
    """What is printed of a step: its sign, equation, stages of figures and result."""

    sign: str
    equation: str
    stages: list[str]
    result: str


@dataclass
class Page:
    """Figures by sign with their units, as they are printed from the top down, and what was checked."""

    figures: dict[str, list[tuple[str, str]]] = field(default_factory=dict)
    checked: set[str] = field(default_factory=set)
    lookups: list[tuple[str, tuple[float, ...], str]] = field(default_factory=list)

    def read(self, text: str) -> None:
        for line in text.splitlines():
            if found := re.match(r" *(\S+)  = (\S.*?)(?:   |$)", line):
                self.keep(found[1], found[2])

    def keep(self, sign: str, printed: str) -> None:
        found = FIGURE.fullmatch(printed)
        assert found, (sign, printed)
        assert found[2] or sign in BARE, f"no unit: {sign} = {printed}"
        self.figures.setdefault(sign, []).append((found[1], found[2] or ""))


def calculator(text: str, lookups: list[tuple[str, tuple[float, ...]]]) -> float:
    """A line of figures without units; what cannot be calculated is noted with its arguments, and NaN."""
    plain = FIGURE.sub(lambda m: m[1], text)
    plain = re.sub(r"([A-Za-zα-ωΔ][A-Za-z0-9_,]*)\(", lambda m: m[1].replace(",", "_") + "(", plain)
    for sign, own in {"×": "*", "÷": "/", MINUS: "-", "²": "**2", "³": "**3", "^": "**", "√": "sqrt"}.items():
        plain = plain.replace(sign, own)

    def value(node: ast.expr) -> float:
        if isinstance(node, ast.Constant):
            return float(node.value)
        if isinstance(node, ast.UnaryOp):
            assert isinstance(node.op, ast.USub)
            return -value(node.operand)
        if isinstance(node, ast.BinOp):
            return OPERATORS[type(node.op)](value(node.left), value(node.right))
        assert isinstance(node, ast.Call) and isinstance(node.func, ast.Name), text
        arguments = tuple(map(value, node.args))
        if node.func.id in KNOWN:
            return KNOWN[node.func.id](*arguments)
        lookups.append((node.func.id, arguments))
        return math.nan

    return value(ast.parse(plain, mode="eval").body)


def unit_of_last_digit(number: str) -> float:
    return 10.0 ** -len(number.partition(".")[2])


def steps_of(text: str) -> list[Step]:
    """The numbered steps of a text that is not folded."""
    found: list[list[str]] = []
    for line in text.splitlines():
        if re.match(r" *\d+  \S+ = ", line):
            found.append([line])
        elif found and re.match(r" +(?:  )?= ", line):
            found[-1].append(line.strip().removeprefix("= "))
        elif line.strip():
            found.append([])
    steps = []
    for first, *lines in filter(None, found):
        sign, equation = re.sub(r"^ *\d+  ", "", first).split("   ")[0].split(" = ", 1)
        stages = [stage for line in lines[:-1] for stage in line.split(" = ")]
        steps.append(Step(sign, equation, stages, lines[-1]))
    return steps


def check_signs(step: Step, page: Page) -> None:
    """Every sign of the equation is in the figures, in order, as it is printed above, in the same unit."""
    if not step.stages:
        # Renamed: the result is the other's figure.
        signs, figures = [step.equation], [FIGURE.fullmatch(step.result)]
    else:
        bare = CALL.sub("(", step.equation)
        signs = [m[0] for m in SIGN.finditer(bare)]
        numbers = re.findall(r"(?<![\w.₀₁₂₃])\d+(?:\.\d+)?", SIGN.sub("", bare))
        figures = [m for m in FIGURE.finditer(CALL.sub("(", step.stages[0])) if m[2] or m[1] not in numbers]
        if len(figures) != len(signs):
            # A quantity that is the same number as one of the equation's own.
            figures = list(FIGURE.finditer(CALL.sub("(", step.stages[0])))
            own = [m[0] for m in re.finditer(rf"{SIGN.pattern}|(?<![\w.])\d+(?:\.\d+)?", bare)]
            assert len(own) == len(figures), step
            figures = [m for s, m in zip(own, figures, strict=True) if not s[0].isdigit()]
    for sign, figure in zip(signs, figures, strict=True):
        assert figure is not None, step
        assert figure[2] or sign in BARE, f"no unit: {sign} in {step}"
        known = page.figures.get(sign, []) + page.figures.get(OF_RATING.get(sign, ""), [])
        # The root of a balance, the density at the inlet and the enthalpy that the flow of a rack follows from are taken
        # from the solution, which is shown further down.
        is_ahead = sign in ("ρ", "ρ_n", "T_e") or (step.sign, sign) == ("f", "h_l")
        assert (figure[1], figure[2] or "") in known or not known or is_ahead, (
            sign,
            figure[0],
            known,
        )


def check(text: str) -> Page:
    """Check every step of a printed trace.

    Raises
    ------
    AssertionError
        If one does not come out.
    """
    page = Page()
    page.read(text)
    for constant in re.findall(r"^ +N = [^=]+ = (.*)$", text, re.MULTILINE):
        shown = page.figures["N"][0][0]
        assert abs(calculator(constant, []) - float(shown)) <= unit_of_last_digit(shown)
    for step in steps_of(text):
        check_signs(step, page)
        page.keep(step.sign, step.result)
        if not step.stages:
            continue
        number = float(step.result.split(" ")[0].replace(MINUS, "-"))
        unit = unit_of_last_digit(step.result.split(" ")[0])
        before: list[tuple[str, tuple[float, ...]]] = []
        for stage in step.stages:
            lookups: list[tuple[str, tuple[float, ...]]] = []
            found = calculator(stage, lookups)
            if before and lookups:
                assert [name for name, _ in lookups] == [name for name, _ in before]
                for (_, now), (_, then) in zip(lookups, before, strict=True):
                    assert now == pytest.approx(then, abs=1e-4, nan_ok=True), step
            before = lookups
        if before:
            ((function, arguments),) = before
            # A charge of one fluid has its properties.
            assert function in PROPERTIES or (function == "p_charge" and "p_charge is the bubble pressure of" in text)
            page.lookups.append((function, arguments, step.result))
            continue
        assert abs(found - number) <= unit, (step, found)
        page.checked.add(step.sign)
    return page


def printed(case: Case, units: Literal["IP", "SI"], detail: Literal["steps", "full"] = "full") -> str:
    """The text of a trace, not folded."""
    path, family, size, refrigerant, application, sst_k = case
    answer = tablegen.trace(
        *(family, size, refrigerant), sst=sst_k, application=application, units=units, catalogue=path, detail=detail
    )
    return to_text(answer, LINE)


def of(*wanted: str) -> Case:
    """The case of the demo or the hard cases with these names."""
    return next(case for case in cases() if set(wanted) <= set(map(str, case)))


# Polynomial, table, connections, choked flow, a drive, lift, balanced suction, MOP.
CHOSEN: list[tuple[str, str, Literal["IP", "SI"]]] = [
    ("larch", "walk_in_low", "IP"),
    ("alder", "walk_in_medium_lift", "IP"),
    ("fir", "table_map", "SI"),
    ("fir", "free_map", "IP"),
]
PLAIN = of("alder", "R448A-family", "walk_in_medium")
ORDINARY = [
    (PLAIN, "IP"),
    (PLAIN, "SI"),
    *((of(family, application), units) for family, application, units in CHOSEN),
]


@pytest.mark.parametrize(("case", "units"), ORDINARY)
def test_every_line_of_figures_comes_to_what_is_printed(case, units):
    text = printed(case, units)
    assert check(text).checked >= {"m_c", "f", "p₁", "p₂", "Δp", "D", "Q₁", "Q"} - (
        {"m_c"} if "flow_table" in text else set()
    )


@pytest.mark.slow
@pytest.mark.parametrize("units", ["IP", "SI"])
def test_so_does_every_line_for_every_kind_of_valve_and_system(units):
    checked: set[str] = set()
    for case in cases():
        checked |= check(printed(case, units)).checked
    assert {"q", "q_e", "Δp_lift", "F_F", "Δp_ch", "Δp_eff", "Kv", "m_c", "p_bulb", "z", "y"} <= checked


@pytest.mark.parametrize("meant", ["with_connections", "without_connections"])
def test_connections_are_calculated_too(meant, tmp_path):
    loss = f"connection_loss: {{kv: 0.2 m3/h, size_kv: {meant}}}\n"
    edits = [("families/fir.yaml", "equalizer: external\n", f"equalizer: external\n{loss}")]
    path = small_catalogue(tmp_path / "own", ["fir"], {"one": ["R404A"]}, ["plain"], edits, source=HARD)
    page = check(printed((path, "fir", "1", "R404A", "plain", 272.0), "SI"))
    assert page.checked >= {"r", "c", "Kv_port" if meant == "with_connections" else "Kv"}


def test_the_shorter_text_has_the_same_figures():
    whole, short = (steps_of(printed(PLAIN, "IP", detail)) for detail in ("full", "steps"))
    assert whole == short


def test_a_wrong_digit_a_missing_unit_and_a_figure_of_elsewhere_are_found():
    text = printed(PLAIN, "IP")
    page = check(text)
    drop, unit = page.figures["Δp"][0]
    last = str((int(drop[-1]) + 5) % 10)
    for wrong in (
        text.replace(f"= {drop} {unit}\n", f"= {drop[:-1]}{last} {unit}\n"),
        text.replace(f"= {drop} {unit}\n", f"= {drop}\n"),
        text.replace("25 psi ×", "26 psi ×"),
        text.replace("f² ρ_r/ρ", "f³ ρ_r/ρ").replace("² × ", "³ × "),
    ):
        assert wrong != text
        with pytest.raises(AssertionError):
            check(wrong)


def test_properties_are_those_of_the_refrigerant_at_the_printed_figures():
    """Of a pure one, by the library itself: within two units of the last printed digit."""
    case = of("R134a", "walk_in_medium")
    page = check(printed((case[0], *case[1:3], "R134a", *case[4:]), "SI"))
    compared = 0
    for function, arguments, result in page.lookups:
        kelvin, *pressure = (arguments[0] + 273.15, *(1000.0 * kilopascal for kilopascal in arguments[1:]))
        if function in ("p_dew", "p_bub"):
            found = PropsSI("P", "T", kelvin, "Q", float(function == "p_dew"), "R134a") / 1000.0
        elif function in ("ρ_bub", "ρ_dew"):
            found = PropsSI("D", "T", kelvin, "Q", float(function == "ρ_dew"), "R134a")
        elif function in ("ρ_liquid", "ρ_vapor"):
            found = PropsSI("D", "T", kelvin, "P", pressure[0], "R134a")
        else:
            continue
        text = result.split(" ")[0]
        assert abs(found - float(text)) <= 2.0 * unit_of_last_digit(text), (function, arguments, result)
        compared += 1
    assert compared > 8
