"""The demo's bench files, made from a known truth: `python -m tests.bench.demo_data` writes them anew."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np

from tablegen.bench.readings import BenchRows
from tablegen.model.inputs import Catalogue, PowerElement
from tests.bench.invented import PSI, Noise, Plan, Truth, balance_plan, changed, flow_plan, joined, readings
from tests.demo import demo_catalogue
from tests.registry import refrigerant

FOLDER = Path(__file__).resolve().parents[2] / "configs" / "bench"
SITE_PSI = 14.696
CHARGE = "cross-404-medium"
# Lines of the files, and what spoils a reading there.
ALDER_OUTLIERS = {39: ("flow_kg_s", lambda flow: 1.09 * flow), 82: ("bulb_temperature_k", lambda bulb: bulb + 1.0)}
LARCH_OUTLIERS = {17: ("flow_kg_s", lambda flow: 0.88 * flow)}
HEADER_LINES = 6


def alder_element(catalogue: Catalogue | None = None) -> PowerElement:
    """The charge on the bench, of the demo if no other is given."""
    families = (catalogue or demo_catalogue()).families
    return next(t for t in families["alder"].elements if t.name == CHARGE)


def alder_truth(catalogue: Catalogue | None = None) -> Truth:
    """What the invented readings of alder are made from: the settings of a catalogue, a little off."""
    setting = alder_element(catalogue).setting
    assert setting is not None
    return Truth(
        {"32": 31.8e-3, "45": 45.4e-3, "90": 88.9e-3},
        None,
        (),
        setting.static_superheat_k + 0.1 / 1.8,
        1.05 * setting.opening_superheat_k,
        0.003,
        setting.pressure_drop_pa,
        setting.bulb_temperature_k,
    )


LARCH_TRUTH = Truth({"32": 31.2e-3, "80": 80.7e-3}, 0.88)


def alder_rows(catalogue: Catalogue | None = None) -> BenchRows:
    """Flow at five openings and four drops, and openings over bulb temperature."""
    fluid, truth = refrigerant("R404A"), alder_truth(catalogue)
    charge = alder_element(catalogue).actuator.balance.charge
    rows = joined(
        readings(truth, flow_plan(truth.kv_m3h), Noise(), 20261120, fluid),
        readings(truth, balance_plan("45"), Noise(), 20261121, fluid, charge, CHARGE),
    )
    return spoilt(rows, ALDER_OUTLIERS)


def larch_rows() -> BenchRows:
    """Open all the time, at drops below and beyond choking."""
    rows = [
        (size, 1.0, p1, p1 - drop, liquid)
        for size in LARCH_TRUTH.kv_m3h
        for p1, liquid in ((250.0, 70.0), (285.0, 95.0))
        for drop in (20.0, 45.0, 75.0, 110.0, 150.0, 190.0)
    ]
    made = readings(LARCH_TRUTH, Plan(rows), Noise(opening=0.0), 20261122, refrigerant("R448A"))
    return spoilt(made, LARCH_OUTLIERS)


def spoilt(rows: BenchRows, outliers) -> BenchRows:
    for line, (name, change) in outliers.items():
        rows = changed(rows, **{name: (line - HEADER_LINES + 1, change)})
    return rows


def truth_in_words(truth: Truth) -> str:
    """What a file's remark says of what its readings were made from."""
    text = ", ".join(f"Kv of size {size} = {kv:.4f} m3/h" for size, kv in truth.kv_m3h.items())
    if truth.recovery is not None:
        return f"{text}, pressure recovery factor = {100.0 * truth.recovery:g} percent"
    return (
        f"{text}, unbalance = {100.0 * truth.unbalance:g} percent, static superheat = "
        f"{1.8 * truth.static_superheat_k:.4g} degF, opening superheat = {1.8 * truth.opening_superheat_k:.4g} degF"
    )


def as_csv(rows: BenchRows, family: str, truth: Truth, about: str) -> str:
    """Rows with the digits that instruments show; pressures are read on gauges."""
    target = io.StringIO()
    target.write(
        f"# INVENTED DATA of the invented family {family}: no bench, no valve.  Made from a known truth with the\n"
        f"# scatter of usual instruments; {about}\n"
        "# date: 2026-11-20\n"
        f"# site_pressure: {SITE_PSI} psi_absolute\n"
        f"# truth: {truth_in_words(truth)}\n"
    )
    has_bulb = np.isfinite(rows.bulb_temperature_k).any()
    columns = [
        "refrigerant",
        "size",
        "inlet_pressure [psi_gauge]",
        "inlet_temperature [degF]",
        "outlet_pressure [psi_gauge]",
        "mass_flow [lb/h]",
        "opening [percent]",
    ]
    columns += ["charge", "bulb_temperature [degF]", "evaporator_pressure [psi_gauge]"] if has_bulb else []
    target.write(",".join([*columns, "note"]) + "\n")

    def figure(value: float, places: int) -> str:
        return "" if np.isnan(value) else f"{value:.{places}f}"

    for i in range(len(rows.line)):
        cells = [
            rows.refrigerant[i],
            rows.size[i],
            figure(rows.inlet_pressure_pa[i] / PSI - SITE_PSI, 1),
            figure(rows.inlet_temperature_k[i] * 1.8 - 459.67, 1),
            figure(rows.outlet_pressure_pa[i] / PSI - SITE_PSI, 1),
            figure(rows.flow_kg_s[i] * 3600.0 / 0.45359237, 1),
            figure(100.0 * rows.opening[i], 1),
        ]
        if has_bulb:
            cells += [
                rows.charge[i],
                figure(rows.bulb_temperature_k[i] * 1.8 - 459.67, 2),
                figure(rows.evaporator_pressure_pa[i] / PSI - SITE_PSI, 1),
            ]
        note = "stroke set by hand" if not rows.charge[i] else "stroke follows the bulb"
        target.write(",".join([*map(str, cells), note if has_bulb else "open all the time"]) + "\n")
    return target.getvalue()


def as_si_csv(rows: BenchRows, full_steps: int | None = None) -> str:
    """Every reading with all its digits, in SI units, absolute."""
    columns = {
        "refrigerant": rows.refrigerant,
        "size": rows.size,
        "inlet_pressure [kPa_absolute]": rows.inlet_pressure_pa / 1e3,
        "inlet_temperature [K]": rows.inlet_temperature_k,
        "outlet_pressure [kPa_absolute]": rows.outlet_pressure_pa / 1e3,
        "mass_flow [kg/h]": 3600.0 * rows.flow_kg_s,
    }
    if rows.has_specimens:
        columns["specimen"] = rows.specimen
    if full_steps is None:
        columns |= {
            "opening [percent]": 100.0 * rows.opening,
            "charge": rows.charge,
            "bulb_temperature [K]": rows.bulb_temperature_k,
            "bulb_pressure [kPa_absolute]": rows.bulb_pressure_pa / 1e3,
            "evaporator_pressure [kPa_absolute]": rows.evaporator_pressure_pa / 1e3,
        }
    else:
        columns["steps"] = np.round(full_steps * rows.opening)
    lines = [",".join(columns)]
    for cells in zip(*columns.values(), strict=True):
        lines.append(",".join(c if isinstance(c, str) else "" if np.isnan(c) else repr(float(c)) for c in cells))
    return "\n".join(lines) + "\n"


def files() -> dict[str, str]:
    """Every demo file by name."""
    return {
        "alder.csv": as_csv(alder_rows(), "alder", alder_truth(), "two readings are wrong on purpose."),
        "larch.csv": as_csv(larch_rows(), "larch", LARCH_TRUTH, "one reading is wrong on purpose."),
    }


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for name, text in files().items():
        (FOLDER / name).write_text(text, encoding="utf-8")
