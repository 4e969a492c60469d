"""The lines between units as pint gives them; `python -m tests.unit_lines` writes `tablegen/unit_lines.py`."""

from __future__ import annotations

from pathlib import Path

import pint

from tablegen.units import KINDS, LOAD_UNITS, PRESSURE_DIFFERENCE, PRINT_UNITS

PLACE = Path(__file__).resolve().parents[1] / "tablegen" / "unit_lines.py"
_HEADER = '''"""Scale and offset from one unit to another, in pint's words: figure = value x scale + offset.

Written by `python -m tests.unit_lines` from pint {version}, and held to it by tests/config/test_units.py; pint itself
takes half a second to load.
"""

from __future__ import annotations

LINES: dict[tuple[str, str], tuple[float, float]] = {{
'''


def registry() -> pint.UnitRegistry:
    """Pint's units, with those that our spellings need besides."""
    made: pint.UnitRegistry = pint.UnitRegistry(autoconvert_offset_to_baseunit=False)
    made.define("US_gal = gallon")
    made.define("ton_refrigeration = 12000 * Btu_it / hour")
    return made


def pairs() -> list[tuple[str, str]]:
    """Every unit and the one that it is turned into: what configs spell to SI, and SI to what is printed."""
    kinds = [(word, kind.si) for kind in KINDS.values() for word in kind.spellings.values()]
    printed = [
        *(unit for units in PRINT_UNITS.values() for unit in units.values()),
        *PRESSURE_DIFFERENCE.values(),
        *LOAD_UNITS.values(),
    ]
    return list(
        dict.fromkeys(
            [
                *kinds,
                *((si, word) for word, si in kinds),
                *((unit.si, unit.pint_unit) for unit in printed),
            ]
        )
    )


def line(units: pint.UnitRegistry, first: str, second: str) -> tuple[float, float]:
    """Scale and offset, from two figures."""

    def figure(value: float) -> float:
        return float(units.Quantity(value, first).to(second).magnitude)

    offset = figure(0.0)
    # Far from zero, so that the offset costs the scale no digits.
    return (figure(1e6) - offset) / 1e6 if offset else figure(1.0), offset


def main() -> None:
    """Write the module anew."""
    units = registry()
    rows = [f'    ("{first}", "{second}"): {line(units, first, second)!r},\n' for first, second in pairs()]
    PLACE.write_text(_HEADER.format(version=pint.__version__) + "".join(rows) + "}\n", encoding="utf-8")


if __name__ == "__main__":
    main()
