"""A data set seen by the pages: its inputs, its words, and what is printed of it."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

import pandas as pd

from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.report.formatter import Formatter

PAPER_NAMES = {"a4": "A4", "letter": "Letter"}
SIZE_COLUMNS = ("size", "smaller_size", "first_size", "second_size", "lower_size", "upper_size")
# Fixed head pressure is kept some 10 to 15 degF below the rating point; floating, it falls by 30 degF and more (common
# practice).
_FLOATED_BELOW_K = 20.0 / 1.8
CONDITION_NAMES = {"low_head": "Low head", "rating": "Rating point", "high_head": "High head"}


@dataclass(frozen=True, slots=True)
class Part:
    """One printed combination by its names."""

    family: str
    group: str
    application: str


@dataclass(frozen=True, slots=True)
class Publication:
    """A data set with the words it is printed in; its frames call sizes by their display names."""

    data: DataSet
    formatter: Formatter
    booklet: dict[str, Any] | None = None
    _states_by: dict[Any, pd.DataFrame] = field(init=False, repr=False, compare=False)
    # Those at one suction temperature that were asked for; most are asked for by several pages.
    _states_at: dict[Any, pd.DataFrame] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "data", _with_display_names(self.data))
        by = dict(list(self.data.states.groupby(["application", "refrigerant"], sort=False)))
        object.__setattr__(self, "_states_by", by)
        object.__setattr__(self, "_states_at", {})

    @classmethod
    def of(cls, data: DataSet) -> Publication:
        """All of a data set, in the units of its catalogue."""
        printing = data.manifest["inputs"]["printing"]
        return cls(data, Formatter(printing["units"], printing["load_unit"]))

    @classmethod
    def printed(cls, data: DataSet, kind: str, name: str) -> tuple[Publication, dict[str, Any]]:
        """The publication of a kind (`booklets`, `charts`, `handouts`) that goes to a file, and its inputs."""
        own: dict[str, Any] = next(e for e in data.manifest["inputs"][kind] if e["printed"]["name"] == name)
        formatter = Formatter(own["printed"]["units"], own["printed"]["load_unit"])
        return cls(data, formatter, own if kind == "booklets" else None), own

    @staticmethod
    def paper(printed: dict[str, Any]) -> str:
        """The paper of a publication's inputs, as `Document` calls it."""
        return PAPER_NAMES[printed["printed"]["paper"]]

    @property
    def inputs(self) -> dict[str, Any]:
        """The inputs of the data set, in SI."""
        inputs: dict[str, Any] = self.data.manifest["inputs"]
        return inputs

    @property
    def printing(self) -> dict[str, Any]:
        """Title, company, notice, revision, date, and the workbook's units."""
        printing: dict[str, Any] = self.inputs["printing"]
        return printing

    @property
    def stamp(self) -> str:
        """What a graph by itself says of its origin: the notice and the data."""
        return f"{self.printing['notice']} Data {self.data.fingerprint}."

    @property
    def date(self) -> datetime.date:
        """The catalogue's date."""
        return datetime.date.fromisoformat(self.printing["date"])

    @property
    def parts(self) -> list[Part]:
        """The combinations that are printed, in catalogue order; without a booklet all that are computed."""
        combinations = (self.booklet or self.inputs)["combinations"]
        return [Part(c["family"], c["group"], c["application"]) for c in combinations]

    def applications(self) -> Iterator[tuple[str, list[Part]]]:
        """Each application that has parts, with them."""
        for name in self.inputs["applications"]:
            parts = [p for p in self.parts if p.application == name]
            if parts:
                yield name, parts

    def application(self, name: str) -> dict[str, Any]:
        """An application's inputs."""
        found: dict[str, Any] = self.inputs["applications"][name]
        return found

    @property
    def floats(self) -> bool:
        """Whether the head pressure of any part floats."""
        return any(self.is_floated(part.application, self.members(part.group)[0]) for part in self.parts)

    def is_floated(self, application: str, refrigerant: str) -> bool:
        """Whether the low head of an application is as low for a refrigerant as floating head pressure is."""
        states = self.states(application, refrigerant, self.application(application)["example_sst_k"])
        bubble_k = states["head_bubble_temperature_k"]
        return bool(bubble_k["low_head"] < bubble_k["rating"] - _FLOATED_BELOW_K)

    def is_thermostatic(self, family: str) -> bool:
        """Whether a bulb opens the valves of a family; a controller opens the others."""
        return bool(self.inputs["families"][family]["kind"] == "thermostatic")

    def family(self, name: str) -> str:
        """What a family is called in print."""
        return str(self.inputs["families"][name]["display_name"])

    def size(self, family: str, name: str) -> str:
        """What a size is called in print."""
        sizes = self.inputs["families"][family]["sizes"]
        return next((str(size["display_name"]) for size in sizes if size["name"] == name), name)

    def articles(self, family: str) -> list[dict[str, Any]]:
        """The articles that stand for valves of a family, as the catalogue lists them."""
        listed = self.inputs.get("articles", ())
        return [article for article in listed if article["family"] in ("", family)]

    def members(self, group: str) -> list[str]:
        """A group's refrigerants."""
        return [str(m) for m in self.inputs["groups"][group]["members"]]

    def rows(self, frame: pd.DataFrame, part: Part) -> pd.DataFrame:
        """The rows of a frame that belong to a part."""
        is_of_group = (frame["family"] == part.family) & (frame["group"] == part.group)
        chosen: pd.DataFrame = frame[is_of_group & (frame["application"] == part.application)]
        return chosen

    def states(self, application: str, refrigerant: str, sst_k: float) -> Any:
        """States at one suction temperature, at full flow, of the first response and flow law solved."""
        key = application, refrigerant, sst_k
        if key not in self._states_at:
            self._states_at[key] = self._at(*key)
        return self._states_at[key]

    def _at(self, application: str, refrigerant: str, sst_k: float) -> pd.DataFrame:
        s = self._states_by[application, refrigerant]
        # One family's law is as good as another's here: only states that no law touches are printed.
        chosen: pd.DataFrame = s[((s["sst_k"] - sst_k).abs() < 1e-6) & s["limit"].isin(["both", "max"])]
        chosen = chosen[chosen["suction_response"] == chosen["suction_response"].iloc[0]]
        found: pd.DataFrame = chosen.drop_duplicates("condition").set_index("condition")
        return found

    def element(self, part: Part) -> dict[str, Any]:
        """What the family is fitted with for a part; empty where it offers nothing."""
        windows = self.data.windows
        is_of_part = (windows["family"] == part.family) & (windows["application"] == part.application)
        charge = windows.loc[is_of_part & (windows["refrigerant"] == self.members(part.group)[0]), "charge"].iloc[0]
        elements = self.inputs["families"][part.family]["elements"]
        return next((dict(element) for element in elements if element["name"] == charge), {})


def _with_display_names(data: DataSet) -> DataSet:
    """A data set whose frames call each size as it is printed; display names differ within a family, as keys do."""
    called = {
        (family, size["name"]): size["display_name"]
        for family, own in data.manifest["inputs"]["families"].items()
        for size in own["sizes"]
        if size["display_name"] != size["name"]
    }
    if not called:
        return data
    frames: dict[str, Any] = {name: _renamed(getattr(data, name), called) for name in FRAMES}
    return replace(data, **frames)


def _renamed(frame: pd.DataFrame, called: dict[tuple[str, str], str]) -> pd.DataFrame:
    columns = [column for column in SIZE_COLUMNS if column in frame] if "family" in frame else []
    return frame.assign(
        **{
            column: [called.get(pair, pair[1]) for pair in zip(frame["family"], frame[column], strict=True)]
            for column in columns
        }
    )
