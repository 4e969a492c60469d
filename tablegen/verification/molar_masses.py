"""Molar mass of a composition by mass, from chemical formulas and atomic weights alone.

It is the one figure of a designation table that another hand worked out from the nominal composition: a share that
is one percent off moves it by several tenths of the last printed digit and more.

References
----------
IUPAC, "Standard atomic weights" (abridged, five digits; not checked against the source).
"""

from __future__ import annotations

import math
import re

from tablegen.physics.definition import RefrigerantDefinition

# kg/kmol.
_ATOMS = {"C": 12.011, "H": 1.008, "F": 18.998, "Cl": 35.45, "O": 15.999, "N": 14.007}
_FORMULAS = {
    "R22": "CHClF2",
    "R32": "CH2F2",
    "R115": "C2ClF5",
    "R124": "C2HClF4",
    "R125": "C2HF5",
    "R134a": "C2H2F4",
    "R142b": "C2H3ClF2",
    "R143a": "C2H3F3",
    "R152a": "C2H4F2",
    "R227ea": "C3HF7",
    "R290": "C3H8",
    "R600": "C4H10",
    "R600a": "C4H10",
    "R601a": "C5H12",
    "R717": "NH3",
    "R744": "CO2",
    "R1234yf": "C3H2F4",
    "R1234ze(E)": "C3H2F4",
}
_ATOM = re.compile(r"([A-Z][a-z]?)(\d*)")


def molar_mass(definition: RefrigerantDefinition) -> float:
    """Molar mass of a refrigerant [kg/mol]; NaN with a component whose formula is not known here."""
    if not set(definition.components) <= set(_FORMULAS):
        return math.nan
    shares = zip(definition.components, definition.mass_fractions, strict=True)
    return 1e-3 / sum(share / _of_formula(_FORMULAS[name]) for name, share in shares)


def _of_formula(formula: str) -> float:
    """Molar mass [kg/kmol]."""
    return sum(_ATOMS[atom] * int(count or 1) for atom, count in _ATOM.findall(formula))
