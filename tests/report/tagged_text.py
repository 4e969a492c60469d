"""Reads a PDF through its structure tags alone, and finds what a page shows outside of them."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from pypdf import PdfReader
from pypdf.generic import ContentStream

_SHOW = {b"Tj", b"TJ", b"'", b'"'}
_PAINT = {b"S", b"s", b"f", b"F", b"f*", b"B", b"B*", b"b", b"b*", b"sh", b"Do"} | _SHOW


@dataclass
class Node:
    """A structure element: its role, dictionary, own text by mark, and kids."""

    role: str
    entry: Any
    number: int
    text: str = ""
    kids: list[Node] = field(default_factory=list)
    marks: list[tuple[int, int]] = field(default_factory=list)

    def walk(self) -> Iterator[Node]:
        yield self
        for kid in self.kids:
            yield from kid.walk()

    def find(self, *roles: str) -> list[Node]:
        return [node for node in self.walk() if node.role in roles]

    @property
    def words(self) -> str:
        """Its text and that of its kids, with single spaces."""
        return " ".join(" ".join(node.text for node in self.walk()).split())


class Tagged:
    """A document's pages by mark, its tree, and every fault found on the way."""

    def __init__(self, pdf: bytes) -> None:
        self.reader = PdfReader(io.BytesIO(pdf), strict=True)
        self.faults: list[str] = []
        self._maps: dict[int, dict[int, str]] = {}
        self.marks = [self._read(number, page) for number, page in enumerate(self.reader.pages)]
        self._page_of = {page.indirect_reference.idnum: n for n, page in enumerate(self.reader.pages)}
        root: Any = self.reader.trailer["/Root"]
        self.struct = root["/StructTreeRoot"]
        self.root = self._node(self.struct.raw_get("/K"), self.reader.trailer["/Root"].raw_get("/StructTreeRoot").idnum)

    def tables(self) -> list[list[list[Node]]]:
        """Rows of cells of every table in reading order."""
        return [[row.kids for row in table.kids] for table in self.root.find("Table")]

    def _node(self, reference: Any, parent: int) -> Node:
        entry = reference.get_object()
        if entry.raw_get("/P").idnum != parent:
            self.faults.append(f"element {reference.idnum} does not lead to its parent")
        node = Node(str(entry["/S"])[1:], entry, reference.idnum)
        kids = entry.get("/K", [])
        for i, kid in enumerate(kids if isinstance(kids, list) else [kids]):
            raw = list.__getitem__(kids, i) if isinstance(kids, list) else entry.raw_get("/K")
            if isinstance(kid, int):
                self._mark(node, self._page_of[entry.raw_get("/Pg").idnum], kid)
            elif kid.get("/Type") == "/MCR":
                self._mark(node, self._page_of[kid.raw_get("/Pg").idnum], kid["/MCID"])
            elif kid.get("/Type") != "/OBJR":
                node.kids.append(self._node(raw, reference.idnum))
        return node

    def _mark(self, node: Node, page: int, number: int) -> None:
        role, text = self.marks[page].get(number, ("", ""))
        if role != node.role:
            self.faults.append(f"page {page + 1}: mark {number} is {role!r}, its element {node.role!r}")
        node.marks.append((page, number))
        node.text = f"{node.text} {text}"

    def _read(self, number: int, page: Any) -> dict[int, tuple[str, str]]:
        """Role and text of each mark of a page; notes what is unbalanced, nested, doubled or stray."""
        found: dict[int, tuple[str, str]] = {}
        fonts = page["/Resources"]["/Font"]
        font: dict[int, str] = {}
        open_, in_text, where = [], False, f"page {number + 1}"
        for operands, operator in ContentStream(page["/Contents"].get_object(), self.reader).operations:
            if operator in (b"BMC", b"BDC"):
                if open_:
                    self.faults.append(f"{where}: {operands} inside {open_}")
                mark = operands[1]["/MCID"] if operator == b"BDC" else None
                if mark in found or (mark is None and operands[0] != "/Artifact"):
                    self.faults.append(f"{where}: {operands}")
                if mark is not None:
                    found[mark] = (str(operands[0])[1:], "")
                open_.append((mark, in_text))
            elif operator == b"EMC":
                if not open_ or open_.pop()[1] != in_text:
                    self.faults.append(f"{where}: an end of marked content without its beginning")
            elif operator in (b"BT", b"ET"):
                in_text = operator == b"BT"
                if open_ and not in_text and open_[-1][1]:
                    self.faults.append(f"{where}: a mark goes on beyond its text object")
            elif operator == b"Tf":
                font = self._map(fonts[operands[0]])
            if operator in _PAINT and not open_:
                self.faults.append(f"{where}: {operator!r} {operands} is neither marked nor an artifact")
            if open_ and open_[-1][0] is not None:
                shown = _decoded(operands[-1], font) if operator in _SHOW else " " if operator in (b"T*", b"ET") else ""
                role, text = found[open_[-1][0]]
                found[open_[-1][0]] = role, text + shown
        if open_:
            self.faults.append(f"{where}: {open_} is not closed")
        return found

    def _map(self, font: Any) -> dict[int, str]:
        entry = font.get_object()
        if id(entry) not in self._maps:
            code = entry["/ToUnicode"].get_object().get_data()
            pairs = re.findall(rb"<(\w\w)> <(\w+)>\n", code.split(b"beginbfchar")[1])
            self._maps[id(entry)] = {int(a, 16): bytes.fromhex(b.decode()).decode("utf-16-be") for a, b in pairs}
        return self._maps[id(entry)]


def _decoded(operand: Any, font: dict[int, str]) -> str:
    parts = [p for p in operand if not isinstance(p, (int, float))] if isinstance(operand, list) else [operand]
    return "".join(font[code] for part in parts for code in part.original_bytes)


def _columns(cell: Any) -> int:
    """Over how many columns a cell of a table reaches."""
    attributes = cell.entry.get("/A", {})
    return int(attributes.get("/ColSpan", 1)) if hasattr(attributes, "get") else 1


def faults(document: Tagged) -> list[str]:
    """What is wrong with a tagged document: marks, parent tree, figures, tables, links."""
    found = [*document.faults, *_parent_tree(document)]
    for figure in document.root.find("Figure"):
        left, bottom, right, top = map(float, figure.entry["/A"]["/BBox"])
        box = document.reader.pages[figure.marks[0][0]].mediabox
        if not (0 <= left < right <= box.width and 0 <= bottom < top <= box.height):
            found.append(f"figure of {figure.entry['/A']['/BBox']}")
        if len(str(figure.entry.get("/Alt", "")).split()) < 3:
            found.append("a figure without words")
    for table in document.root.find("Table"):
        columns = [sum(map(_columns, row.kids)) for row in table.kids]
        if {kid.role for kid in table.kids} != {"TR"} or len(set(columns)) != 1:
            found.append(f"table of {columns}: {table.words[:40]}")
        cells = [cell for row in table.kids for cell in row.kids]
        if any((cell.role == "TH") != ("/A" in cell.entry) or cell.kids for cell in cells):
            found.append(f"cells of {table.words[:40]}")
    return found


def _parent_tree(document: Tagged) -> Iterator[str]:
    """Marks, and annotations, that the parent tree does not lead back to their element."""
    numbers = document.struct["/ParentTree"]["/Nums"]
    keys = [int(key) for key in numbers[::2]]
    owners = dict(zip(keys, (list.__getitem__(numbers, i) for i in range(1, len(numbers), 2)), strict=True))
    if keys != sorted(set(keys)) or document.struct["/ParentTreeNextKey"] <= keys[-1]:
        yield "the parent tree is out of order"
    of_page = {}
    for number, page in enumerate(document.reader.pages):
        of_page[number] = [owner.idnum for owner in owners.pop(int(page["/StructParents"]))]
        if page["/Tabs"] != "/S" or len(of_page[number]) != len(document.marks[number]):
            yield f"page {number + 1} has {len(of_page[number])} owners of {len(document.marks[number])} marks"
        for annotation in page.get("/Annots", ()):
            if owners.pop(int(annotation.get_object()["/StructParent"])).get_object()["/S"] != "/Link":
                yield f"page {number + 1}: an annotation of no link"
    owned = {(page, i): owner for page, row in of_page.items() for i, owner in enumerate(row)}
    for node in document.root.walk():
        for mark in node.marks:
            if owned.pop(mark, None) != node.number:
                yield f"mark {mark} does not lead to {node.role} {node.number}"
    if owned or owners:
        yield f"{len(owned)} marks and {len(owners)} keys lead to no element"
