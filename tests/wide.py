"""A catalogue as wide as a whole trade's, written as config files: invented families for every packaged refrigerant.

Each family comes in ten sizes and serves every refrigerant in four applications of thirteen suction temperatures.
"""

from __future__ import annotations

import functools
import shutil
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np

from tests.registry import refrigerant, registry

ROOT = Path(__file__).resolve().parents[1]
REFRIGERANTS = sorted(path.stem for path in (ROOT / "configs" / "refrigerants").glob("*.yaml"))
# Suction temperatures [degF] of an application by its temperature range, thirteen of each; low heads [degF] by its name.
SUCTION = {"medium": (10, 34, 24), "low": (-24, 0, -20)}
LOW_HEAD = {"floating": 70, "fixed": 95}
# Condensing temperatures [degF] of carbon dioxide, which has none as warm as those of the others.
_COLD = {"floating": 45, "fixed": 60, "rating": 70, "high": 80}
SIZES = 10
# Refrigerants of one safety group whose dew pressures at one temperature are within this share have a table in common.
_ALIKE, _ALIKE_AT_K = 0.04, 266.5

_CATALOGUE = """catalogue: wide
title: Expansion valves of a whole trade
company: Quillmere Valves (invented)
notice: Invented valves, for measuring alone; not for the selection of real equipment.
revision: A
date: 2026-11-25
units: IP
families: [{families}]
groups: [{groups}]
applications: [{applications}]
{more}revisions:
  - {{revision: A, date: 2026-11-25, change: First issue.}}
"""
_CONFIDENCE = "confidence: {share: 95 percent, level: 95 percent, samples: 1024, seed: 1, tables: nominal}\n"
_APPLICATION = """application: {name}
title: {title}
temperature_range: {range}_temperature
note: Invented for measuring.
site_pressure: 14.696 psi_absolute
suction:
  sst_at: evaporator
  basis: dew
  line_loss: 2 delta_degF
  sst_range: {{minimum: {first} degF, maximum: {last} degF, step: 2 delta_degF}}
  example_sst: {example} degF
  response: constant
rating: {{condensing_temperature: 105 degF, basis: bubble, subcooling: 9 delta_degF, source: Invented}}
low_head: {{condensing_temperature: {low} degF, basis: bubble, inlet_subcooling: 5 delta_degF, source: Invented}}
high_head: {{condensing_temperature: 115 degF, basis: bubble, inlet_subcooling: 5 delta_degF, source: Invented}}
losses: {{liquid_line: 2 psi, lift: 0 ft, evaporator: 1 psi, distributor: 5 psi, distributor_scaling: flashed_mixture, source: Invented}}
superheat: {{useful: 6.5 delta_degF, maximum: 12 delta_degF, minimum_stable: 3 delta_degF, source: Invented}}
compressor:
  kind: clearance
  clearance: 4 percent
  re_expansion_exponent: 1.1
  minimum_capacity: 100 percent
  return_gas_superheat: 20 delta_degF
  discharge_line_loss: 0 psi
  source: Invented
scatter:
  low_head: 1 delta_degF
  high_head: 1 delta_degF
  inlet_subcooling: 1 delta_degF
  distributor: 1 psi
  compressor_flow: 10 percent
  source: Invented
by_refrigerant:
  R744:
    rating: {{condensing_temperature: {cold[rating]} degF, basis: bubble, subcooling: 9 delta_degF, source: Invented}}
    low_head: {{condensing_temperature: {cold[low]} degF, basis: bubble, inlet_subcooling: 5 delta_degF, source: Invented}}
    high_head: {{condensing_temperature: {cold[high]} degF, basis: bubble, inlet_subcooling: 5 delta_degF, source: Invented}}
"""
_FAMILY = """family: {name}
name: {title}
title: {title} expansion valves
note: Invented for measuring.
kind: {kind}
flow_law: {law}
flow_law_reason: Invented.
approved: {{safety_groups: [{safety}]}}
working_pressure: 1200 psi_gauge
allowed_differential: 850 psi
sizes:
{sizes}scatter: {{kv: 2 percent, source: Invented}}
offered:
  connections:
    - {{choose: ["3/8 in x 1/2 in solder"]}}
{own}"""
_THERMOSTATIC = """opening: {{stop: 120 percent, reserve_in_limits: 100 percent, minimum_stable: 35 percent, characteristic: linear}}
port: {{unbalance: {unbalance} percent}}
equalizer: external
charges:
{charges}"""
_CHARGE = """  - charge: cross-{name}
    title: Cross charge for {name}
    kind: cross
    temperature_ranges: [medium_temperature, low_temperature]
    refrigerants: [{members}]
    evaporating_range: {{minimum: -30 degF, maximum: 40 degF}}
    minimum_static_superheat: 1 delta_degF
    points: [{points}]
    setting:
      refrigerant: {name}
      bulb_temperature: 20 degF
      static_superheat: 3 delta_degF
      opening_superheat: 4 delta_degF
      pressure_drop: 100 psi
"""
_STEPPER = """driver: Stepper driver (invented)
full_steps: 500
minimum_steps: 60
control_reserve: 15 percent
characteristic:
  - [0 percent, 0 percent]
  - [25 percent, 12 percent]
  - [50 percent, 33 percent]
  - [100 percent, 100 percent]
"""
_PULSE = """pressure_recovery: 90 percent
driver: Pulse driver (invented)
minimum_duty: 15 percent
maximum_duty: 90 percent
"""


def wide_catalogue(
    folder: Path,
    families: int,
    refrigerants: Sequence[str] = REFRIGERANTS,
    more: str = "",
    is_confident: bool = False,
) -> Path:
    """Write a catalogue of so many families for some refrigerants into a folder that is not there; return its file."""
    groups = {members[0]: members for members in _groups(tuple(refrigerants))}
    for name in ("families", "applications", "refrigerants"):
        (folder / name).mkdir(parents=True)
    for name in refrigerants:
        shutil.copy(ROOT / "configs" / "refrigerants" / f"{name}.yaml", folder / "refrigerants")
    names = [f"valve-{i + 1:03}" for i in range(families)]
    for i, name in enumerate(names):
        (folder / "families" / f"{name}.yaml").write_text(_family(name, i, groups), encoding="utf-8")
    applications = {f"{range_}_{head}": (range_, head) for range_ in SUCTION for head in LOW_HEAD}
    for name, (range_, head) in applications.items():
        (folder / "applications" / f"{name}.yaml").write_text(_application(name, range_, head), encoding="utf-8")
    listed = "".join(
        f"  {name}: {{title: {name} and alike, members: [{', '.join(own)}]}}\n" for name, own in groups.items()
    )
    (folder / "groups.yaml").write_text(f"groups:\n{listed}", encoding="utf-8")
    text = _CATALOGUE.format(
        families=", ".join(names),
        groups=", ".join(groups),
        applications=", ".join(applications),
        more=more + (_CONFIDENCE if is_confident else ""),
    )
    (folder / "catalogue.yaml").write_text(text, encoding="utf-8")
    return folder / "catalogue.yaml"


def _application(name: str, range_: str, head: str) -> str:
    first, last, example = SUCTION[range_]
    return _APPLICATION.format(
        name=name,
        title=f"{range_.capitalize()} temperature, {head} head pressure",
        range=range_,
        first=first,
        last=last,
        example=example,
        low=LOW_HEAD[head],
        cold={"low": _COLD[head], **_COLD},
    )


@functools.cache
def _groups(names: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Refrigerants by groups, the one with the lowest dew pressure first in each."""
    at = np.array([_ALIKE_AT_K])
    safety = {name: registry().records[name].safety_group for name in names}
    pressures = {name: float(refrigerant(name).dew(at).pressure_pa[0]) for name in names}
    found: list[list[str]] = []
    for name in sorted(names, key=lambda name: (safety[name], pressures[name], name)):
        first = found[-1][0] if found else name
        if found and safety[name] == safety[first] and pressures[name] < (1.0 + _ALIKE) * pressures[first]:
            found[-1].append(name)
        else:
            found.append([name])
    return [tuple(own) for own in found]


@functools.cache
def _charge(members: tuple[str, ...]) -> str:
    """A charge that follows the dew pressure of a group's first refrigerant, and so suits it whatever its glide."""
    fahrenheit = np.arange(-50.0, 76.0, 5.0)
    pressure_pa = refrigerant(members[0]).dew((fahrenheit + 459.67) / 1.8).pressure_pa
    pairs = zip(fahrenheit, pressure_pa, strict=True)
    points = ", ".join(f"[{t:g} degF, {p / 1e3:.6g} kPa_absolute]" for t, p in pairs)
    return _CHARGE.format(name=members[0], members=", ".join(members), points=points)


def _family(name: str, number: int, groups: Mapping[str, tuple[str, ...]]) -> str:
    """A thermostatic, a single-port, a stepper and a pulse-modulated family by turns, each with flow coefficients of its own."""
    turn, factor = number % 4, 1.0 + 0.001 * (number // 4)
    sizes = "".join(f"  - {{size: {k}, kv: {10.0 * factor * 1.5**k:.6g} L/h}}\n" for k in range(1, SIZES + 1))
    charges = "".join(map(_charge, groups.values()))
    return _FAMILY.format(
        name=name,
        title=f"Valve {number + 1:03}",
        kind=("thermostatic", "thermostatic", "stepper", "pulse_modulated")[turn],
        law="choked" if turn == 3 else "orifice",
        safety="A1, A2L, A2, A3, B1, B2L, B2, B3",
        sizes=sizes,
        own=(
            _THERMOSTATIC.format(unbalance=0, charges=charges),
            _THERMOSTATIC.format(unbalance=-1, charges=charges),
            _STEPPER,
            _PULSE,
        )[turn],
    )
