"""Both limits of one printed window of each family, step by step: every quantity with its equation and its value.

The method page prints them, so that a reader can follow the calculation of a limit with a calculator.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from tablegen.calculation.steps import Calculation, Step
from tablegen.calculation.valve_steps import AtState, MemberCalculation, member_calculation, size_calculation
from tablegen.model.inputs import Catalogue
from tablegen.model.solving import Solved
from tablegen.physics.arrays import Floats
from tablegen.sweep.compact import rows_of
from tablegen.tables.examples import Example

_NEAR_K = 1e-6
# Quantities that a head takes from the rating point, where they are listed under the symbol without the index.
_OF_THE_RATING_POINT = ("rho_r", "m_cr", "m_xr", "T_er", "v_r")


def calculated_frame(
    catalogue: Catalogue,
    examples: Sequence[Example],
    solved_by: Mapping[tuple[str, str], Solved],
    tables: Mapping[str, pd.DataFrame],
) -> pd.DataFrame:
    """A row for each quantity of each limit of the first example of each family.

    Parameters
    ----------
    catalogue : Catalogue
    examples : sequence of Example
    solved_by : mapping
        Solved states by refrigerant and application.
    tables : mapping
        The frames `windows` and `group_windows`, which name what sets each limit.

    Returns
    -------
    DataFrame
        `block` is the part of the calculation ("rating", "head", "setting", "valve", "size"), `symbol` a name of
        `tablegen.calculation.symbols`, `formula` its equation in such names (empty for a figure of the config),
        `value_si` its value in the SI unit of the symbol.
    """
    # Tables that a booklet prints come first, so that a reader can look the limits up.
    printed = {combination for booklet in catalogue.booklets for combination in booklet.combinations}
    ordered = sorted(examples, key=lambda example: example.combination not in printed)
    first = {example.family.name: example for example in reversed(ordered)}
    printed_rows = _RowsByName(tables["group_windows"], "family", "application", "group")
    own_rows = _RowsByName(tables["windows"], "family", "application", "refrigerant")
    parts = [
        limit
        for example in reversed(first.values())
        for limit in (_limit(catalogue, example, solved_by, printed_rows, own_rows, name) for name in ("min", "max"))
    ]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _limit(
    catalogue: Catalogue,
    example: Example,
    solved_by: Mapping[tuple[str, str], Solved],
    printed_rows: _RowsByName,
    own_rows: _RowsByName,
    limit: str,
) -> pd.DataFrame:
    """One limit, at the member that sets it in the group's table."""
    family, application, size = example.family, example.combination.application, example.size
    sst_k = float(example.solved.application.sst_k[example.row])
    printed = printed_rows.at(sst_k, size.name, family.name, application, example.combination.group)
    member = str(printed[f"{limit}_member"])
    own = own_rows.at(sst_k, size.name, family.name, application, member)
    confident = float(own[f"{limit}_load_w"] / own[f"nominal_{limit}_load_w"])
    calculation = member_calculation(catalogue, solved_by[member, application], family.alone(size))
    # A window that is open has a charge.
    assert calculation is not None
    state, unit_load = _binding(calculation, limit == "max", example.row)
    valve = state.maximum if limit == "max" else state.minimum
    blocks: dict[str, Calculation] = {
        "rating": calculation.rating,
        "head": state.head,
        "setting": calculation.setting,
        "valve": valve,
        "size": size_calculation(size, unit_load, confident),
    }
    about = {
        "family": family.name,
        "group": example.combination.group,
        "application": application,
        "size": size.name,
        "sst_k": sst_k,
        "limit": limit,
        "refrigerant": member,
        "condition": state.item.condition.value,
    }
    rows, listed = [], set(_OF_THE_RATING_POINT)
    for block, part in blocks.items():
        for line in part.at(example.row).lines:
            formula = line.formula if isinstance(line, Step) else ""
            # Constants that no line gives are listed above the first equation that takes them.
            taken = line.operands.items() if isinstance(line, Step) else ()
            lines = [(n, "", value) for n, value in taken if n not in listed and n != line.name]
            for name, equation, value in [*lines, (line.name, formula, line.value)]:
                rows.append({**about, "block": block, "symbol": name, "formula": equation, "value_si": float(value)})
                listed.add(name)
    return pd.DataFrame(rows)


def _binding(calculation: MemberCalculation, is_max: bool, row: int) -> tuple[AtState, Floats]:
    """The state that sets a limit, and the load that it allows [W for each m3/h of rated Kv]."""
    stricter = min if is_max else max
    # Of states that allow the same load the first sets the limit, as in the tables.
    return stricter(calculation.loads(is_max), key=lambda pair: float(pair[1][row]))


class _RowsByName:
    """The rows of a frame by names, sorted out once: looking through all of them for each limit takes longest of all."""

    def __init__(self, frame: pd.DataFrame, *names: str) -> None:
        self._frame, self._rows = frame, rows_of(frame, *names)

    def at(self, sst_k: float, size: str, *names: str) -> pd.Series:
        """The row of a size at a suction temperature [K]."""
        own = self._frame.iloc[self._rows[names]]
        found: pd.Series = own[(np.abs(own["sst_k"] - sst_k) < _NEAR_K) & (own["size"] == size)].iloc[0]
        return found
