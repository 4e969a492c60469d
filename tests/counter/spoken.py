"""Twenty questions as callers ask them at a counter, and a reader of the chart that hangs behind it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from tests.report.text_boxes import Run, runs_of_page
from tests.us_units import W_PER_KBTU

COOLER, FREEZER = "walk_in_medium", "walk_in_low"
BANDS = {COOLER: "Walk-incooler", FREEZER: "Walk-infreezer"}
GROUPS = {"R404A-R507A": ("R404A", "R507A"), "R448A-family": ("R448A", "R449A", "R407A", "R407F")}
# The units that callers have on labels, by definition [kBtu/h]: a ton of refrigeration is 12,000 Btu/h.
KBTU = {"Btu/h": 1e-3, "kBtu/h": 1.0, "MBH": 1.0, "ton": 12.0, "tons": 12.0, "kW": 1000.0 / W_PER_KBTU}
# What a chart says of a case that it has no cell for.
OFF = "off the chart"
_ROW = re.compile(r"over ([\d.]+) up to ([\d.]+)")


@dataclass(frozen=True)
class Spoken:
    """A question, what the chart's cell must say to it, and the valve that every other way must name, if any.

    `box` or `sst` is in degF. A caller whose case is on the line between two columns may read either: `cell` has both.
    """

    said: str
    refrigerant: str
    application: str
    load: str
    cell: tuple[str, ...]
    valve: str = ""
    box: str = ""
    sst: str = ""
    quantity: str = ""

    @property
    def kbtu(self) -> float:
        figure, unit = self.load.split(" ")
        return float(figure.replace(",", "")) * KBTU[unit]

    @property
    def members(self) -> tuple[str, ...]:
        return GROUPS.get(self.refrigerant, (self.refrigerant,))

    @property
    def place(self) -> dict[str, str]:
        """Box temperature or SST by the name that all ways have for it."""
        return {"box": self.box} if self.box else {"sst": self.sst}


R404A, R448A = "R404A-R507A", "R448A-family"
QUESTIONS = (
    # With margin, and the load as it stands on the label.
    Spoken(
        *("walk-in cooler, 35 degree box, R448A, unit says 18,000 Btu/h", "R448A", COOLER, "18,000 Btu/h"),
        *(("90 63",), "Alder 90"),
        box="35",
    ),
    Spoken(
        *("404 or 507, he could not say; a cooler at 36, one ton", R404A, COOLER, "1 ton", ("90",), "Alder 90"),
        box="36",
    ),
    Spoken(
        "404 freezer, coil at minus 20, a ton and a half",
        R404A,
        FREEZER,
        "1.5 tons",
        ("125 90",),
        "Alder 125",
        sst="-20",
    ),
    Spoken("507, ice cream at minus 5, 3.9 kilowatts", "R507A", FREEZER, "3.9 kW", ("90 125",), "Alder 90", box="-5"),
    Spoken(
        "513, two of them, produce cooler, 38, 4,500 Btu",
        "R513A",
        COOLER,
        "4,500 Btu/h",
        ("32 22",),
        "Alder 32",
        box="38",
        quantity="2",
    ),
    # More than there are of the first choice, which stays the first: the answer names the next, of which there are enough.
    Spoken(
        "134, 40 degree box, 2.2 kilowatts, I need four",
        "R134a",
        COOLER,
        "2.2 kW",
        ("45 32", "45"),
        "Alder 45",
        box="40",
        quantity="4",
    ),
    Spoken(
        "404 beverage cooler, 35, 2,900 Btu, five of them",
        "R404A",
        COOLER,
        "2,900 Btu/h",
        ("16 22",),
        "Alder 16",
        box="35",
        quantity="5",
    ),
    # Between two SST rows of the tables.
    Spoken("404 or 507 at 25 suction, 5.9 MBH", R404A, COOLER, "5.9 MBH", ("45 32",), "Alder 45", sst="25"),
    Spoken("449 at minus 22 suction, 2.95 kilowatts", "R449A", FREEZER, "2.95 kW", ("45",), "Alder 45", sst="-22"),
    # The chart is for the group: one member alone may have a better size, which is in the next column.
    Spoken(
        "407F freezer, minus 10 box, 9 thousand", "R407F", FREEZER, "9 kBtu/h", ("45", "45 32"), "Alder 32", box="-10"
    ),
    Spoken(
        "any of the 448 family, same freezer, 9 thousand",
        R448A,
        FREEZER,
        "9 kBtu/h",
        ("45", "45 32"),
        "Alder 45",
        box="-10",
    ),
    # At the edge of a row, which belongs to the row below it; at both ends of a range of sizes.
    Spoken("404, 30 degree box, 5 thousand even", R404A, COOLER, "5 kBtu/h", ("32",), "Alder 32", box="30"),
    Spoken("404 display case at 35, 1,900 Btu", R404A, COOLER, "1,900 Btu/h", ("16",), "Alder 16", box="35"),
    # Size 63 is not on the shelf with this charge: a gap between 45 and 90, and a load at the end of a window.
    Spoken(
        "404 or 507 at 40 suction, 8.6 thousand",
        R404A,
        COOLER,
        "8.6 kBtu/h",
        ("45 or 90: ask 8.46 to 8.81: look up",),
        "Alder 90",
        sst="40",
    ),
    Spoken(
        "404 for certain, 40 suction, 8.6 thousand",
        "R404A",
        COOLER,
        "8.6 kBtu/h",
        ("45 or 90: ask 8.46 to 8.81: look up",),
        "Alder 45",
        sst="40",
    ),
    Spoken(
        "448 blast freezer, minus 35 suction, 11 thousand",
        R448A,
        FREEZER,
        "11 kBtu/h",
        ("45 or 63: ask 45 to 11.7, 63 over 10.3",),
        "Alder 45",
        sst="-35",
    ),
    # No size on the shelf, off the chart though a size covers it, nothing at all.
    Spoken("134, 45 degree box, two tons", "R134a", COOLER, "2 tons", ("90? ask only to 22.1",), "", box="45"),
    Spoken("507, 38 degree box, three tons", "R507A", COOLER, "3 tons", (OFF,), "", box="38"),
    Spoken("448, 35 degree box, 28 thousand", R448A, COOLER, "28 kBtu/h", (OFF,), "Alder 90", box="35"),
    # A flammable refrigerant, of which there is no valve here.
    Spoken("454C, the flammable one, 35 degree box, 10 thousand", "R454C", COOLER, "10 kBtu/h", (OFF,), "", box="35"),
)


@dataclass(frozen=True)
class WallChart:
    """One sheet of a chart as it stands on the paper: texts where they are, and nothing else."""

    band: str
    """What stands over the table, without spaces: letters set close are no word to who reads their places."""
    columns: dict[str, list[tuple[float, float, float]]]
    """By `box` and `sst`: each column's ends [degF] and its middle on the page."""
    rows: list[tuple[float, float, list[Run]]]
    """Loads over and up to [kBtu/h], and what is printed beside them."""

    @classmethod
    def read(cls, pdf: bytes, number: int) -> WallChart:
        """Page `number` (from 1) of a chart."""
        runs = runs_of_page(pdf, number)
        overs = sorted((run for run in runs if run.text.startswith("over ")), key=lambda run: -run.box.bottom)
        tall = overs[0].box.bottom - overs[1].box.bottom
        heads = {run.text.split()[0].lower(): run for run in runs if run.text.strip() in ("box °F", "SST °F")}
        columns = {name: list(_ends(head, runs)) for name, head in heads.items()}
        rows = []
        for over in overs:
            own = sorted((run for run in runs if abs(_middle(run) - _middle(over)) < 0.5 * tall), key=_reading)
            edge = heads["box"].box.right + 1.0
            label = " ".join("".join(f"{run.text} " for run in sorted(own, key=_left) if run.box.right < edge).split())
            above, upto = map(float, _ROW.fullmatch(label).groups())  # type: ignore[union-attr]
            rows.append((above, upto, [run for run in own if run.box.left > edge]))
        band = "".join(run.text for run in runs if run.box.bottom > heads["box"].box.top)
        return cls("".join(band.split()), columns, rows)

    def cells(self, asked: Spoken) -> tuple[str, ...]:
        """What the cells of a case say, in the order of the columns."""
        ((name, text),) = asked.place.items()
        beside = [runs for above, upto, runs in self.rows if above < asked.kbtu <= upto]
        middles = [middle for low, high, middle in self.columns[name] if low <= float(text) <= high]
        every = [middle for _, _, middle in self.columns[name]]
        found = []
        for middle in middles if beside else ():
            own = [run for run in beside[0] if min(every, key=lambda m: abs(m - _across(run))) == middle]
            found.append(" ".join(" ".join(run.text for run in own).split()))
        return tuple(dict.fromkeys(found)) or (OFF,)


def sizes_of(cell: str) -> list[str]:
    """The sizes that a cell names, the first choice first."""
    return re.findall(r"\d+", re.split(r":|\?", cell)[0])


def _ends(head: Run, runs: list[Run]) -> Iterator[tuple[float, float, float]]:
    for run in runs:
        ends = re.fullmatch(r"(-?\d+) to (-?\d+)", run.text.strip().replace("\N{MINUS SIGN}", "-"))
        if ends and abs(run.box.bottom - head.box.bottom) < 1.0:
            yield float(ends[1]), float(ends[2]), _across(run)


def _left(run: Run) -> float:
    return run.box.left


def _across(run: Run) -> float:
    return (run.box.left + run.box.right) / 2.0


def _middle(run: Run) -> float:
    return (run.box.bottom + run.box.top) / 2.0


def _reading(run: Run) -> tuple[float, float]:
    """Lines from above, each from the left; a cell has two lines at most, and sizes of two heights on one."""
    return (-round(run.box.bottom / 8.0), run.box.left)
