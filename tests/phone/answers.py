"""What the phone page should answer, calculated from the frames of the data set and nothing of the page."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from tablegen.dataset.dataset import DataSet
from tablegen.report.formatter import Formatter
from tablegen.units import print_unit
from tablegen.wording import terms


@dataclass(frozen=True)
class Look:
    """What is asked: suction temperature and load as text, each in its own system."""

    name: str
    application: str
    sst: str
    degrees: str
    load: str
    loads: str
    family: str = ""


@dataclass(frozen=True)
class Size:
    """A size with its printed limits, and whether it fits the load."""

    family: str
    size: str
    verdict: str
    window: tuple[str, str] | None
    margin: float
    why: str


def members(data: DataSet, name: str) -> list[str]:
    groups = data.catalogue.groups
    return [name] if name in data.catalogue.refrigerants else list(groups[name].members)


def suction_rows(data: DataSet, application: str, sst: str, degrees: str) -> list[float]:
    """The grid temperatures [K] that a figure reads: its own to two decimals, or those on either side."""
    grid = data.catalogue.applications[application].sst_k.tolist()
    unit = print_unit("temperature", degrees)
    called = [round(unit.of(kelvin), 2) for kelvin in grid]
    at = math.floor(float(sst) * 100 + 0.5) / 100
    if at in called:
        return [grid[called.index(at)]]
    above = [i for i, row in enumerate(called) if row > at]
    return [] if not above or above[0] == 0 else [grid[above[0] - 1], grid[above[0]]]


def answer(data: DataSet, look: Look) -> list[Size]:
    """Every size that has windows for the case, by family, the smaller first."""
    rows = suction_rows(data, look.application, look.sst, look.degrees)
    printing = data.catalogue.printing
    formatter = Formatter.beside(look.loads, printing.units, printing.load_unit)
    found = []
    for family, own in data.catalogue.families.items():
        if look.family not in ("", family):
            continue
        for size in sorted(own.sizes, key=lambda s: s.kv_rated_m3h):
            windows = [
                record
                for kelvin in rows
                for member in members(data, look.name)
                for record in windows_at(data, look.application, family, size.name, member, kelvin)
            ]
            if len(windows) == len(rows) * len(members(data, look.name)):
                found.append(judged(family, size.name, windows, formatter, float(look.load)))
    return found


_records: dict[str, dict[Any, dict[float, dict[str, Any]]]] = {}


def windows_at(
    data: DataSet, application: str, family: str, size: str, member: str, kelvin: float
) -> list[dict[str, Any]]:
    """The window at a grid temperature, if there is one; a data set's are put in order once."""
    if data.fingerprint not in _records:
        by = _records[data.fingerprint] = {}
        for record in data.windows.to_dict("records"):
            key = record["application"], record["family"], record["size"], record["refrigerant"]
            by.setdefault(key, {})[round(record["sst_k"], 6)] = record
    found = _records[data.fingerprint].get((application, family, size, member), {}).get(round(kelvin, 6))
    return [] if found is None else [found]


def judged(family: str, size: str, windows: list[dict[str, Any]], formatter: Formatter, load: float) -> Size:
    printed = [formatter.readable_window(w["min_load_w"], w["max_load_w"]) for w in windows]
    if None in printed:
        empty = windows[printed.index(None)]
        return Size(family, size, "no_window", None, math.nan, because(empty, "max"))
    minimum = max(range(len(windows)), key=lambda i: float(printed[i][0]))
    maximum = min(range(len(windows)), key=lambda i: float(printed[i][1]))
    low, high = printed[minimum][0], printed[maximum][1]
    if float(low) >= float(high):
        why = f"no load is inside all of its load windows ({windows[maximum]['refrigerant']})"
        return Size(family, size, "no_window", None, math.nan, why)
    if load < float(low):
        verdict, why = "too_large", because(windows[minimum], "min")
    elif load > float(high):
        verdict, why = "too_small", because(windows[maximum], "max")
    else:
        verdict, why = "fits", ""
    return Size(family, size, verdict, (low, high), min(load / float(low), float(high) / load), why)


def because(window: dict[str, Any], side: str) -> str:
    reason = terms.reason(window[f"{side}_reason"])
    condition = window[f"{side}_condition"]
    is_of_all = window[f"{side}_reason"] in ("crossed", "confidence")
    at = "" if is_of_all or not condition else f"{terms.at_condition(condition)}, "
    return f"{at}{reason} ({window['refrigerant']})"


def fitting(sizes: list[Size]) -> list[Size]:
    return sorted((s for s in sizes if s.verdict == "fits"), key=lambda s: -s.margin)


def neighbors(sizes: list[Size]) -> list[Size]:
    """Of each family the largest that is too small and the smallest that is too large."""
    found = []
    for family in dict.fromkeys(s.family for s in sizes):
        small = [s for s in sizes if s.family == family and s.verdict == "too_small"]
        large = [s for s in sizes if s.family == family and s.verdict == "too_large"]
        found += small[-1:] + large[:1]
    return found
