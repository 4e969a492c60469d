"""What the columns of an imported sheet are: the kind of a sheet by its headings, the key and unit of each column."""

from __future__ import annotations

import datetime
import difflib
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from tablegen.config.document import Yaml
from tablegen.config.sheet import cell_number, cell_text, folded, headings
from tablegen.config.workbook_rows import Cell
from tablegen.errors import BadValue, near
from tablegen.unit_table import Unit
from tablegen.units import is_unit, read_pressure, to_si, unit_named
from tablegen.wording import imports as wording
from tablegen.wording import input_errors
from tablegen.wording.message import OR, listed
from tablegen.wording.unit_texts import A_QUANTITY

TEXT, LIST, WHOLE, NUMBER = "", "list", "whole", "number"
_PLAIN = (TEXT, LIST, WHOLE, NUMBER)
_EXAMPLES = {
    "share": "percent",
    "flow coefficient": "L/h",
    "load": "kW",
    "pressure": "psi_absolute",
    "pressure difference": "psi",
    "temperature": "degF",
    "temperature difference": "delta_degF",
    "time": "s",
}
_MAX_SHOWN = 40
_BRACKET = re.compile(r"[\[(]")
# Headings with their units as the trade writes them.
_WRITTEN = {"coil_difference": "TD [\u00b0F]"}
_SHORT = {"min": "minimum", "max": "maximum"}
# Months as spreadsheets write them, in the languages of the publications.
_MONTH = (
    "jan(uary|uar|v|vier)?|feb(ruary|ruar|rero)?|f[ée]vr?(ier)?|mar(ch|s|zo)?|m[äa]rz|mär|mrz|apr(il)?|avr(il)?|abr(il)?"
    "|ma[yi]|mayo|june?|jun[io]|juin|july?|jul[io]|juil(let)?|aug(ust)?|ao[uû]t|ago(sto)?|sept?(ember|embre|iembre)?"
    "|o[ck]t(ober|obre|ubre)?|nov(ember|embre|iembre)?|de[cz](ember)?|d[ée]c(embre)?|dic(iembre)?|ene(ro)?"
)
_DATE = re.compile(
    rf"\d{{4}}-\d\d?-\d\d?(?: [\d:.]+)?|\d\d?/\d\d?/(?:\d\d|\d{{4}})|\d\d?\.\d\d?\.(?:\d\d|\d{{4}})?"
    rf"|\d\d?\.?[ -]*(?:{_MONTH})\.?(?:[ -]*\d\d(?:\d\d)?)?|(?:{_MONTH})\.?[ -]*\d\d?(?:\d\d)?(?:, ?\d{{4}})?",
    re.IGNORECASE,
)
# A heading that is so like a known one is that one, misspelled, whatever other name is in it.
_MISSPELLED = 0.85
# Where a column is missing, two letters of which one is right, such as 'Kw', are near.
_NEAREST = 0.5


class SheetKind(StrEnum):
    """What the rows of a sheet are."""

    KEYS = "keys"
    SIZES = "sizes"
    CHARGES = "charges"
    CHARACTERISTIC = "characteristic"
    PART_NUMBERS = "part_numbers"
    BENCH = "bench"


@dataclass(frozen=True, slots=True)
class ImportColumn:
    """A column by its `key` in the family's file, with further `names`, and the kind of quantity in it.

    `kind` is one of `TEXT`, `LIST`, `WHOLE` and `NUMBER`, or a kind of quantity; `usual` is the unit of a name that needs
    none beside it.
    """

    key: str
    kind: str = TEXT
    names: tuple[str, ...] = ()
    usual: Mapping[str, str] | None = None

    @property
    def heading(self) -> str:
        """A heading that means it, without a unit."""
        last = self.key.rpartition(".")[2]
        return (last if last == self.headings[0] else self.names[0]).replace("_", " ")

    @property
    def example(self) -> str:
        """A heading with a unit, if it takes one."""
        return _WRITTEN.get(self.key) or (
            self.heading if self.kind in _PLAIN else f"{self.heading} [{_EXAMPLES[self.kind]}]"
        )

    @property
    def headings(self) -> tuple[str, ...]:
        """Every heading that means it."""
        last = self.key.rpartition(".")[2]
        own = () if last in ("minimum", "maximum", "kv", "refrigerant") and "." in self.key else (last,)
        return (*own, self.key.replace(".", "_"), *self.names)


_STEP, _SHARE = "temperature difference", "share"
# Of a size alone; what follows them may differ between port designs.
OF_SIZE = (
    ImportColumn("size", names=("valve_size", "model", "valve")),
    ImportColumn("display", names=("name", "name_in_print", "printed_name")),
    ImportColumn(
        "kv",
        "flow coefficient",
        ("rated_kv", "kv_rated", "cv", "rated_cv", "kv_m3h", "cv_us_gal_min"),
        {"cv": "Cv", "rated_cv": "Cv", "kv_m3h": "m3/h", "cv_us_gal_min": "Cv"},
    ),
    ImportColumn("capacity", "load", ("nominal_capacity", "rated_capacity")),
    ImportColumn("port_design", names=("port", "port_insert", "insert")),
    ImportColumn("connections", LIST),
)
OF_DESIGN = (
    ImportColumn("opening.stop", _SHARE, ("maximum_stroke", "maximum_travel", "maximum_opening")),
    ImportColumn("opening.minimum_stable", _SHARE, ("minimum_stable_opening",)),
    ImportColumn("opening.reserve_in_limits", _SHARE),
    ImportColumn("port.unbalance", _SHARE),
    ImportColumn("working_pressure", "pressure", ("maximum_working_pressure",)),
    ImportColumn("allowed_differential", "pressure difference"),
    ImportColumn("connection_loss.kv", "flow coefficient", ("connection_kv",)),
    ImportColumn("connection_loss.size_kv"),
    ImportColumn("full_steps", WHOLE),
    ImportColumn("minimum_steps", WHOLE),
    ImportColumn("control_reserve", _SHARE),
    ImportColumn("minimum_duty", _SHARE),
    ImportColumn("maximum_duty", _SHARE),
)
TEMPERATURE = ImportColumn("temperature", "temperature", ("point_temperature",))
PRESSURE = ImportColumn("pressure", "pressure", ("charge_pressure",))
OF_CHARGE = (
    ImportColumn("charge"),
    ImportColumn("title"),
    ImportColumn("kind"),
    ImportColumn("temperature_ranges", LIST, ("temperature_range", "range")),
    ImportColumn("refrigerants", LIST, ("refrigerant",)),
    ImportColumn("evaporating_range.minimum", "temperature", ("evaporating_minimum",)),
    ImportColumn("evaporating_range.maximum", "temperature", ("evaporating_maximum",)),
    ImportColumn("minimum_static_superheat", _STEP),
    ImportColumn("fluid"),
    ImportColumn("curve_of", names=("curve", "same_curve_as")),
    ImportColumn("maximum_operating_pressure", "pressure", ("mop",)),
    ImportColumn("bulb_time_constant", "time"),
    ImportColumn("setting.refrigerant", names=("set_with",)),
    ImportColumn("setting.bulb_temperature", "temperature"),
    ImportColumn("setting.static_superheat", _STEP),
    ImportColumn("setting.opening_superheat", _STEP),
    ImportColumn("setting.pressure_drop", "pressure difference"),
    ImportColumn("setting.stem.superheat_per_turn", _STEP),
    ImportColumn("setting.stem.turns.minimum", NUMBER, ("minimum_turns",)),
    ImportColumn("setting.stem.turns.maximum", NUMBER, ("maximum_turns",)),
    TEMPERATURE,
    PRESSURE,
)
OPENING = ImportColumn("opening", _SHARE, ("travel", "stroke"))
SHARE_OF_KV = ImportColumn("share_of_kv", _SHARE, ("share_of_cv",))
# Of each group a row of the sheet fills one.
REQUIRED: Mapping[SheetKind, tuple[tuple[str, ...], ...]] = {
    SheetKind.KEYS: (("key",), ("value",)),
    SheetKind.SIZES: (("size",), ("kv", "capacity")),
    SheetKind.CHARGES: (("charge",),),
    SheetKind.CHARACTERISTIC: (("opening",), ("share_of_kv",)),
}
_OF_KIND: Mapping[SheetKind, tuple[ImportColumn, ...]] = {
    SheetKind.KEYS: (ImportColumn("key"), ImportColumn("value")),
    SheetKind.SIZES: (*OF_SIZE, *OF_DESIGN),
    SheetKind.CHARGES: OF_CHARGE,
    SheetKind.CHARACTERISTIC: (OPENING, SHARE_OF_KV),
}
# The headings by which a kind is recognized, every one of a group; the first that fits it is.
_RECOGNIZED: tuple[tuple[SheetKind, tuple[tuple[str, ...], ...]], ...] = (
    (SheetKind.PART_NUMBERS, (("part_number",),)),
    (SheetKind.BENCH, (("inlet_pressure",), ("mass_flow",), ("bulb_pressure",))),
    (SheetKind.KEYS, (("key", "value"),)),
    (SheetKind.CHARGES, (("charge",),)),
    (SheetKind.CHARACTERISTIC, (("opening", "share_of_kv"), ("travel", "share_of_kv"), ("stroke", "share_of_kv"))),
    (SheetKind.SIZES, (("size",), ("valve_size",))),
)


@dataclass(frozen=True, slots=True)
class ImportedColumn:
    """A column that is read: where it is, its heading, what it is, and the unit that its numbers have."""

    index: int
    heading: str
    column: ImportColumn
    unit: Unit | None

    def value(self, row: Sequence[Cell], has_decimal_comma: bool) -> Yaml:
        """What its cell in a row gives for the family's file; None for an empty one.

        Raises BadValue if the cell cannot be read.
        """
        cell = row[self.index] if self.index < len(row) else None
        text = cell_text(cell)
        if not text:
            return None
        if isinstance(cell, datetime.date | datetime.time):
            raise BadValue(repr(text[:_MAX_SHOWN]), wording.CELL_IS_DATE())
        kind = self.column.kind
        if kind == TEXT:
            if self.column.key in ("size", "display") and _DATE.fullmatch(text):
                raise BadValue(repr(text[:_MAX_SHOWN]), wording.LIKE_A_DATE())
            return text
        if kind == LIST:
            # Words of connections may have commas.
            separator = ";" if self.column.key == "connections" or ";" in text else ","
            return [part.strip() for part in text.split(separator) if part.strip()]
        if kind in (WHOLE, NUMBER):
            number = cell_number(cell, has_decimal_comma)
            if kind == WHOLE and not number.is_integer():
                raise BadValue(repr(text[:_MAX_SHOWN]), wording.WHOLE_NUMBER())
            return int(number) if kind == WHOLE else number
        return self._quantity(cell, text, has_decimal_comma)

    def _quantity(self, cell: Cell, text: str, has_decimal_comma: bool) -> str:
        kind = self.column.kind
        if self.unit is not None:
            text = f"{cell_number(cell, has_decimal_comma):.12g} {self.unit.name}"
        elif has_decimal_comma and "." not in text:
            text = text.replace(",", ".", 1)
        try:
            if kind == "pressure":
                read_pressure(text)
            else:
                to_si(text, kind)
        except BadValue as error:
            if self.unit is None and text.lstrip("+-").replace(".", "", 1).isdigit():
                rule = wording.UNIT_MISSING(quantity=A_QUANTITY[kind](), example=self.column.example)
                raise BadValue(repr(text[:_MAX_SHOWN]), rule) from None
            raise error
        return text


def kind_of(header: Sequence[Cell]) -> SheetKind:
    """What the rows below a header are.

    Raises BadValue if its headings are those of no kind of sheet.
    """
    names = {name for cell in header for name, _ in meanings(cell)}
    for kind, groups in _RECOGNIZED:
        if any(set(group) <= names for group in groups):
            return kind
    if any(column.key in ("kv", "capacity") and names & {*column.headings} for column in OF_SIZE):
        # The column with the sizes is what it lacks.
        return SheetKind.SIZES
    shown = ", ".join(cell_text(cell)[:_MAX_SHOWN] for cell in header[:12] if cell_text(cell))
    known = [name for _, groups in _RECOGNIZED for group in groups for name in group]
    hint = next((hint for cell in header if (hint := near(folded(cell_text(cell)), known))), "")
    raise BadValue(shown or input_errors.NOTHING(), wording.SHEET_KINDS() + hint)


def columns_of(
    kind: SheetKind, header: Sequence[Cell]
) -> tuple[list[ImportedColumn], list[str], list[tuple[str, str]]]:
    """The columns that are read, the headings that are not, and problems as heading and text."""
    known = _OF_KIND[kind]
    found: dict[str, ImportedColumn] = {}
    unused: list[str] = []
    problems: list[tuple[str, str]] = []
    for index, cell in enumerate(header):
        heading = cell_text(cell)[:_MAX_SHOWN]
        if not heading:
            continue
        try:
            taken = taken_as(index, cell, heading, known)
        except BadValue as error:
            problems.append((heading, str(error)))
            continue
        if taken is None:
            names = [own for column in known for own in column.headings]
            plain = next(iter(meanings(cell)))[0]
            hint = near(plain, names)
            # A near miss is a slip, which would leave the column without effect.
            if hint and (slip_in(cell, names) or not any(own in plain for own in names)):
                problems.append((heading, input_errors.A_COLUMN_UNKNOWN(heading=repr(heading)) + hint))
            unused.append(heading)
        elif taken.column.key in found:
            first = found[taken.column.key].heading
            problems.append((heading, wording.COLUMN_TAKEN(key=taken.column.key, heading=repr(first))))
        else:
            found[taken.column.key] = taken
    return list(found.values()), unused, problems


def slip_in(cell: Cell, names: Sequence[str]) -> str:
    """A suggestion for a heading that is no name, but so like one that it is that one, misspelled; else nothing."""
    slips = (
        name
        for name, _ in meanings(cell)
        if name not in names and difflib.get_close_matches(name, names, n=1, cutoff=_MISSPELLED)
    )
    return next((near(name, names) for name in slips), "")


def taken_as(index: int, cell: Cell, heading: str, known: Sequence[ImportColumn]) -> ImportedColumn | None:
    """Which of some columns a heading means, and the unit of its figures; None for one of another column.

    Raises BadValue if the unit is none that the column takes.
    """
    by_name = {name: column for column in reversed(known) for name in column.headings}
    has_brackets = _BRACKET.search(cell_text(cell)) is not None
    refusal: BadValue | None = None
    for name, unit in meanings(cell):
        column = by_name.get(name)
        if column is None:
            continue
        if not unit:
            usual = (column.usual or {}).get(name)
            return ImportedColumn(index, heading, column, unit_named(column.kind, usual) if usual else None)
        try:
            if column.kind in _PLAIN:
                raise BadValue(repr(unit), wording.TAKES_NO_UNIT(name=column.heading))
            return ImportedColumn(index, heading, column, unit_named(column.kind, unit))
        except BadValue as error:
            # Without brackets a word that is no unit is part of another name.
            if has_brackets or (column.kind not in _PLAIN and (error.hint or is_unit(unit))):
                refusal = refusal or error
    if refusal:
        raise refusal
    return None


def meanings(cell: Cell) -> Iterator[tuple[str, str]]:
    """What a heading may mean, with 'min.' and 'max.' in full; last, what is before its first bracket, and what follows."""
    name, *rest = _BRACKET.split(cell_text(cell), maxsplit=1)
    for name, unit in [*headings(cell), *((folded(name), unit) for unit in rest)]:
        yield "_".join(_SHORT.get(word.removesuffix("."), word) for word in name.split("_")), unit


def no_column(keys: Sequence[str], unread: Iterable[str]) -> str:
    """What is wrong with a sheet that has none of some columns; of the headings that are not read the nearest one."""
    # A flow coefficient has two names in the trade.
    names = [name for key in keys for name in ((key, "cv") if key == "kv" else (key,))]
    text = wording.NO_COLUMN(names=listed(names, OR))
    if nearest := nearest_heading(keys, unread):
        return wording.NEAREST_UNREAD(text=text, heading=repr(nearest[0]), name=nearest[1])
    return text


def nearest_heading(keys: Sequence[str], unread: Iterable[str]) -> tuple[str, str] | None:
    """Of some headings the one that is most like the name of a column, and this name."""
    columns = (column for known in _OF_KIND.values() for column in known if column.key in keys)
    names = list(dict.fromkeys(name for column in columns for name in (column.key, *column.headings)))
    found = []
    for heading in unread:
        plain = next(iter(meanings(heading)))[0]
        for name in difflib.get_close_matches(plain, names, n=1, cutoff=_NEAREST):
            found.append((difflib.SequenceMatcher(None, plain, name).ratio(), heading, name))
    return max(found)[1:] if found else None


def headings_for(key: str) -> list[str]:
    """The headings that give a key of a row, such as ``charges[0].setting``: its own, or those of the keys below it."""
    own = re.sub(r"^.*\]\.?", "", key)
    columns = (*OF_SIZE, *OF_DESIGN) if key.startswith(("sizes", "port_designs")) else OF_CHARGE
    if own in ("points", "antoine"):
        return [f"'{column.example}'" for column in (TEMPERATURE, PRESSURE)]
    exact = [column for column in columns if column.key == own]
    below = [column for column in columns if column.key.rpartition(".")[0] == own]
    return [f"'{column.example}'" for column in exact or below] or [f"'{own}'"]
