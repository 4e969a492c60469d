"""What the functions of the package take: catalogues, quantities, names, units of an answer."""

from __future__ import annotations

import functools
import re
import threading
from collections.abc import Sequence
from pathlib import Path
from typing import Literal, TypeAlias, TypeVar

from tablegen.config import packaged_configs
from tablegen.config.case_catalogue import Load, load_with
from tablegen.errors import BadValue, ConfigError, FileProblem, RequestError, unknown
from tablegen.model.inputs import Catalogue
from tablegen.report.formatter import Formatter
from tablegen.unit_table import KINDS
from tablegen.units import to_si
from tablegen.wording import command_line, unit_texts
from tablegen.wording import input_errors as wording
from tablegen.wording.message import argument

T = TypeVar("T")
Units: TypeAlias = Literal["IP", "SI"]
Quantity: TypeAlias = str | float
"""A text with its unit, or a float in SI."""
Bounds: TypeAlias = tuple[str, str]

SST_RANGE: Bounds = ("-76 degF", "86 degF")
LOAD_RANGE: Bounds = ("0 W", "10000 kW")
_SYSTEMS = ("IP", "SI")
# The trade says "a 10 °F TD".
_DEGREES = re.compile(r"([\d.]+)\s*(?:deg\s*|°\s*)?([CF])(?:\s*TD)?")
_SI_UNITS = {
    "share": (100.0, "percent"),
    "pressure": (1.0, "Pa_absolute"),
    "pressure difference": (1.0, "Pa"),
    **dict.fromkeys(("temperature", "temperature difference"), (1.0, "K")),
    "load": (1.0, "W"),
    "length": (1.0, "m"),
}
# One thread at a time: what reads YAML and computes properties is not made for more.
_READING = threading.RLock()
# Catalogue, list of part numbers and stock sheet of what was read whole.
_READ_WHOLE: set[tuple[Path, Path | None, Path | None]] = set()
# Files of a catalogue, from its own folder.
_FILES = ("*.yaml", "*.csv", "*.xlsx", "*/*.yaml", "*/*.csv", "*/*.xlsx")


# Spreadsheets, which other options take.
_SHEETS = (".csv", ".xlsx", ".xls", ".ods")


def path_of(catalogue: str | Path | None) -> Path:
    """The file of a catalogue; None means the packaged demo, a folder its file `catalogue.yaml`.

    Raises
    ------
    ConfigError
        If the file does not exist, or is a spreadsheet.
    """
    path = packaged_configs() if catalogue is None else Path(catalogue)
    path = path / "catalogue.yaml" if path.is_dir() else path
    if not path.exists():
        raise ConfigError([FileProblem(str(path), 0, "", command_line.NO_CATALOGUE())])
    if path.suffix.lower() in _SHEETS:
        raise ConfigError([FileProblem(str(path), 0, "", command_line.CATALOGUE_IS_YAML())])
    return path


def loaded(
    catalogue: str | Path | None, also: Sequence[str] | None = (), *, stock: str | Path | None = None
) -> Catalogue:
    """A whole catalogue, read once until a file of it changes; `also` and `stock` as `load_with`.

    Single cases then take what they need from it too.
    """
    whole = loader_for(catalogue, also=also, stock=stock)(None, ())
    if also == ():
        _READ_WHOLE.add((path_of(catalogue), None, None if stock is None else Path(stock)))
    return whole


def loader_for(
    catalogue: str | Path | None,
    refrigerant: str | None = None,
    *,
    also: Sequence[str] | None = (),
    part_numbers: str | Path | None = None,
    stock: str | Path | None = None,
    given_as: str = "overrides",
) -> Load:
    """`load_with` for one catalogue, which is read once until a file of it changes."""
    path = path_of(catalogue)
    listed = None if part_numbers is None else Path(part_numbers)
    own_stock = None if stock is None else Path(stock)
    stamp = _stamp(path.parent, listed, own_stock)

    def read(
        application: str | None, overrides: tuple[str, ...], name: str | None, names: tuple[str, ...] | None
    ) -> Catalogue:
        with _READING:
            return _loaded(path, application, overrides, name, names, listed, own_stock, given_as, stamp)

    def load(application: str | None, overrides: Sequence[str]) -> Catalogue:
        names = None if also is None else tuple(also)
        if not overrides and names is not None and (path, listed, own_stock) in _READ_WHOLE:
            # A part of a catalogue has nothing that the whole has not.
            whole = read(None, (), None, ())
            others = tuple(name for name in names if name not in whole.refrigerants)
            return read(None, (), None, others) if others else whole
        return read(application, tuple(overrides), refrigerant, names)

    return load


@functools.lru_cache(maxsize=16)
def _loaded(
    path: Path,
    application: str | None,
    overrides: tuple[str, ...],
    refrigerant: str | None,
    also: tuple[str, ...] | None,
    part_numbers: Path | None,
    stock: Path | None,
    given_as: str,
    stamp: object,
) -> Catalogue:
    return load_with(
        path,
        application,
        overrides,
        refrigerant=refrigerant,
        also=also,
        part_numbers=part_numbers,
        stock=stock,
        given_as=given_as,
    )


def _stamp(folder: Path, *others: Path | None) -> tuple[tuple[str, int, int], ...]:
    """Names, times and sizes of the files that a catalogue may be made of."""
    files = sorted(path for pattern in _FILES for path in folder.glob(pattern))
    files += [other for other in others if other is not None and other.exists()]
    return tuple((str(path), (own := path.stat()).st_mtime_ns, own.st_size) for path in files)


def given(name: str, value: T | None) -> T:
    """What an argument was given.

    Raises
    ------
    RequestError
        If it was given nothing.
    """
    if value is None:
        raise refused(name, wording.IS_MISSING())
    return value


def in_si(name: str, value: Quantity | None, kind: str, bounds: Bounds | None = None) -> float:
    """A quantity in SI; `name` is the argument that it was given to, bounds are written as in a config.

    A temperature difference may be in degF or degC, unlike in a config: no argument may be that or a temperature.

    Raises
    ------
    RequestError
        If there is none, a text cannot be read, a load is not above zero, or the quantity is outside its bounds.
    """
    if value is None:
        raise refused(name, wording.IS_MISSING())
    try:
        value_si = to_si(_as_difference(value, kind), kind) if isinstance(value, str) else float(value)
    except BadValue as error:
        if kind == "temperature difference" and error.hint == unit_texts.EXAMPLE(example=KINDS[kind].example):
            # As people say it; a config wants more of a difference.
            error = BadValue(error.value, error.rule, unit_texts.EXAMPLE(example="10F"))
        raise refused(name, error) from None
    shown = repr(value) if isinstance(value, str) else f"{value!r} {KINDS[kind].si}"
    if kind == "load" and value_si <= 0.0:
        raise RequestError(wording.ABOVE_ZERO(argument=argument(name), value=shown))
    if bounds is not None and not to_si(bounds[0], kind) <= value_si <= to_si(bounds[1], kind):
        minimum, maximum = bounds
        text = wording.OUT_OF_BOUNDS(argument=argument(name), value=shown, minimum=minimum, maximum=maximum)
        raise RequestError(text)
    return value_si


def _as_difference(text: str, kind: str) -> str:
    """A text in which degrees are a difference where one is meant."""
    return _DEGREES.sub(r"\1 delta_deg\2", text.strip()) if kind == "temperature difference" else text


def in_si_if_given(name: str, value: Quantity | None, kind: str, bounds: Bounds | None = None) -> float | None:
    """A quantity as `in_si`, None where none is given."""
    return None if value is None else in_si(name, value, kind, bounds)


def as_text(value: Quantity, kind: str) -> str:
    """A quantity as a text, for what reads texts."""
    if isinstance(value, str):
        return value
    scale, unit = _SI_UNITS[kind]
    return f"{value * scale:.12g} {unit}"


def one_of(name: str, value: str, allowed: Sequence[str]) -> str:
    """A word that an argument allows.

    Raises
    ------
    RequestError
        If it does not.
    """
    if value not in allowed:
        raise refused(name, unknown(wording.IT(), value, allowed))
    return value


def refused(name: str, problem: object) -> RequestError:
    """The error for an argument with a problem."""
    return RequestError(wording.OF_ARGUMENT(argument=argument(name), problem=str(problem)))


def formatter_for(catalogue: Catalogue, units: Units | None) -> Formatter:
    """Prints figures in `units`, by default in those of the catalogue.

    Raises
    ------
    RequestError
        If there is no such system.
    """
    own = catalogue.printing
    return Formatter.beside(check_units(units) or own.units, own.units, own.load_unit)


def check_units(units: Units | None) -> Units | None:
    """The units of an answer, checked.

    Raises
    ------
    RequestError
        If there is no such system.
    """
    if units is not None and units not in _SYSTEMS:
        raise RequestError(unknown(wording.A_UNIT_SYSTEM(), units, _SYSTEMS))
    return units
