"""What the functions of the package take: catalogues, quantities, units of an answer."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from pathlib import Path
from typing import Literal, TypeAlias

from tablegen.config import packaged_configs
from tablegen.config.case_catalogue import CaseCatalogue, load_case, load_with
from tablegen.errors import BadValue, RequestError, unknown
from tablegen.model.inputs import Catalogue
from tablegen.report.formatter import Formatter
from tablegen.units import to_si
from tablegen.wording import command_line, input_errors

Units: TypeAlias = Literal["IP", "SI"]
Quantity: TypeAlias = str | float
"""A text with its unit, or a float in SI."""

_SYSTEMS = ("IP", "SI")
# Files of a catalogue, from its own folder.
_FILES = ("*.yaml", "*.csv", "*.xlsx", "*/*.yaml", "*/*.csv", "*/*.xlsx")


def path_of(catalogue: str | Path | None) -> Path:
    """The file of a catalogue; None means the packaged demo, a folder its file `catalogue.yaml`."""
    path = packaged_configs() if catalogue is None else Path(catalogue)
    return path / "catalogue.yaml" if path.is_dir() else path


def loaded(catalogue: str | Path | None, application: str | None = None, overrides: Sequence[str] = ()) -> Catalogue:
    """A catalogue, read once until a file of it changes; parameters as `load_with`."""
    path = path_of(catalogue)
    return _loaded(path, application, tuple(overrides), _stamp(path.parent))


@functools.lru_cache(maxsize=8)
def _loaded(path: Path, application: str | None, overrides: tuple[str, ...], stamp: object) -> Catalogue:
    return load_with(path, application, overrides)


def _stamp(folder: Path) -> tuple[tuple[str, int, int], ...]:
    """Names, times and sizes of the files that a catalogue may be made of."""
    files = sorted(path for pattern in _FILES for path in folder.glob(pattern))
    return tuple((str(path), (own := path.stat()).st_mtime_ns, own.st_size) for path in files)


def case_catalogue(
    catalogue: str | Path | None, refrigerant: str, sst_k: float, application: str | None, overrides: Sequence[str]
) -> CaseCatalogue:
    """The catalogue for a case, as `load_case`."""
    return load_case(lambda name, texts: loaded(catalogue, name, texts), refrigerant, sst_k, application, overrides)


def quantity(name: str, value: Quantity, kind: str) -> float:
    """A quantity in SI; `name` is the parameter that it was given to.

    Raises
    ------
    RequestError
        If a text cannot be read.
    """
    if not isinstance(value, str):
        return float(value)
    try:
        return to_si(value, kind)
    except BadValue as error:
        raise RequestError(command_line.OPTION_ERROR(option=name, error=str(error))) from None


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
        raise RequestError(unknown(input_errors.A_UNIT_SYSTEM(), units, _SYSTEMS))
    return units
