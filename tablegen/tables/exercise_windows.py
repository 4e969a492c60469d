"""Exercises on tables of windows: choosing a size, rounding, groups, rows, head pressures.

A load has three figures in the printed unit, so that it is inside a printed window just where it is inside the
calculated one: printed minimum loads are rounded up, maximum loads down.
"""

from __future__ import annotations

import itertools
import math
import zlib

import numpy as np
import pandas as pd

from tablegen.tables.exercise_source import NEAR_K, Drawn, ExerciseSource, Row, of_names


def pick(source: ExerciseSource) -> Drawn | None:
    """Which sizes of a row cover a load, and with which margin."""
    sst = float(source.any_of(source.grouped)["sst_k"])
    rows = source.grouped[source.grouped["sst_k"] == sst].set_index("size")
    low, high = math.log(rows["min_load_w"].min()), math.log(rows["max_load_w"].max())
    load = source.round_load(math.exp(source.rng.uniform(low, high)))
    under, over = load / rows["min_load_w"], rows["max_load_w"] / load
    narrow = pd.concat([under, over], axis=1).min(axis=1).sort_values(ascending=False, kind="stable")
    is_clear = (np.abs(np.concatenate([under, over]) - 1.0) > source.clear).all()
    covering = [str(size) for size in narrow.index[narrow > 1.0]]
    # Printed limits are off by a per cent at most, each.
    if not is_clear or not covering or (len(covering) > 1 and narrow.iloc[0] < 1.04 * narrow.iloc[1]):
        return None
    # Near ties are another way round with printed limits, which the class has.
    limits = {str(size): (low, high) for size, low, high in rows[["min_load_w", "max_load_w"]].itertuples()}
    covering.sort(key=lambda size: -_printed_margin(source, load, *limits[size]))
    found: Row = {
        "sst_k": sst,
        "load_w": load,
        "first_size": covering[0],
        "second_size": covering[1] if covering[1:] else "",
        "min_load_w": rows.loc[covering[0], "min_load_w"],
        "max_load_w": rows.loc[covering[0], "max_load_w"],
    }
    for name, size in zip(("first", "second"), covering, strict=False):
        found |= {f"{name}_min_margin": under[size], f"{name}_max_margin": over[size]}
    return Drawn(found, windows_of(rows.reset_index(), "size"))


def _printed_margin(source: ExerciseSource, load_w: float, minimum: float, maximum: float) -> float:
    """The margin of a load [W] in a window [W] by its printed limits."""
    up, down = math.ceil(source.figures(minimum)), math.floor(source.figures(maximum))
    # As shares of the limits that are not rounded.
    under, over = source.figures(minimum) / up, down / source.figures(maximum)
    return min(load_w / minimum * under, maximum / load_w * over)


def rounding(source: ExerciseSource) -> Drawn | None:
    """Both limits of a window to three figures."""
    row = source.any_of(source.grouped)
    minimum, maximum = (source.figures(row[c]) % 1.0 for c in ("min_load_w", "max_load_w"))
    # The nearest figure would be the unsafe one at both ends, and a fifth figure changes nothing.
    if not (0.05 < minimum < 0.45 and 0.55 < maximum < 0.95):
        return None
    return Drawn({c: row[c] for c in ("size", "sst_k", "min_load_w", "max_load_w")})


def binding(source: ExerciseSource) -> Drawn | None:
    """The window that some refrigerants of a group have in common."""
    row = source.any_of(source.grouped)
    own = of_names(source.members, size=str(row["size"]))
    own = own[own["sst_k"] == row["sst_k"]]
    if len(own) < 2 or not _is_clear(source, own):
        return None
    few = _some_members(source, own)
    low, high = _limiting(few)
    found: Row = {c: row[c] for c in ("size", "sst_k")}
    found |= {"min_load_w": low["min_load_w"], "max_load_w": high["max_load_w"]}
    return Drawn(
        found | {"min_member": low["refrigerant"], "max_member": high["refrigerant"]}, windows_of(few, "refrigerant")
    )


def _some_members(source: ExerciseSource, own: pd.DataFrame) -> pd.DataFrame:
    """All rows of members, or all but one or two, so that not the same refrigerants set the limits of every exercise.

    Drawn by the seed and the row alone: what is drawn after it stays as it is.
    """
    verdicts: dict[tuple[str, str], pd.DataFrame] = {}
    for count in range(len(own), max(1, len(own) - 3), -1):
        for few in map(list, itertools.combinations(range(len(own)), count)):
            part = own.iloc[few]
            if _is_clear(source, part):
                low, high = (str(row["refrigerant"]) for row in _limiting(part))
                verdicts.setdefault((low, high), part)
    key = f"{source.handout.seed} {own['size'].iloc[0]} {own['sst_k'].iloc[0]:.3f}"
    rng = np.random.default_rng(zlib.crc32(key.encode()))
    return list(verdicts.values())[int(rng.integers(len(verdicts)))]


def _limiting(own: pd.DataFrame) -> tuple[pd.Series, pd.Series]:
    """The rows of the members that set the minimum and the maximum load."""
    return own.iloc[int(own["min_load_w"].argmax())], own.iloc[int(own["max_load_w"].argmin())]


def _is_clear(source: ExerciseSource, own: pd.DataFrame) -> bool:
    """Whether one member alone sets each limit also as printed to three figures, minimum up and maximum down."""
    minimum, maximum = own["min_load_w"].nlargest(2).to_numpy(), own["max_load_w"].nsmallest(2).to_numpy()
    up, down = [math.ceil(source.figures(v)) for v in minimum], [math.floor(source.figures(v)) for v in maximum]
    return up[0] != up[1] and down[0] != down[1]


def between(source: ExerciseSource) -> Drawn | None:
    """Whether a size covers a load between two rows."""
    row = source.any_of(source.grouped)
    same = of_names(source.grouped, size=str(row["size"]))
    warmer = same[same["sst_k"] > row["sst_k"] + NEAR_K].nsmallest(1, "sst_k")
    if not len(warmer):
        return None
    other = warmer.iloc[0]
    lows = sorted((float(row["min_load_w"]), float(other["min_load_w"])))
    highs = sorted((float(row["max_load_w"]), float(other["max_load_w"])))
    verdict = str(source.rng.choice(["yes", "above", "below"]))
    # Covered by both rows, or by one of them alone, whose limit the load is near.
    covered = source.rng.choice([lows[1] * source.rng.uniform(1.01, 1.15), highs[0] * source.rng.uniform(0.85, 0.99)])
    wanted = {"yes": covered, "above": math.sqrt(highs[0] * highs[1]), "below": math.sqrt(lows[0] * lows[1])}
    load = source.round_load(float(wanted[verdict]))
    near = 1.0 + 1e-4
    is_so = {
        "yes": near * lows[1] < load < highs[0] / near,
        "above": near * max(highs[0], lows[1]) < load < highs[1] / near,
        "below": near * lows[0] < load < min(lows[1], highs[0]) / near,
    }
    actual_k = source.between(float(row["sst_k"]), float(other["sst_k"]))
    if not is_so[verdict] or actual_k is None:
        return None
    return Drawn(
        {
            "size": row["size"],
            "sst_k": row["sst_k"],
            "warmer_sst_k": other["sst_k"],
            "actual_sst_k": actual_k,
            "load_w": load,
            "min_load_w": row["min_load_w"],
            "max_load_w": row["max_load_w"],
            "warmer_min_load_w": other["min_load_w"],
            "warmer_max_load_w": other["max_load_w"],
            "common_min_load_w": lows[1],
            "common_max_load_w": highs[0],
            "verdict": verdict,
        },
        windows_of(pd.DataFrame([row, other]), "sst_k"),
    )


def heads(source: ExerciseSource) -> Drawn | None:
    """Maximum loads of a size with two lowest head pressures."""
    row = source.any_of(source.grouped)
    other = source.compared[(source.compared["size"] == row["size"]) & (source.compared["sst_k"] == row["sst_k"])]
    if not len(other) or not other["max_load_w"].notna().all():
        return None
    first, member = other.iloc[0], source.states["refrigerant"].iloc[0]
    return Drawn(
        {
            "size": row["size"],
            "sst_k": row["sst_k"],
            "refrigerant": member,
            "max_load_w": row["max_load_w"],
            "head_pressure_pa": float(source.state(member, float(row["sst_k"]), "low_head")["head_pressure_pa"]),
            "compared_application": first["application"],
            "compared_head_pressure_pa": source.compared_head_pa,
            "compared_max_load_w": first["max_load_w"],
            "load_ratio": first["max_load_w"] / row["max_load_w"],
        }
    )


def windows_of(frame: pd.DataFrame, column: str) -> tuple[Row, ...]:
    """The open windows of rows, for a table whose lines a column names."""
    own = frame[frame["max_load_w"].notna() & frame["min_load_w"].notna()]
    return tuple({c: row[c] for c in (column, "min_load_w", "max_load_w")} for _, row in own.iterrows())
