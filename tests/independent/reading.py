"""Configs to SI numbers, by a unit table of our own: the package's reader is what is being checked."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

# Exact by definition: the pound of 0.45359237 kg, standard gravity, the inch of 25.4 mm.
G_STANDARD = 9.80665
_PSI = 0.45359237 * G_STANDARD / 0.0254**2
# Cv, US gallons per minute at 1 psi, over Kv, m3/h at 1 bar; as IEC 60534 rounds it.
_CV_PER_KV = 1.156

_SCALES = {
    "Pa": 1.0,
    "kPa": 1e3,
    "MPa": 1e6,
    "bar": 1e5,
    "psi": _PSI,
    "delta_degF": 5.0 / 9.0,
    "delta_degC": 1.0,
    "m3/h": 1.0,
    "L/h": 1e-3,
    "US_gal/min": 1.0 / _CV_PER_KV,
    "m": 1.0,
    "mm": 1e-3,
    "ft": 0.3048,
    "in": 0.0254,
    "percent": 0.01,
    "kW": 1e3,
    "W": 1.0,
    "W/m": 1.0,
    "J/(m K)": 1.0,
    "s": 1.0,
    "percent/K": 0.01,
}


def number(text: str, site_pressure: float | None = None) -> float:
    """One quantity in SI; a gauge pressure needs the site's, a flow coefficient comes out as Kv [m3/h]."""
    figure, unit = str(text).split(maxsplit=1)
    value = float(figure)
    if unit == "degF":
        return (value + 459.67) * 5.0 / 9.0
    if unit == "degC":
        return value + 273.15
    if unit == "K":
        return value
    if unit.endswith("_gauge"):
        if site_pressure is None:
            raise ValueError(f"{text}: gauge without a site pressure")
        return value * _SCALES[unit.removesuffix("_gauge")] + site_pressure
    return value * _SCALES[unit.removesuffix("_absolute")]


def maybe(text: str | None, default: float = float("nan")) -> float:
    """A quantity that may be left out."""
    return default if text is None else number(text)


def read(path: Path) -> dict[str, Any]:
    """One YAML 1.2 file as dicts, lists and scalars."""
    with path.open(encoding="utf-8") as stream:
        loaded: dict[str, Any] = YAML(typ="safe", pure=True).load(stream)
    return loaded


def overlaid(base: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """A mapping with another laid over it, key by key."""
    merged = dict(base)
    for key, value in over.items():
        below = merged.get(key)
        both = isinstance(below, Mapping) and isinstance(value, Mapping)
        merged[key] = overlaid(below, value) if both else value  # type: ignore[arg-type]
    return merged


class Configs:
    """A catalogue file with everything that it names."""

    def __init__(self, catalogue: Path, registry: Path) -> None:
        folder = catalogue.parent
        self.catalogue = read(catalogue)
        self.groups: dict[str, Any] = read(folder / "groups.yaml")["groups"]
        self.families, self.applications = (
            {name: read(folder / kind / f"{name}.yaml") for name in self.catalogue[kind]}
            for kind in ("families", "applications")
        )
        self.refrigerants = {path.stem: read(path) for path in sorted(registry.glob("*.yaml"))}
        for path in sorted((folder / "refrigerants").glob("*.yaml")):
            self.refrigerants[path.stem] = read(path)

    def combinations(self) -> list[tuple[str, str, str]]:
        """Family, group, application of every part that is not left out."""

        def is_out(family: str, group: str, application: str) -> bool:
            own = {"family": family, "group": group, "application": application}
            return any(
                all(
                    name in rule.get(key, name) if isinstance(rule.get(key), list) else name == rule.get(key, name)
                    for key, name in own.items()
                )
                for rule in self.catalogue.get("leave_out", ())
            )

        return [
            (family, group, application)
            for family in self.catalogue["families"]
            for application in self.catalogue["applications"]
            for group in self.catalogue["groups"]
            if not is_out(family, group, application)
        ]

    def application(self, name: str, refrigerant: str) -> dict[str, Any]:
        """An application as it is for one refrigerant."""
        whole = dict(self.applications[name])
        special = whole.pop("by_refrigerant", {})
        return overlaid(whole, special.get(refrigerant, {}))

    def members(self, group: str) -> list[str]:
        """Refrigerants of a group."""
        return list(self.groups[group]["members"])


def suction_temperatures(application: Mapping[str, Any]) -> list[float]:
    """The SSTs of an application [K], ascending."""
    grid = application["suction"]["sst_range"]
    coldest, warmest, step = (number(grid[key]) for key in ("minimum", "maximum", "step"))
    count = round((warmest - coldest) / step)
    return [coldest + i * (warmest - coldest) / count for i in range(count + 1)]
