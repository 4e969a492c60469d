"""Views of the database: which sizes cover a load, in SI base units, in the units of the metric trade, and in US units."""

from __future__ import annotations

from dataclasses import dataclass

# What a view gives beside its temperature and its loads.
_FIRST = ("refrigerant", "application")
_SIZE = ("family", "family_name", "size", "size_name", "kv_rated_m3h", "charge")
_LAST = ("min_reason", "max_reason", "part_numbers")
_OWN = {
    "family_name": "f.family_name",
    "size_name": "s.size_name",
    # A number that names no charge is for every charge.
    "part_numbers": (
        "(SELECT coalesce(group_concat(part_number, ', '), '') FROM (SELECT DISTINCT p.part_number FROM part_numbers AS p"
        " WHERE p.family IN ('', w.family) AND p.size IN ('', w.size) AND p.charge IN ('', w.charge)"
        " ORDER BY p.part_number))"
    ),
}
_KW, _KBTU_H = 1000.0, 293.0710701722222


@dataclass(frozen=True, slots=True)
class Relation:
    """A table or a view with its columns."""

    name: str
    columns: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class View(Relation):
    """A view, by the expressions of its columns over a window `w`; one that is not in `own` is that of the window."""

    own: tuple[tuple[str, str], ...]

    def sql(self) -> str:
        """The statement that creates it."""
        own = {**_OWN, **dict(self.own)}
        chosen = ",\n".join(f"  {own.get(column, f'w.{column}')} AS {column}" for column in self.columns)
        return (
            f"CREATE VIEW {self.name} AS SELECT\n{chosen}\nFROM windows AS w"
            "\nJOIN families AS f ON f.family = w.family"
            "\nJOIN size_names AS s ON s.family = w.family AND s.size = w.size"
            "\nWHERE w.min_load_w < w.max_load_w"
        )


def _view(name: str, temperature: str, loads: tuple[str, str], own: dict[str, str]) -> View:
    return View(name, (*_FIRST, temperature, *_SIZE, *loads, *_LAST), tuple(own.items()))


def _loads(unit: str, watt: float) -> dict[str, str]:
    return {f"{end}_load_{unit}": f"w.{end}_load_w / {watt!r}" for end in ("min", "max")}


# Rounded far below what is printed, so that 24 degF is 24 and can be asked for.
VIEWS = (
    _view("sizes_that_cover", "sst_k", ("min_load_w", "max_load_w"), {}),
    _view(
        "sizes_that_cover_si",
        "sst_degc",
        ("min_load_kw", "max_load_kw"),
        {"sst_degc": "round(w.sst_k - 273.15, 6)", **_loads("kw", _KW)},
    ),
    _view(
        "sizes_that_cover_ip",
        "sst_degf",
        ("min_load_kbtu_h", "max_load_kbtu_h"),
        {"sst_degf": "round(w.sst_k * 1.8 - 459.67, 6)", **_loads("kbtu_h", _KBTU_H)},
    ),
)
