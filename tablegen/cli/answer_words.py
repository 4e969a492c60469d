"""What the answers of the desk are printed in."""

from __future__ import annotations

from typing import Any

from tablegen.report.formatter import Formatter


def formatter_of(catalogue: Any, units: str) -> Formatter:
    """Words in a unit system; the catalogue's own load unit goes with its own system alone."""
    printing = catalogue.printing
    return Formatter.beside(units, printing.units, printing.load_unit)
