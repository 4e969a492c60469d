"""What is printed of a catalogue, and the combinations that are computed or left out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from tablegen.model.booklet_contents import WHOLE_BOOKLET, BookletContents
from tablegen.model.company import Logo
from tablegen.model.exercise_plan import ExercisePlan


@dataclass(frozen=True, slots=True)
class Combination:
    """One printed part: a family, a group, an application."""

    family: str
    group: str
    application: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveOutRule:
    """What a rule leaves out, and why; an empty tuple means all.

    A rule is the catalogue's own, or follows from what a family is approved for.
    """

    families: tuple[str, ...]
    groups: tuple[str, ...]
    applications: tuple[str, ...]
    why: str
    count: int = 0

    def takes(self, combination: Combination) -> bool:
        """Whether the rule leaves a combination out."""
        named = ((self.families, combination.family), (self.groups, combination.group))
        return all(not names or name in names for names, name in (*named, (self.applications, combination.application)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """One way in which a publication is printed: the name of its file, paper, units, and whether graphs are SVG or PNG files too.

    A load unit is so many watts; a printed temperature is scale x kelvin + offset. `publication` is the name in the
    config, `region` whose cautions are printed, empty for the company's.
    """

    name: str
    paper: str
    units: str
    load_unit: str
    load_unit_w: float
    temperature_scale: float
    temperature_offset: float
    graph_files: bool = False
    png_files: bool = False
    publication: str = ""
    region: str = ""
    language: str = "en"

    @property
    def graph_kinds(self) -> tuple[str, ...]:
        """The kinds of files that its graphs are written as, by their endings; empty where they are none."""
        return tuple(kind for kind, wanted in (("svg", self.graph_files), ("png", self.png_files)) if wanted)

    def is_like(self, other: Printed) -> bool:
        """Whether another has the same paper and units."""
        return (self.paper, self.units, self.load_unit) == (other.paper, other.units, other.load_unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class Booklet:
    """One booklet: the parts that it prints, the rules that leave computed ones out of print, and what is chosen of it.

    Of a publication with a booklet for each family, `series` is the publication's name in the config, and `family` the
    one family of a booklet; the booklet of a series without a family is the index that leads to the others.
    """

    printed: Printed
    combinations: tuple[Combination, ...]
    left_out: tuple[LeaveOutRule, ...] = ()
    series: str = ""
    family: str = ""
    contents: BookletContents = WHOLE_BOOKLET

    @property
    def is_index(self) -> bool:
        """Whether it leads to the booklets of single families, and prints no table itself."""
        return bool(self.series) and not self.family

    @property
    def has_tables(self) -> bool:
        """Whether it prints tables: neither an index nor the separate sections of a booklet."""
        return self.contents.has_tables and not self.is_index


@dataclass(frozen=True, slots=True, kw_only=True)
class CounterChart:
    """One counter chart: whose it is, and what it shows; its rows and columns are round in its printed units.

    `stock` names the sizes that the wholesaler stocks for each of the groups: those of the stock sheet with the group's
    charge, or the publication's own list; `not_in_stock` are groups that are left out, for the sheet has nothing for them.
    Columns are `column_width` of a printed temperature wide. The `logo` is the wholesaler's.
    """

    printed: Printed
    title: str
    wholesaler: str
    telephone: str
    column_width: float
    family: str
    application: str
    groups: tuple[str, ...]
    stock: Mapping[str, tuple[str, ...]]
    not_in_stock: tuple[str, ...] = ()
    logo: Logo | None = None


@dataclass(frozen=True, slots=True)
class Unstocked:
    """A chart or labels that are left out, for the stock sheet has nothing for any of their groups."""

    publication: str
    family: str
    application: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """A label sheet: a grid of labels and, from the paper's upper left corner, where it begins; lengths [m].

    `first` is the label that is printed first, counted row by row: those before it are used.
    """

    columns: int
    rows: int
    label_width_m: float
    label_height_m: float
    left_margin_m: float
    top_margin_m: float
    column_gap_m: float = 0.0
    row_gap_m: float = 0.0
    first: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfLabels:
    """Labels for a wholesaler's shelf: one for each size in stock and group, with its windows at two SSTs [K].

    `stock` and `not_in_stock` are as on a chart.
    """

    printed: Printed
    wholesaler: str
    family: str
    application: str
    groups: tuple[str, ...]
    stock: Mapping[str, tuple[str, ...]]
    not_in_stock: tuple[str, ...] = ()
    sst_k: tuple[float, ...]
    sheet: LabelSheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Handout:
    """A teacher's handout: for whom it is, the seed of its exercises, and the part that it teaches.

    The loads and SSTs of exercises are round in the printed units. `blank_diagrams` adds axes to draw into.
    """

    printed: Printed
    title: str
    school: str
    class_label: str
    seed: int
    family: str
    application: str
    group: str
    blank_diagrams: bool = False
    exercises: ExercisePlan = field(default_factory=ExercisePlan)
