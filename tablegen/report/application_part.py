"""The part of a data set that is about one application, where a file of all applications would be too large."""

from __future__ import annotations

from dataclasses import replace

from tablegen.dataset.dataset import DataSet


def part_of_application(data: DataSet, name: str) -> DataSet:
    """What a page or a workbook shows of one application; other frames are those of all."""
    catalogue = data.catalogue
    combinations = tuple(c for c in catalogue.combinations if c.application == name)
    families, groups = {c.family for c in combinations}, {c.group for c in combinations}
    members = {member for group in groups for member in catalogue.groups[group].members}
    own = replace(
        catalogue,
        combinations=combinations,
        applications={name: catalogue.applications[name]},
        families={n: family for n, family in catalogue.families.items() if n in families},
        groups={n: group for n, group in catalogue.groups.items() if n in groups},
        stock=catalogue.stock
        and replace(
            catalogue.stock, items=tuple(item for item in catalogue.stock.items if item.valve.family in families)
        ),
        records={n: record for n, record in catalogue.records.items() if n in members},
        part_numbers=tuple(n for n in catalogue.part_numbers if n.family in ("", *families)),
    )
    windows = data.windows[data.windows["application"] == name].reset_index(drop=True)
    return replace(data, catalogue=own, windows=windows)
