"""Formulas of a calculation: what is written is what was computed, whatever the brackets."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tablegen.calculation.formula import evaluate, names_in, parsed, written

NAMES = ("a", "b", "c")
_LEAVES = st.sampled_from([*NAMES, "2", "0.5"])


def _join(parts):
    return st.tuples(parts, st.sampled_from(["+", "-", "*", "/"]), parts).map(lambda t: f"({t[0]} {t[1]} {t[2]})")


def _more(parts):
    powers = parts.map(lambda p: f"({p})**2")
    calls = st.tuples(st.sampled_from(["min", "max"]), parts, parts).map(lambda t: f"{t[0]}({t[1]}, {t[2]})")
    return st.one_of(_join(parts), powers, calls, parts.map(lambda p: f"(-{p})"))


FORMULAS = st.recursive(_LEAVES, _more, max_leaves=8)


def read_back(text: str) -> str:
    """A written formula as Python."""
    signs = {"×": "*", "÷": "/", "\N{MINUS SIGN}": "-", "²": "**2", "³": "**3", "^": "**", "√": "sqrt"}
    for sign, plain in signs.items():
        text = text.replace(sign, plain)
    return text


@pytest.mark.slow
@given(FORMULAS, st.tuples(*(st.floats(-9.0, 9.0).filter(lambda x: abs(x) > 0.1) for _ in NAMES)))
@settings(max_examples=300, deadline=None)
def test_a_formula_written_with_figures_has_the_value_of_the_formula(formula, figures):
    values = dict(zip(NAMES, figures, strict=True))
    expected = float(evaluate(formula, {n: np.asarray(v) for n, v in values.items()}, {}))

    def spell(name):
        return repr(values[name]).replace("-", "\N{MINUS SIGN}")

    text = read_back(written(formula, spell, " × ", " ÷ "))
    try:
        found = eval(text, {"__builtins__": {}}, {"min": min, "max": max})
    except ZeroDivisionError:
        # Arrays go on with infinity, which a minimum or maximum may take away again.
        return
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-9) or not math.isfinite(expected)


@pytest.mark.parametrize(
    ("formula", "text"),
    [
        ("p_h - dp * f**2 * a / b - c", "p_h − dp f² a/b − c"),
        ("a / (b * c)", "a/(b c)"),
        ("(a + b) / c", "(a + b)/c"),
        ("1 + a - a * (b / c)**(1 / n)", "1 + a − a (b/c)^(1/n)"),
        ("a - (b - c)", "a − (b − c)"),
        ("sqrt(a * b)", "√(a b)"),
        ("a / (b / c)", "a/(b/c)"),
    ],
)
def test_signs_are_set_as_an_engineer_writes_them(formula, text):
    assert written(formula, lambda name: name, " ", "/") == text


def test_a_negative_figure_is_in_brackets_after_a_sign():
    values = {"a": "\N{MINUS SIGN}4", "b": "\N{MINUS SIGN}5"}
    assert written("a + b", values.__getitem__, " × ", " ÷ ") == "−4 + (−5)"
    assert written("a - b * a", values.__getitem__, " × ", " ÷ ") == "−4 − (−5) × (−4)"


def test_names_come_in_order_and_functions_are_none():
    assert names_in("p_dew(T_e + SH) - b * T_e") == ["T_e", "SH", "b"]


@pytest.mark.parametrize("formula", ["a if b else c", "a.b", "a[0]", "lambda: 1", "f(*a)", "a == b"])
def test_more_than_arithmetic_is_refused(formula):
    with pytest.raises(ValueError, match=re.escape(formula)):
        parsed(formula)
