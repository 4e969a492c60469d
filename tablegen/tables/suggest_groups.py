"""Which refrigerants may share a table: clusters by the spread of required Kv per kW that they would cause.

Two refrigerants lie as far apart as the largest |ln D_a - ln D_b| over the grid (suction temperatures,
heads, sides of the window).  Complete linkage joins clusters by their most distant members, so the height
of a join is the spread of required Kv per kW within the group that it makes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.cluster.hierarchy import fcluster, leaves_list, linkage
from scipy.spatial.distance import pdist

from tablegen.model.head_settings import at_equal_condensing
from tablegen.model.inputs import Application, Catalogue, Family
from tablegen.model.solving import Law, Solved, law_of, laws_of, solve
from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.valve import static_superheat
from tablegen.physics.windows import ThermostaticActuator

# Groups are cut where the spread of required Kv per kW between members would exceed this.
DEFAULT_SPREAD = 0.10
# Where dew pressures of a group are compared [K]: 25 degF.
COMPARED_AT_K = (25.0 + 459.67) / 1.8


@dataclass(frozen=True, slots=True)
class Setting:
    """How the members of a group live with one bulb setting: the minimum static superheat of each [K].

    One at which it is not positive would flood; one at which it exceeds the maximum superheat of the application
    would stay shut.
    """

    family: str
    charge: str
    setting_refrigerant: str
    min_static_superheat_k: Mapping[str, float]
    flooding: tuple[str, ...]
    shut: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SuggestedGroup:
    """Members, the spread of required Kv per kW between them (ratio less one), and the settings made for one of them.

    `safety_groups` are those of the members, each once, as far as they are known.
    """

    members: tuple[str, ...]
    spread: float
    settings: tuple[Setting, ...]
    safety_groups: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Suggestion:
    """The clusters of one application under one flow law.

    `merges` are rows of a linkage over `names`: the two clusters joined (members count from 0, the cluster
    of row i is len(names) + i), the spread of the joined one, and its number of members.  `present` holds the
    spread of groups that there are already, of their members that are not left out.
    """

    application: str
    flow_law: str
    names: tuple[str, ...]
    merges: tuple[tuple[int, int, float, int], ...]
    cut: float
    groups: tuple[SuggestedGroup, ...]
    left_out: Mapping[str, str]
    present: Mapping[str, float] = field(default_factory=dict)


def suggest(
    application: Application,
    law: Law,
    solved: Sequence[Solved],
    families: Iterable[Family] = (),
    cut: float = DEFAULT_SPREAD,
    safety_groups: Mapping[str, str] | None = None,
    present: Mapping[str, Sequence[str]] | None = None,
) -> Suggestion:
    """Cluster the refrigerants that were solved in one application; one that has no state somewhere is left out.

    `safety_groups` maps refrigerants to theirs, `present` the groups that there are already to their members.
    """
    safety = safety_groups or {}
    left_out = {s.refrigerant.name: _why_not(s) for s in solved if _why_not(s)}
    kept = [s for s in solved if s.refrigerant.name not in left_out]
    names = tuple(s.refrigerant.name for s in kept)
    if len(kept) < 2:
        alone = tuple(SuggestedGroup((n,), 0.0, (), tuple(safety[k] for k in (n,) if k in safety)) for n in names)
        return Suggestion(application.name, law.law.value, names, (), cut, alone, left_out)
    log_required_kv = np.log(np.stack([np.concatenate(s.required_kvs[law.key]) for s in kept]))
    tree = linkage(pdist(log_required_kv, "chebyshev"), "complete")
    labels = fcluster(tree, np.log1p(cut), "distance")
    groups = []
    for label in dict.fromkeys(labels[i] for i in leaves_list(tree)):
        chosen = [i for i in leaves_list(tree) if labels[i] == label]
        members = [kept[i].refrigerant for i in chosen]
        settings = _settings(application, members, families)
        mixed = tuple(sorted({safety[m.name] for m in members if m.name in safety}))
        group = SuggestedGroup(tuple(m.name for m in members), _spread(log_required_kv[chosen]), settings, mixed)
        groups.append(group)
    spreads = {}
    for name, listed in (present or {}).items():
        rows = [names.index(member) for member in listed if member in names]
        if len(rows) > 1:
            spreads[name] = _spread(log_required_kv[rows])
    merges = tuple((int(a), int(b), float(np.expm1(height)), int(count)) for a, b, height, count in tree)
    return Suggestion(application.name, law.law.value, names, merges, cut, tuple(groups), left_out, spreads)


def suggestions(catalogue: Catalogue, solved_by: Mapping[tuple[str, str], Solved]) -> list[Suggestion]:
    """The clusters of a catalogue's own refrigerants: one for each application and flow law."""
    safety = {name: record.safety_group for name, record in catalogue.records.items()}
    present = {name: group.members for name, group in catalogue.groups.items()}
    found = []
    for name, application in catalogue.applications.items():
        families: dict[tuple[str, str], list[Family]] = {law_of(f).key: [] for f in catalogue.families.values()}
        for family in catalogue.families.values():
            families[law_of(family).key].append(family)
        for key, of_law in families.items():
            own = [
                s
                for (_, application_name), s in solved_by.items()
                if application_name == name and key in s.required_kvs
            ]
            if len(own) > 1:
                law = law_of(of_law[0])
                found.append(suggest(application, law, own, of_law, safety_groups=safety, present=present))
    return found


def suggest_in(catalogue: Catalogue, application: Application, cut: float) -> list[Suggestion]:
    """Clusters of all refrigerants that a catalogue has loaded, in one application: one result for each flow law.

    One that the application's groups do not have is taken at the condensing temperatures that its pressure settings
    give with those that they have.
    """
    computed = [catalogue.refrigerants[name] for name in catalogue.refrigerants_in(application.name)]
    laws = laws_of(catalogue.families.values())
    solved = [
        solve(own, application if own in computed else at_equal_condensing(application, own, computed), laws)
        for own in catalogue.refrigerants.values()
    ]
    safety = {name: record.safety_group for name, record in catalogue.records.items()}
    present = {name: group.members for name, group in catalogue.groups.items()}
    families = {law.key: [f for f in catalogue.families.values() if law_of(f).key == law.key] for law in laws}
    return [suggest(application, law, solved, families[law.key], cut, safety, present) for law in laws]


def dew_pressures(catalogue: Catalogue) -> dict[str, float]:
    """Dew pressures [Pa] of the catalogue's refrigerants at `COMPARED_AT_K`; NaN where there is none."""
    at = np.array([COMPARED_AT_K])
    return {name: float(own.dew(at).pressure_pa[0]) for name, own in catalogue.refrigerants.items()}


def _spread(log_required_kv: Floats) -> float:
    """The largest ratio of demand between any two rows at one state, less one."""
    return float(np.expm1((log_required_kv.max(axis=0) - log_required_kv.min(axis=0)).max()))


def _why_not(solved: Solved) -> str:
    """The first reason for which a state cannot serve, or nothing."""
    for state in solved.states:
        for reason in state.reason:
            if reason is not None:
                return f"{state.condition}: {reason}"
    return ""


def _settings(
    application: Application, members: Sequence[Refrigerant], families: Iterable[Family]
) -> tuple[Setting, ...]:
    """The settings made for one of the members, and what they mean for the others."""
    names = [m.name for m in members]
    found = []
    for family in families:
        for element in family.elements:
            fits = not element.temperature_ranges or application.temperature_range in element.temperature_ranges
            actuator = element.actuator
            if not fits or element.setting_refrigerant not in names or not isinstance(actuator, ThermostaticActuator):
                continue
            minimum = {}
            for member in members:
                superheat = static_superheat(actuator.balance, member, application.sst_k)
                if np.isfinite(superheat).any():
                    minimum[member.name] = float(np.nanmin(superheat))
            flooding = tuple(name for name, value in minimum.items() if value <= 0.0)
            shut = tuple(name for name, value in minimum.items() if value > application.systems[name].superheat.max_k)
            found.append(Setting(family.name, element.name, element.setting_refrigerant, minimum, flooding, shut))
    return tuple(found)
