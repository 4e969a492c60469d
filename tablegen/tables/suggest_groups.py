"""Which refrigerants may share a table: clusters by the spread of required Kv per kW that they would cause.

The distance of two refrigerants is the largest |ln D_a - ln D_b| over the grid (suction temperatures, heads, sides of
the window).  Complete linkage joins clusters by their most distant members, so the height of a join is the spread of
required Kv per kW within the group that it makes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from tablegen.model.head_settings import at_equal_condensing
from tablegen.model.inputs import Application, Catalogue, Family
from tablegen.model.solving import Law, Solved, law_of, laws_of, solve
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.arrays import Floats
from tablegen.physics.valve import static_superheat
from tablegen.physics.windows import reason_under_law

# Groups are cut where the spread of required Kv per kW between members would exceed this.
DEFAULT_SPREAD = 0.10
# Where dew pressures of a group are compared [K]: 25 degF.
COMPARED_AT_K = (25.0 + 459.67) / 1.8


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupSetting:
    """One bulb setting on the members of a group: the minimum static superheat of each [K].

    The valve floods back with a member for which it is not positive (`flooding`), and stays shut with one for which it
    exceeds the maximum superheat of the application (`shut`).
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

    `safety_groups` are the known ones of the members, each once.
    """

    members: tuple[str, ...]
    spread: float
    settings: tuple[GroupSetting, ...]
    safety_groups: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """The clusters of one application under one flow law.

    Attributes
    ----------
    application, flow_law : str
    names : tuple of str
        The refrigerants that were clustered.
    merges : tuple
        Rows of a linkage over `names`: the two clusters joined (members count from 0, the cluster of row i is
        len(names) + i), the spread of the joined one [1], and its number of members.
    cut : float
        The spread at which groups are cut [1].
    groups : tuple of SuggestedGroup
    left_out : mapping
        Refrigerants without a state somewhere, each with the operating condition and the reason.
    present : mapping
        Spread of the existing groups [1], of their members that are not left out.
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
    *,
    cut: float = DEFAULT_SPREAD,
    safety_groups: Mapping[str, str] | None = None,
    present: Mapping[str, Sequence[str]] | None = None,
) -> Suggestion:
    """Cluster the refrigerants that were solved in one application.

    Parameters
    ----------
    application : Application
    law : Law
        The flow law, under which the refrigerants were solved.
    solved : sequence of Solved
        One for each refrigerant; one without a state somewhere is left out.
    families : iterable of Family, optional
        Those whose bulb settings are compared within each group.
    cut : float, optional
        The largest spread of required Kv per kW within a group [1].
    safety_groups : mapping, optional
        Of the refrigerants, by name.
    present : mapping, optional
        Members of the existing groups, by the group's name.

    References
    ----------
    D. Defays, "An efficient algorithm for a complete link method", The Computer Journal 20 (1977) (not checked against
    the source).
    """
    safety = safety_groups or {}
    left_out = {s.refrigerant.name: why for s in solved if (why := _why_not(s, law))}
    usable = [s for s in solved if s.refrigerant.name not in left_out]
    names = tuple(s.refrigerant.name for s in usable)
    if len(usable) < 2:
        alone = tuple(SuggestedGroup((n,), 0.0, (), tuple(safety[k] for k in (n,) if k in safety)) for n in names)
        return Suggestion(
            application=application.name,
            flow_law=law.law.value,
            names=names,
            merges=(),
            cut=cut,
            groups=alone,
            left_out=left_out,
        )
    # Here, for a release is read without them.
    from scipy.cluster.hierarchy import fcluster, leaves_list, linkage
    from scipy.spatial.distance import pdist

    log_required_kv = np.log(np.stack([np.concatenate(s.required_kvs[law.key]) for s in usable]))
    tree = linkage(pdist(log_required_kv, "chebyshev"), "complete")
    labels = fcluster(tree, np.log1p(cut), "distance")
    groups = []
    for label in dict.fromkeys(labels[i] for i in leaves_list(tree)):
        chosen = [i for i in leaves_list(tree) if labels[i] == label]
        members = [usable[i].refrigerant for i in chosen]
        settings = _settings(application, [usable[i] for i in chosen], families)
        ratings = tuple(sorted({safety[m.name] for m in members if m.name in safety}))
        group = SuggestedGroup(tuple(m.name for m in members), _spread(log_required_kv[chosen]), settings, ratings)
        groups.append(group)
    spreads = {}
    for name, listed in (present or {}).items():
        rows = [names.index(member) for member in listed if member in names]
        if len(rows) > 1:
            spreads[name] = _spread(log_required_kv[rows])
    merges = tuple((int(a), int(b), float(np.expm1(height)), int(count)) for a, b, height, count in tree)
    return Suggestion(
        application=application.name,
        flow_law=law.law.value,
        names=names,
        merges=merges,
        cut=cut,
        groups=tuple(groups),
        left_out=left_out,
        present=spreads,
    )


def suggestions(catalogue: Catalogue, solved_by: Mapping[tuple[str, str], Solved]) -> list[Suggestion]:
    """Clusters of a catalogue's own refrigerants: one result for each application and flow law of two or more.

    Parameters
    ----------
    catalogue : Catalogue
    solved_by : mapping
        Solved states by refrigerant and application.
    """
    found = []
    for name, application in catalogue.applications.items():
        solved = [own for (_, application_name), own in solved_by.items() if application_name == name]
        for law in laws_of(catalogue.families.values()):
            under_law = [own for own in solved if law.key in own.required_kvs]
            if len(under_law) > 1:
                found.append(_of_catalogue(catalogue, application, law, under_law, DEFAULT_SPREAD))
    return found


def suggest_in(catalogue: Catalogue, application: Application, cut: float) -> list[Suggestion]:
    """Clusters of all refrigerants that a catalogue has loaded, in one application: one result for each flow law.

    A refrigerant of no group of the application is taken at the condensing temperatures that the application's head
    pressures give with the refrigerants of its groups.  `cut` is the largest spread within a group [1].
    """
    computed = [catalogue.refrigerants[name] for name in catalogue.refrigerants_in(application.name)]
    laws = laws_of(catalogue.families.values())
    solved = [
        solve(own, application if own in computed else at_equal_condensing(application, own, computed), laws)
        for own in catalogue.refrigerants.values()
    ]
    return [_of_catalogue(catalogue, application, law, solved, cut) for law in laws]


def _of_catalogue(
    catalogue: Catalogue, application: Application, law: Law, solved: Sequence[Solved], cut: float
) -> Suggestion:
    return suggest(
        application,
        law,
        solved,
        [family for family in catalogue.families.values() if law_of(family).key == law.key],
        cut=cut,
        safety_groups={name: record.safety_group for name, record in catalogue.records.items()},
        present={name: group.members for name, group in catalogue.groups.items()},
    )


def dew_pressures(catalogue: Catalogue) -> dict[str, float]:
    """Dew pressures [Pa] of the catalogue's refrigerants at `COMPARED_AT_K`; NaN where there is none."""
    at = np.array([COMPARED_AT_K])
    return {name: float(own.dew(at).pressure_pa[0]) for name, own in catalogue.refrigerants.items()}


def _spread(log_required_kv: Floats) -> float:
    """The largest ratio of required Kv between any two rows at one state, minus one."""
    return float(np.expm1((log_required_kv.max(axis=0) - log_required_kv.min(axis=0)).max()))


def _why_not(solved: Solved, law: Law) -> str:
    """The first operating condition without a state under a flow law, and the reason; empty if there is none."""
    for state, required_kv in zip(solved.states, solved.required_kvs[law.key], strict=True):
        for reason in reason_under_law(state, required_kv):
            if reason is not None:
                return f"{state.condition}: {reason}"
    return ""


def _settings(
    application: Application, solved: Sequence[Solved], families: Iterable[Family]
) -> tuple[GroupSetting, ...]:
    """The settings made for one of the members, on all of them."""
    members = [own.refrigerant for own in solved]
    names = [m.name for m in members]
    most = {own.refrigerant.name: _max_superheat(own) for own in solved}
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
            shut = tuple(name for name, value in minimum.items() if value > most[name])
            found.append(
                GroupSetting(
                    family=family.name,
                    charge=element.name,
                    setting_refrigerant=element.setting_refrigerant,
                    min_static_superheat_k=minimum,
                    flooding=flooding,
                    shut=shut,
                )
            )
    return tuple(found)


def _max_superheat(solved: Solved) -> float:
    """The largest maximum superheat [K] along the suction grid at the rating point."""
    return float(np.max(solved.system.superheat.maximum(solved.rated)))
