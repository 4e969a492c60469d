"""What is true whatever the inputs are: scaling, units, monotony, groups, order."""

from __future__ import annotations

import functools
import re
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute_windows
from tablegen.model.inputs import Catalogue
from tablegen.model.solving import law_of, laws_of, solve, unit_window
from tablegen.physics.flow import FlowLaw
from tablegen.physics.system import DistributorScaling, Head, SuctionResponse, SystemInputs
from tablegen.sweep.groups import group_windows
from tests.demo import demo_catalogue
from tests.us_units import PSI_PA

ROOT = Path(__file__).resolve().parents[2]
FEW = settings(max_examples=25, derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck))
NAMES = ("R404A", "R507A", "R448A", "R449A", "R407A", "R407F")
SST_K = np.array([(f + 459.67) / 1.8 for f in (12.0, 24.0, 36.0)])
# A millionth of what a limit is: beyond all rounding, below any effect.
SLACK = 1e-9


@functools.cache
def plain() -> Catalogue:
    return replace(demo_catalogue(), confidence=None)


def systems() -> st.SearchStrategy[tuple[str, SystemInputs]]:
    """A refrigerant and an application like that of the demo's cooler: other heads, losses, lift, minimum superheat."""

    def made(name: str, low: float, high: float, line: float, lift: float, distributor: float, law: bool) -> tuple:
        own = plain().applications["walk_in_medium"].systems[name]
        losses = replace(
            own.losses,
            liquid_line_pa=line * PSI_PA,
            lift_m=lift,
            distributor_pa=distributor * PSI_PA,
            distributor_scaling=list(DistributorScaling)[int(law)],
        )
        at_low = replace(own.low_head, head=Head(pressure_pa=(low + 14.696) * PSI_PA))
        at_high = replace(own.high_head, head=Head(pressure_pa=(high + 14.696) * PSI_PA))
        return name, replace(own, losses=losses, low_head=at_low, high_head=at_high, response=SuctionResponse.CONSTANT)

    return st.builds(
        made,
        st.sampled_from(NAMES),
        st.floats(110.0, 190.0),
        st.floats(290.0, 380.0),
        st.floats(0.0, 10.0),
        st.floats(-5.0, 5.0),
        st.floats(0.0, 30.0),
        st.booleans(),
    )


def families() -> st.SearchStrategy[str]:
    return st.sampled_from(("alder", "hazel", "larch"))


def window_of(name: str, system: SystemInputs, family: str):
    catalogue = plain()
    application = replace(catalogue.applications["walk_in_medium"], sst_k=SST_K, systems={name: system})
    own = catalogue.families[family]
    return unit_window(own, solve(catalogue.refrigerants[name], application, [law_of(own)]))[2]


def limits(window) -> tuple[np.ndarray, np.ndarray]:
    """Minimum and maximum load; an empty window contains nothing."""
    return (
        np.where(np.isnan(window.min_load_w), np.inf, window.min_load_w),
        np.where(np.isnan(window.max_load_w), 0.0, window.max_load_w),
    )


def no_wider(first, second) -> bool:
    """Whether the first window lies in the second, or is empty."""
    (minimum, maximum), (other_min, other_max) = limits(first), limits(second)
    is_open = minimum < maximum
    return bool(np.all(~is_open | ((minimum >= other_min * (1 - SLACK)) & (maximum <= other_max * (1 + SLACK)))))


@FEW
@given(systems(), families(), st.floats(0.5, 20.0))
def test_a_lower_low_head_leaves_no_window_wider(system, family, psi):
    # common practice: winter starves. For a port on which the inlet pressure does not push.
    name, application = system
    head = replace(application.low_head.head, pressure_pa=application.low_head.head.pressure_pa - psi * PSI_PA)
    lower = replace(application, low_head=replace(application.low_head, head=head))
    assert no_wider(window_of(name, lower, family), window_of(name, application, family))


@FEW
@given(systems(), families(), st.floats(0.5, 30.0))
def test_a_higher_high_head_leaves_no_window_wider(system, family, psi):
    # common practice: summer hunts.
    name, application = system
    head = replace(application.high_head.head, pressure_pa=application.high_head.head.pressure_pa + psi * PSI_PA)
    higher = replace(application, high_head=replace(application.high_head, head=head))
    assert no_wider(window_of(name, higher, family), window_of(name, application, family))


@FEW
@given(
    systems(),
    families(),
    st.sampled_from(("liquid_line_pa", "distributor_pa", "evaporator_pa", "lift_m")),
    st.floats(0.01, 1.0),
)
def test_a_loss_more_lowers_the_max_load(system, family, loss, share):
    # common practice: what line, lift and distributor take the valve lacks.
    name, application = system
    more = share * (2.0 if loss == "lift_m" else 5.0 * PSI_PA)
    losses = replace(application.losses, **{loss: getattr(application.losses, loss) + more})
    _, maximum = limits(window_of(name, application, family))
    _, lowered = limits(window_of(name, replace(application, losses=losses), family))
    assert np.all(lowered <= maximum * (1 + SLACK))


@pytest.mark.slow
@FEW
@given(systems(), st.floats(0.1, 2.0))
def test_more_superheat_allowed_makes_no_window_narrower(system, kelvin):
    name, application = system
    # By the rule of the demo, a share of the coil's temperature difference, and as a stated superheat.
    own = application.superheat
    share, difference = own.max_share, application.box_difference_k
    assert share is not None and difference is not None
    stated = replace(own, max_k=share * difference, max_share=None)
    for first, second in (
        (own, replace(own, max_share=share + kelvin / difference)),
        (stated, replace(stated, max_k=share * difference + kelvin)),
    ):
        assert_no_narrower(name, replace(application, superheat=first), replace(application, superheat=second))


def assert_no_narrower(name: str, application: SystemInputs, wider: SystemInputs) -> None:
    _, maximum = limits(window_of(name, application, "alder"))
    _, raised = limits(window_of(name, wider, "alder"))
    assert np.all(raised >= maximum * (1 - SLACK))


@FEW
@given(systems(), st.floats(0.1, 20.0))
def test_windows_are_proportional_to_kv(system, factor):
    # By the definition of Kv.
    name, inputs = system
    catalogue = plain()
    own = catalogue.families["alder"]
    larger = replace(own, sizes=tuple(replace(s, kv_rated_m3h=factor * s.kv_rated_m3h) for s in own.sizes))
    application = replace(catalogue.applications["walk_in_medium"], sst_k=SST_K, systems={name: inputs})
    frames = []
    for family in (own, larger):
        few = tuple(c for c in catalogue.combinations if c.family == "alder" and c.application == "walk_in_medium")
        chosen = [c for c in few if name in catalogue.groups[c.group].members]
        groups = {c.group: replace(catalogue.groups[c.group], members=(name,)) for c in chosen}
        small = replace(
            catalogue,
            families={"alder": family},
            groups=groups,
            combinations=tuple(chosen),
            applications={"walk_in_medium": application},
        )
        frames.append(compute_windows(small).windows)
    for load in ("min_load_w", "max_load_w", "middle_load_w"):
        np.testing.assert_allclose(frames[1][load], factor * frames[0][load], rtol=1e-12)
    assert (frames[0]["max_reason"] == frames[1]["max_reason"]).all()


@FEW
@given(systems(), st.floats(0.5, 0.99))
def test_port_required_kv_does_not_know_the_valve(system, recovery):
    name, inputs = system
    catalogue = plain()
    application = replace(catalogue.applications["walk_in_medium"], sst_k=SST_K, systems={name: inputs})
    alone = [law_of(catalogue.families["alder"])]
    others = [replace(f, flow_law=FlowLaw.CHOKED, pressure_recovery=recovery) for f in catalogue.families.values()]
    together = laws_of([*others, *catalogue.families.values()])
    one, many = (solve(catalogue.refrigerants[name], application, laws) for laws in (alone, together))
    for first, second in zip(one.required_kvs[alone[0].key], many.required_kvs[alone[0].key], strict=True):
        np.testing.assert_array_equal(first, second)


LOADS = st.one_of(st.none(), st.tuples(st.floats(1.0, 1e6), st.floats(1.0, 1e6)).map(sorted))


@FEW
@given(st.lists(st.lists(LOADS, min_size=3, max_size=3), min_size=2, max_size=5), st.randoms(use_true_random=False))
def test_a_group_window_lies_in_every_members_and_their_order_is_of_no_matter(members, chance):
    names = [f"R{i}" for i in range(len(members))]
    windows = pd.concat([_windows(name, own) for name, own in zip(names, members, strict=True)], ignore_index=True)
    found = group_windows(_grouped(names), windows)
    for _, row in found.iterrows():
        of_members = windows[windows["sst_k"] == row["sst_k"]]
        if np.isnan(row["max_load_w"]):
            common = of_members["min_load_w"].max() < of_members["max_load_w"].min()
            assert not common or of_members["max_load_w"].isna().any()
            assert row["max_reason"] != ""
        else:
            assert (row["min_load_w"] >= of_members["min_load_w"]).all()
            assert (row["max_load_w"] <= of_members["max_load_w"]).all()
            assert row["min_load_w"] in set(of_members["min_load_w"])
            assert row["max_load_w"] in set(of_members["max_load_w"])
    shuffled = names.copy()
    chance.shuffle(shuffled)
    again = group_windows(_grouped(shuffled), windows)
    for load in ("min_load_w", "max_load_w"):
        np.testing.assert_array_equal(found[load], again[load])


def _windows(name: str, loads: list) -> pd.DataFrame:
    """Windows of one size at three suction temperatures; None is an empty one."""
    minimum, maximum = zip(*((np.nan, np.nan) if own is None else own for own in loads), strict=True)
    reasons = ["above_mop" if own is None else "stop" for own in loads]
    columns = {
        "family": "f",
        "size": "1",
        "kv_rated_m3h": 1.0,
        "refrigerant": name,
        "application": "e",
        "sst_k": [250.0, 260.0, 270.0],
        "min_load_w": minimum,
        "max_load_w": maximum,
        "min_condition": "high_head",
        "max_condition": "low_head",
        "min_reason": reasons,
        "max_reason": reasons,
    }
    columns |= {f"{kind}_{end}_load_w": np.nan for kind in ("nominal", "confident") for end in ("min", "max")}
    return pd.DataFrame(columns | {"confident_reason": ""})


def _grouped(members: list[str]) -> Catalogue:
    catalogue = plain()
    group = replace(next(iter(catalogue.groups.values())), name="g", members=tuple(members))
    combination = replace(catalogue.combinations[0], family="f", group="g", application="e")
    return replace(catalogue, groups={"g": group}, combinations=(combination,))


# Figure x factor + offset in each unit, exact by definition: the foot of 0.3048 m, the pound of 0.45359237 kg, standard
# gravity, the degree Fahrenheit of 5/9 K.
SI_OF = {
    "degF": ("K", 1.0 / 1.8, 459.67 / 1.8),
    "delta_degF": ("K", 1.0 / 1.8, 0.0),
    "psi_absolute": ("kPa_absolute", PSI_PA / 1000.0, 0.0),
    "psi_gauge": ("bar_gauge", PSI_PA / 1e5, 0.0),
    "psi": ("kPa", PSI_PA / 1000.0, 0.0),
    "in": ("mm", 25.4, 0.0),
    "ft": ("m", 0.3048, 0.0),
    "L/h": ("m3/h", 0.001, 0.0),
    "kW": ("W", 1000.0, 0.0),
}
QUANTITY = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?) (degF|delta_degF|psi_absolute|psi_gauge|psi|in|ft|L/h|kW)(?![\w/])")


def in_si(text: str) -> tuple[str, int]:
    """Every quantity of a config in units of the SI."""
    count = 0

    def with_another_unit(match: re.Match[str]) -> str:
        nonlocal count
        count += 1
        unit, factor, offset = SI_OF[match[2]]
        return f"{float(match[1]) * factor + offset!r} {unit}"

    lines = [
        line if line.lstrip().startswith("#") else QUANTITY.sub(with_another_unit, line) for line in text.splitlines()
    ]
    return "\n".join(lines) + "\n", count


def test_configs_in_si_give_the_data_of_those_in_inch_and_pound(tmp_path):
    folder = tmp_path / "configs"
    shutil.copytree(ROOT / "configs", folder)
    path = folder / "catalogue.yaml"
    path.write_text(re.sub(r"publications: .*", "publications: []", path.read_text(encoding="utf-8")), encoding="utf-8")
    changed = 0
    for file in [*folder.glob("families/*.yaml"), *folder.glob("applications/*.yaml")]:
        text, count = in_si(file.read_text(encoding="utf-8"))
        # A name of connections is no quantity.
        file.write_text(text, encoding="utf-8")
        changed += count
    assert changed > 300
    found = compute_windows(replace(load_catalogue(path), confidence=None))
    expected = compute_windows(plain())
    for name in ("windows", "group_windows", "states"):
        ours, theirs = getattr(found, name), getattr(expected, name)
        assert list(ours) == list(theirs) and len(ours) == len(theirs)
        for column in ours:
            if pd.api.types.is_float_dtype(ours[column]):
                scale = theirs[column].abs().median()
                np.testing.assert_allclose(ours[column], theirs[column], rtol=1e-9, atol=1e-9 * scale, err_msg=column)
            else:
                assert (ours[column].fillna("") == theirs[column].fillna("")).all(), column


@pytest.mark.parametrize("name", ["families", "refrigerants"])
def test_the_order_in_which_a_catalogue_names_things_moves_no_window(name):
    catalogue = plain()
    chosen = tuple(c for c in catalogue.combinations if c.application == "walk_in_medium")
    small = replace(catalogue, combinations=chosen)
    if name == "families":
        other = replace(small, families=dict(reversed(catalogue.families.items())), combinations=chosen[::-1])
    else:
        groups = {n: replace(g, members=g.members[::-1]) for n, g in catalogue.groups.items()}
        other = replace(small, groups=groups)
    keys = ["family", "size", "group", "application", "sst_k"]
    first, second = (compute_windows(c).group_windows.set_index(keys).sort_index() for c in (small, other))
    assert len(first) > 500
    for load in ("min_load_w", "max_load_w"):
        np.testing.assert_array_equal(first[load], second[load])
