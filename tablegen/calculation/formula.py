"""An equation as text: evaluated, and written with symbols or with figures, from the same words.

What a reader sees is therefore what was computed.  The grammar is that of arithmetic: names, numbers, + - * / **, and
calls of named functions.
"""

from __future__ import annotations

import ast
import functools
import inspect
import re
import textwrap
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.wording.language import figure

_PLAIN: dict[str, Callable[..., Any]] = {
    "sqrt": np.sqrt,
    "min": np.minimum,
    "max": np.maximum,
    "exp": np.exp,
    "log": np.log,
}
_OPERATORS: dict[type[ast.operator], Callable[[Any, Any], Any]] = {
    ast.Add: np.add,
    ast.Sub: np.subtract,
    ast.Mult: np.multiply,
    ast.Div: np.divide,
    ast.Pow: np.power,
}
# How tightly an operator binds; a part that binds less is put in brackets.
_NEGATIVE, _SUM, _PRODUCT, _POWER, _ATOM = 0, 1, 2, 3, 4
_POWERS: dict[Any, str] = {2: "²", 3: "³"}


@functools.cache
def _text_of(function: Callable[..., Any]) -> str:
    tree = ast.parse(textwrap.dedent(inspect.getsource(function)))
    (result,) = (node for node in ast.walk(tree) if isinstance(node, ast.Return))
    assert result.value is not None
    return re.sub(r"\b(max|min)imum\(", r"\1(", ast.unparse(result.value)).replace(" ** ", "**")


def text_of(equation: Callable[..., Any], **renamed: str) -> str:
    """The formula of a function of `tablegen.physics.equations`, read from what it returns.

    `renamed` gives another symbol for a parameter.

    >>> from tablegen.physics import equations
    >>> text_of(equations.flow_ratio, m_c="m_x")
    'm_x / m_cr'
    """
    return re.sub(r"\w+", lambda name: renamed.get(name[0], name[0]), _text_of(equation))


@functools.cache
def parsed(text: str) -> ast.expr:
    """The tree of a formula.

    Raises
    ------
    ValueError
        If it is more than arithmetic.
    """
    tree = ast.parse(text, mode="eval").body
    for node in ast.walk(tree):
        if not isinstance(
            node,
            (ast.BinOp, ast.UnaryOp, ast.USub, ast.Call, ast.Name, ast.Load, ast.Constant, *_OPERATORS),
        ):
            raise ValueError(text)
    return tree


def names_in(text: str) -> list[str]:
    """The quantities that a formula takes, in the order in which it names them; functions are none."""
    found: dict[str, None] = {}

    def visit(node: ast.expr) -> None:
        if isinstance(node, ast.Name):
            found[node.id] = None
        elif isinstance(node, ast.BinOp):
            visit(node.left)
            visit(node.right)
        elif isinstance(node, ast.UnaryOp):
            visit(node.operand)
        elif isinstance(node, ast.Call):
            for argument in node.args:
                visit(argument)

    visit(parsed(text))
    return list(found)


def calls_in(text: str) -> set[str]:
    """The functions that a formula calls."""
    calls = (node.func for node in ast.walk(parsed(text)) if isinstance(node, ast.Call))
    return {func.id for func in calls if isinstance(func, ast.Name)}


def replaced(text: str, change: Callable[[ast.expr], str | None]) -> str:
    """A formula with parts of it exchanged, innermost first: `change` gives the name that replaces one, or None."""

    class Exchange(ast.NodeTransformer):
        def visit(self, node: ast.AST) -> Any:
            node = self.generic_visit(node)
            if isinstance(node, ast.expr) and (name := change(node)) is not None:
                return ast.Name(name, ast.Load())
            return node

    # What is parsed is cached, so that a copy is changed.
    return ast.unparse(Exchange().visit(ast.parse(text, mode="eval").body)).replace(" ** ", "**")


def evaluate(text: str, values: Mapping[str, Floats], functions: Mapping[str, Callable[..., Any]]) -> Floats:
    """The value of a formula; arrays go through it elementwise.

    Raises
    ------
    KeyError
        If it names a quantity or a function that is not given.
    """

    def value(node: ast.expr) -> Any:
        if isinstance(node, ast.Constant):
            return np.float64(node.value)  # type: ignore[arg-type]
        if isinstance(node, ast.Name):
            return values[node.id]
        if isinstance(node, ast.UnaryOp):
            return -value(node.operand)
        if isinstance(node, ast.BinOp):
            return _OPERATORS[type(node.op)](value(node.left), value(node.right))
        assert isinstance(node, ast.Call)
        assert isinstance(node.func, ast.Name)
        function = functions[node.func.id] if node.func.id in functions else _PLAIN[node.func.id]
        return function(*(value(argument) for argument in node.args))

    # A state that cannot exist is NaN, and goes through as such.
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(value(parsed(text)), dtype=np.float64)


def written(
    text: str, spell: Callable[[str], str], times: str, over: str, call: Callable[[str], str] = lambda name: name
) -> str:
    """A formula for the eye; `spell` writes a quantity, `times` and `over` the signs, `call` the name of a function."""

    def bracketed(node: ast.expr, minimum: int) -> str:
        inner, rank = write(node)
        return inner if rank >= minimum else f"({inner})"

    def write(node: ast.expr) -> tuple[str, int]:
        if isinstance(node, ast.Constant):
            return figure(f"{float(node.value):g}"), _ATOM  # type: ignore[arg-type]
        if isinstance(node, ast.Name):
            spelled = spell(node.id)
            return spelled, _NEGATIVE if spelled.startswith("\N{MINUS SIGN}") else _ATOM
        if isinstance(node, ast.UnaryOp):
            return f"\N{MINUS SIGN}{bracketed(node.operand, _PRODUCT)}", _NEGATIVE
        if isinstance(node, ast.Call):
            assert isinstance(node.func, ast.Name)
            arguments = ", ".join(write(argument)[0] for argument in node.args)
            name = "√" if node.func.id == "sqrt" else call(node.func.id)
            return f"{name}({arguments})", _ATOM
        assert isinstance(node, ast.BinOp)
        return _binary(node, bracketed, times, over)

    return write(parsed(text))[0]


def _binary(node: ast.BinOp, bracketed: Callable[[ast.expr, int], str], times: str, over: str) -> tuple[str, int]:
    if isinstance(node.op, ast.Add):
        return f"{bracketed(node.left, _NEGATIVE)} + {bracketed(node.right, _SUM)}", _SUM
    if isinstance(node.op, ast.Sub):
        return f"{bracketed(node.left, _NEGATIVE)} \N{MINUS SIGN} {bracketed(node.right, _PRODUCT)}", _SUM
    if isinstance(node.op, ast.Mult):
        return f"{bracketed(node.left, _PRODUCT)}{times}{bracketed(node.right, _PRODUCT)}", _PRODUCT
    if isinstance(node.op, ast.Div):
        # Of a product under the line every factor would otherwise stand above it.
        return f"{bracketed(node.left, _PRODUCT)}{over}{bracketed(node.right, _POWER)}", _PRODUCT
    base = bracketed(node.left, _ATOM)
    if isinstance(node.right, ast.Constant) and node.right.value in _POWERS:
        return f"{base}{_POWERS[node.right.value]}", _POWER
    return f"{base}^({bracketed(node.right, _NEGATIVE)})", _POWER
