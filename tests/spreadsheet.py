"""A workbook's formulas, calculated in Python: the few functions that its first sheet uses, as a spreadsheet has them."""

from __future__ import annotations

import math
import operator
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.utils import range_boundaries

_TOKEN = re.compile(
    r"""\s*(?:(?P<text>"(?:[^"]|"")*")|(?P<range>(?:'(?:[^']|'')*'!)?\$?[A-Z]{1,3}\$?\d+(?::\$?[A-Z]{1,3}\$?\d+)?)(?![\w(])"""
    r"""|(?P<number>\d+(?:\.\d+)?(?:E[+-]?\d+)?)|(?P<name>[A-Z]+)\(|(?P<sign><>|<=|>=|[-+*/&=<>(),:]))"""
)
_COMPARED = {
    "=": operator.eq,
    "<>": operator.ne,
    "<": operator.lt,
    ">": operator.gt,
    "<=": operator.le,
    ">=": operator.ge,
}
_WORKED = {"+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv}
_LEVELS = (tuple(_COMPARED), ("&",), ("+", "-"), ("*", "/"), (":",))
Node = tuple[Any, ...]


class Array(list[Any]):
    """Cells in rows, with where they stand: sheet, column and row of the first."""

    def __init__(self, rows: list[list[Any]], at: tuple[str, int, int] = ("", 1, 1)) -> None:
        super().__init__(rows)
        self.at = at

    @property
    def flat(self) -> list[Any]:
        return [cell for row in self for cell in row]


class Spreadsheet:
    """A workbook whose formulas are calculated when a cell is asked for; inputs may be set."""

    def __init__(self, path: Path) -> None:
        self.book = openpyxl.load_workbook(path)
        self._cells = {
            (sheet.title, cell.column, cell.row): cell.value
            for sheet in self.book
            for row in sheet.iter_rows()
            for cell in row
            if cell.value is not None
        }
        self._texts = {
            (sheet.title, cell.column, cell.row)
            for sheet in self.book
            for row in sheet.iter_rows()
            for cell in row
            if cell.data_type == "s"
        }
        computed = {
            key[0] for key, value in self._cells.items() if str(value).startswith("=") and key not in self._texts
        }
        # Sheets of nothing but values, whose areas are read once.
        self._fixed = set(self.book.sheetnames) - computed
        self._areas: dict[str, Array] = {}
        self._parsed: dict[str, Node] = {}
        self._known: dict[tuple[str, int, int], Any] = {}

    def given(self, sheet: str, inputs: dict[str, Any]) -> None:
        """Set inputs; what was calculated with others is forgotten."""
        for cell, value in inputs.items():
            column, row, _, _ = range_boundaries(cell)
            self._cells[sheet, column, row] = value
        self._known.clear()

    def value(self, sheet: str, cell: str) -> Any:
        column, row, _, _ = range_boundaries(cell)
        return self._cell(sheet, column, row)

    def _cell(self, *key: Any) -> Any:
        found = self._cells.get(key)
        if not isinstance(found, str) or not found.startswith("=") or key in self._texts:
            return found
        if key not in self._known:
            if found not in self._parsed:
                self._parsed[found] = _Parser(found[1:]).parsed()
            self._known[key] = self._scalar(self._of(self._parsed[found], key[0]))
        return self._known[key]

    def _cells_of(self, reference: str, own: str) -> Any:
        sheet, _, area = reference.rpartition("!")
        sheet = sheet[1:-1].replace("''", "'") if sheet else own
        if reference in self._areas:
            return self._areas[reference]
        left, top, right, bottom = range_boundaries(area.replace("$", ""))
        rows = [[self._cell(sheet, c, r) for c in range(left, right + 1)] for r in range(top, bottom + 1)]
        found = Array(rows, (sheet, left, top))
        if sheet in self._fixed:
            self._areas[reference] = found
        return found

    def _of(self, node: Node, own: str) -> Any:
        kind, *rest = node
        if kind == "value":
            return rest[0]
        if kind == "range":
            return self._cells_of(rest[0], own)
        if kind == "call":
            name, arguments = rest
            return getattr(self, f"_{name.lower()}")(own, *arguments)
        left, right = self._of(rest[0], own), self._of(rest[1], own)
        if kind == ":":
            sheet, column, top = left.at
            count = right.at[2] - top + 1
            return Array([[self._cell(sheet, column, top + i)] for i in range(count)], left.at)
        return _each(left, right, _function(kind))

    def _scalar(self, value: Any) -> Any:
        if isinstance(value, Array):
            assert len(value) == len(value[0]) == 1
            value = value[0][0]
        return 0 if value is None else value

    def _one(self, node: Node, own: str) -> Any:
        return self._scalar(self._of(node, own))

    def _numbers(self, own: str, nodes: tuple[Node, ...]) -> list[float]:
        found: list[float] = []
        for node in nodes:
            value = self._of(node, own)
            cells = value.flat if isinstance(value, Array) else [value]
            found += [cell for cell in cells if isinstance(cell, int | float) and not isinstance(cell, bool)]
        return found

    def _if(self, own: str, condition: Node, yes: Node, no: Node) -> Any:
        return self._one(yes if self._one(condition, own) else no, own)

    def _and(self, own: str, *nodes: Node) -> bool:
        return all(self._one(node, own) for node in nodes)

    def _or(self, own: str, *nodes: Node) -> bool:
        return any(self._one(node, own) for node in nodes)

    def _not(self, own: str, node: Node) -> bool:
        return not self._one(node, own)

    def _isnumber(self, own: str, node: Node) -> bool:
        value = self._of(node, own)
        value = value[0][0] if isinstance(value, Array) else value
        return isinstance(value, int | float) and not isinstance(value, bool)

    def _n(self, own: str, node: Node) -> float:
        value = self._one(node, own)
        return value if isinstance(value, int | float) else 0

    def _index(self, own: str, cells: Node, row: Node, column: Node = ("value", 1)) -> Any:
        found, i, j = self._of(cells, own), int(self._one(row, own)), int(self._one(column, own))
        assert 1 <= i <= len(found) and 1 <= j <= len(found[0]), (cells, i, j)
        sheet, left, top = found.at
        return Array([[found[i - 1][j - 1]]], (sheet, left + j - 1, top + i - 1))

    def _match(self, own: str, wanted: Node, cells: Node, kind: Node) -> int:
        value, found = self._one(wanted, own), self._of(cells, own).flat
        if self._one(kind, own) == 0:
            return found.index(value) + 1
        return max(i for i, cell in enumerate(found, start=1) if cell <= value)

    def _row(self, own: str, cells: Node) -> Array:
        found = self._of(cells, own)
        return Array([[found.at[2] + i] for i in range(len(found))])

    def _sumproduct(self, own: str, node: Node) -> float:
        return sum(self._of(node, own).flat)

    def _large(self, own: str, cells: Node, place: Node) -> float:
        return sorted(self._numbers(own, (cells,)), reverse=True)[int(self._one(place, own)) - 1]

    def _max(self, own: str, *nodes: Node) -> float:
        return max(self._numbers(own, nodes), default=0)

    def _min(self, own: str, *nodes: Node) -> float:
        return min(self._numbers(own, nodes), default=0)

    def _sum(self, own: str, *nodes: Node) -> float:
        return sum(self._numbers(own, nodes))

    def _count(self, own: str, *nodes: Node) -> int:
        return len(self._numbers(own, nodes))

    def _abs(self, own: str, node: Node) -> float:
        return abs(self._one(node, own))

    def _int(self, own: str, node: Node) -> int:
        return math.floor(self._one(node, own))

    def _round(self, own: str, node: Node, places: Node) -> float:
        return round(self._one(node, own), int(self._one(places, own)))


def _function(sign: str) -> Callable[[Any, Any], Any]:
    if sign == "&":
        return lambda a, b: f"{'' if a is None else a}{'' if b is None else b}"
    if sign in _COMPARED:
        return lambda a, b: _compared(a, b, sign)
    return lambda a, b: _WORKED[sign](a or 0, b or 0)


def _compared(left: Any, right: Any, sign: str) -> bool:
    """As a spreadsheet compares: an empty cell is nothing or no text, capitals do not matter, any text is above a number."""
    left, right = (
        ("" if isinstance(other, str) else 0) if own is None else own for own, other in ((left, right), (right, left))
    )
    if isinstance(left, str) != isinstance(right, str):
        return _COMPARED[sign](isinstance(left, str), isinstance(right, str))
    return _COMPARED[sign](*(own.casefold() if isinstance(own, str) else own for own in (left, right)))


def _each(left: Any, right: Any, function: Callable[[Any, Any], Any]) -> Any:
    if not isinstance(left, Array) and not isinstance(right, Array):
        return function(left, right)
    rows = max(len(own) for own in (left, right) if isinstance(own, Array))

    def cells(own: Any) -> list[Any]:
        flat = own.flat if isinstance(own, Array) else [own]
        return flat * rows if len(flat) == 1 else flat

    return Array([[function(a, b)] for a, b in zip(cells(left), cells(right), strict=True)])


class _Parser:
    """A formula as a tree, by the precedence of its signs."""

    def __init__(self, text: str) -> None:
        self._tokens: list[tuple[str, str]] = []
        at = 0
        while at < len(text):
            match = _TOKEN.match(text, at)
            assert match, text[at:]
            kind = str(match.lastgroup)
            self._tokens.append((kind, match[kind]))
            at = match.end()

    def parsed(self) -> Node:
        tree = self._level(0)
        assert not self._tokens, self._tokens
        return tree

    def _next(self, *signs: str) -> str:
        if self._tokens and self._tokens[0][0] == "sign" and self._tokens[0][1] in signs:
            return self._tokens.pop(0)[1]
        return ""

    def _level(self, level: int) -> Node:
        if level == len(_LEVELS):
            return self._operand()
        tree = self._level(level + 1)
        while sign := self._next(*_LEVELS[level]):
            tree = (sign, tree, self._level(level + 1))
        return tree

    def _operand(self) -> Node:
        if self._next("-"):
            return ("-", ("value", 0), self._operand())
        if self._next("("):
            tree = self._level(0)
            assert self._next(")")
            return tree
        kind, text = self._tokens.pop(0)
        if kind == "text":
            return ("value", text[1:-1].replace('""', '"'))
        if kind == "number":
            return ("value", float(text))
        if kind == "range":
            return ("range", text)
        assert kind == "name", text
        arguments = [self._level(0)]
        while self._next(","):
            arguments.append(self._level(0))
        assert self._next(")")
        return ("call", text, arguments)
