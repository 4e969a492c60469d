"""`tablegen suggest groups`: which refrigerants may share a table."""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from tablegen.errors import BadValue, RequestError
from tablegen.model.names import refrigerant_name

# Where dew pressures of a group are compared (25 degF), and how many times the smallest the largest may be.
_COMPARED_AT_K, _MOST_RATIO = (25.0 + 459.67) / 1.8, 1.5


def add_parser(commands: Any, catalogue_argument: Callable[[argparse.ArgumentParser], None]) -> None:
    """Add the command to the others."""
    suggest = commands.add_parser("suggest", help="suggest refrigerant groups, by the spread of required Kv per kW")
    # A parser of its own, for a word before the options would take the place of the catalogue after them.
    parser = suggest.add_subparsers(dest="what", required=True, metavar="WHAT").add_parser(
        "groups",
        help="which refrigerants may share a table",
        description="Cluster refrigerants by the spread of required Kv per kW that they would cause in one table.",
        epilog="A refrigerant outside the catalogue's groups is taken at the condensing temperatures that the "
        "application's pressure settings mean for the first refrigerant of the first group.",
    )
    catalogue_argument(parser)
    parser.add_argument(
        "--refrigerants",
        metavar="NAMES",
        help="more than the catalogue's groups hold: 'R22,R290', or 'all' of the registry",
    )
    parser.add_argument("--application", metavar="NAME", help="one application (default: every one)")
    parser.add_argument(
        "--spread",
        default="10 percent",
        metavar="SHARE",
        help="largest spread of required Kv per kW within a group (default: 10 percent)",
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Print the report."""
    import numpy as np

    from tablegen.config.project import load_catalogue
    from tablegen.model.head_settings import at_equal_condensing
    from tablegen.model.solving import law_of, laws_of, solve
    from tablegen.tables.suggest_groups import suggest
    from tablegen.units import print_unit

    cut = _share(options.spread)
    also = _also(options.refrigerants)
    path = options.catalogue_path(options)
    try:
        catalogue = load_catalogue(path, also=also)
    except RequestError as error:
        raise RequestError(f"--refrigerants: {error}") from None
    if options.application is not None and options.application not in catalogue.applications:
        listed = ", ".join(catalogue.applications)
        raise RequestError(f"--application: {options.application!r} is not allowed; must be one of {listed}")
    safety = {name: record.safety_group for name, record in catalogue.records.items()}
    present = {name: group.members for name, group in catalogue.groups.items()}
    system = catalogue.printing.units
    step = print_unit("temperature difference", system)
    pressures = {
        name: float(refrigerant.dew(np.array([_COMPARED_AT_K])).pressure_pa[0])
        for name, refrigerant in catalogue.refrigerants.items()
    }
    for name, application in catalogue.applications.items():
        if options.application not in (None, name):
            continue
        laws = laws_of(catalogue.families.values())
        computed = [catalogue.refrigerants[r] for r in catalogue.refrigerants_in(name)]
        solved = []
        for refrigerant in catalogue.refrigerants.values():
            own = application
            if refrigerant not in computed:
                own = at_equal_condensing(application, refrigerant, computed)
            solved.append(solve(refrigerant, own, laws))
        for law in laws:
            families = [f for f in catalogue.families.values() if law_of(f).key == law.key]
            print(_report(suggest(application, law, solved, families, cut, safety, present), step, pressures, system))
    print(
        "A group is one valve in one box: its members must also live with one bulb setting (static superheat above "
        "zero, and steady), with one safety group of equipment, and with one working pressure."
    )
    return 0


def _also(text: str | None) -> list[str] | None:
    """The refrigerants named beside those of the groups; None stands for all of the registry."""
    if text is None:
        return []
    names = [name.strip() for name in text.split(",")]
    if "" in names:
        rule = "it takes names with commas between, such as R22,R290, or 'all'"
        raise RequestError(f"--refrigerants: {text!r} is not allowed; {rule}")
    return None if names == ["all"] else [refrigerant_name(name) for name in names]


def _report(found: Any, step: Any, pressures: Mapping[str, float], system: str) -> str:
    lines = [
        f"{found.application}, flow law {found.flow_law}: groups within which required Kv per kW spreads by at most "
        f"{100 * found.cut:g} percent"
    ]
    for number, group in enumerate(found.groups, start=1):
        lines.append(f"{number:3}  {', '.join(group.members)}: {'; '.join(_marks(group))}")
        lines += _pressure_warning(group.members, pressures, system)
        for setting in group.settings if len(group.members) > 1 else ():
            minimum = ", ".join(f"{n} {step.of(v):.1f}" for n, v in setting.min_static_superheat_k.items())
            lines.append(
                f"     under {setting.family} {setting.charge}, set for {setting.setting_refrigerant}, the minimum "
                f"static superheat [{step.label}] is {minimum}"
            )
    lines += [f"left out: {name} ({why})" for name, why in found.left_out.items()]
    if found.present:
        spreads = ", ".join(f"{name} {100 * spread:.1f} percent" for name, spread in found.present.items())
        lines.append(f"present groups: {spreads}")
    return "\n".join(lines) + "\n"


def _pressure_warning(members: Sequence[str], pressures: Mapping[str, float], system: str) -> list[str]:
    """A line for a group by required Kv per kW whose members' dew pressures are far apart; nothing where they are near."""
    from tablegen.report.formatter import NBSP, Formatter

    known = {name: pressures[name] for name in members if math.isfinite(pressures[name])}
    if len(known) < 2 or max(known.values()) <= _MOST_RATIO * min(known.values()):
        return []
    formatter = Formatter(system)
    ratio = max(known.values()) / min(known.values())
    each = ", ".join(f"{name} {formatter.absolute(pressure)}" for name, pressure in known.items())
    text = (
        f"     by required Kv only; dew pressures at {formatter.degrees(_COMPARED_AT_K)} differ by a factor of {ratio:.1f} "
        f"({each}): check working pressure and settings"
    )
    return [text.replace(NBSP, " ")]


def _marks(group: Any) -> list[str]:
    """The spread of a group, and what speaks against it."""
    if len(group.members) == 1:
        return ["alone"]
    marks = [f"{100 * group.spread:.1f} percent"]
    if len(group.safety_groups) > 1:
        *first, last = group.safety_groups
        marks.append(f"mixes safety groups {', '.join(first)} and {last}")
    where: dict[str, list[str]] = {}
    for setting in group.settings:
        for names, what in ((setting.flooding, "would flood"), (setting.shut, "would stay shut")):
            if names:
                where.setdefault(f"{', '.join(names)} {what}", []).append(f"{setting.family} {setting.charge}")
    return marks + [f"{what} under {' and '.join(settings)}" for what, settings in where.items()]


def _share(text: str) -> float:
    from tablegen.units import to_si

    try:
        share = to_si(text, "share")
    except BadValue as error:
        raise RequestError(f"--spread: {error}") from None
    if not 0.0 < share <= 1.0:
        raise RequestError(f"--spread: {text!r} is not allowed; it must be above 0 and at most 100 percent")
    return share
