"""A curve of a config file as steps: between two of its points it is a formula that a calculator can follow.

`trace` prints them in place of the name of the curve; a document that lists quantities keeps the name.
"""

from __future__ import annotations

import ast
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from tablegen.calculation.formula import evaluate, names_in, replaced
from tablegen.calculation.steps import Calculation, Given, Step
from tablegen.physics.bulb import AntoineCurve, ChargeCurve, PointsCurve
from tablegen.physics.compressor import TableCompressor
from tablegen.physics.monotone import MonotoneCubic
from tablegen.wording import trace as wording

_CUBIC = "z * (b_1 + z * (b_2 + z * b_3))"
# Antoine's constants give kPa of degC.
_KILOPASCAL, _KELVIN, _ZERO_C = 1000.0, 1.0, 273.15


@dataclass(frozen=True, slots=True)
class CurvePiece:
    """A curve at one place: figures of it in SI, the steps to a place between its points, and its formula there."""

    known: Mapping[str, float]
    steps: tuple[tuple[str, str], ...]
    formula: str
    note: str


@dataclass(frozen=True, slots=True)
class ChargePiece:
    """The pressure of a bulb charge; None where its curve is that of a fluid, a property."""

    curve: ChargeCurve

    def at(self, arguments: tuple[str, ...], values: tuple[float, ...]) -> CurvePiece | None:
        """The curve at a temperature, or an absolute one."""
        (text,), (kelvin,) = arguments, values
        absolute = text if any(name in ("T_bk", "T_m") for name in names_in(text)) else f"{text} + T_0"
        if isinstance(self.curve, PointsCurve):
            x, y, *slopes = self.curve.logarithm.piece(1.0 / kelvin)
            b_1, b_2, b_3 = (slope * x ** (i + 1) for i, slope in enumerate(slopes))
            known = {"T_0": 0.0, "T_p": 1.0 / x, "p_p": float(np.exp(y)), "b_1": b_1, "b_2": b_2, "b_3": b_3}
            return CurvePiece(
                known, (("z", f"(T_p + T_0) / ({absolute}) - 1"),), f"p_p * exp({_CUBIC})", wording.OF_CHARGE()
            )
        if isinstance(self.curve, AntoineCurve):
            constants = {"A_c": self.curve.a, "B_c": self.curve.b, "C_c": self.curve.c}
            known = {"T_0": 0.0, "T_1": _KELVIN, "p_a": _KILOPASCAL, **constants}
            return CurvePiece(
                known,
                (("t", f"({absolute}) / T_1 - {_ZERO_C}"),),
                "p_a * 10**(A_c - B_c / (C_c + t))",
                wording.OF_ANTOINE(),
            )
        return None


@dataclass(frozen=True, slots=True)
class SharePiece:
    """The opening characteristic, up to the stop."""

    curve: MonotoneCubic
    stop: float

    def at(self, arguments: tuple[str, ...], values: tuple[float, ...]) -> CurvePiece | None:
        """The characteristic at an opening."""
        if not 0.0 <= values[0] <= self.stop:
            return None
        x, y, b_1, b_2, b_3 = self.curve.piece(values[0])
        known = {"phi_p": x, "c_pt": y, "b_1": b_1, "b_2": b_2, "b_3": b_3}
        return CurvePiece(known, (("z", f"{arguments[0]} - phi_p"),), f"c_pt + {_CUBIC}", wording.OF_CHARACTERISTIC())


@dataclass(frozen=True, slots=True)
class TablePiece:
    """A table of compressor flows."""

    table: TableCompressor

    def at(self, arguments: tuple[str, ...], values: tuple[float, ...]) -> CurvePiece:
        """The four points around two temperatures."""
        axes = self.table.suction_k, self.table.discharge_k
        i, j = (
            int(np.clip(np.searchsorted(axis, value, side="right") - 1, 0, len(axis) - 2))
            for axis, value in zip(axes, values, strict=True)
        )
        flows = {f"m_{a + 1}{b + 1}": self.table.flows[i + a][j + b] for a in (0, 1) for b in (0, 1)}
        ends = {"T_s1": axes[0][i], "T_s2": axes[0][i + 1], "T_d1": axes[1][j], "T_d2": axes[1][j + 1]}
        steps = ("z", f"({arguments[0]} - T_s1) / (T_s2 - T_s1)"), ("y", f"({arguments[1]} - T_d1) / (T_d2 - T_d1)")
        return CurvePiece(
            ends | flows,
            steps,
            "(1 - z) * ((1 - y) * m_11 + y * m_12) + z * ((1 - y) * m_21 + y * m_22)",
            wording.OF_TABLE(),
        )


def followed(calculation: Calculation) -> Calculation:
    """A calculation of one place with the steps of its curves in place of their names."""
    lines: list[Given | Step] = []
    for line in calculation.lines:
        lines += _followed(line, calculation) if isinstance(line, Step) and not np.isnan(line.value) else [line]
    return replace(calculation, lines=lines)


def _followed(step: Step, calculation: Calculation) -> list[Step]:
    pieces: list[CurvePiece] = []

    def piece_of(node: ast.expr) -> str | None:
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
            return None
        curve = calculation.curves.get(node.func.id)
        if curve is None:
            return None
        texts = tuple(ast.unparse(argument) for argument in node.args)
        values = tuple(float(evaluate(text, step.operands, {})) for text in texts)
        piece = curve.at(texts, values)
        pieces.extend([] if piece is None else [piece])
        return None if piece is None else "_piece"

    formula = replaced(step.formula, piece_of)
    if not pieces:
        return [step]
    (piece,) = pieces
    w = Calculation({}, {**step.operands})
    w.known(**piece.known)
    for name, text in piece.steps:
        w.follows(name, text, step.source, piece.note)
    w.follows(step.name, formula.replace("_piece", f"({piece.formula})"), step.source, step.note)
    return [line for line in w.lines if isinstance(line, Step)]
