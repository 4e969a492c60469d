"""The first pages: cover with contents, how to read, one worked example."""

from __future__ import annotations

import pandas as pd

from tablegen.report.formatter import NBSP, SET_BY_CONTROLLER, kv, percent, ratio
from tablegen.report.pages.window_pages import confidence_sentence, part_title
from tablegen.report.pdf.page import Heading, contents, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.publications.publication import Part, Publication
from tablegen.wording import terms

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, HRFlowable, KeepTogether, PageBreak, Spacer


def cover(publication: Publication, width: float) -> list[Flowable]:
    """Title, what is inside, the fingerprint of the data, contents."""
    printing, inputs = publication.printing, publication.inputs
    families = "; ".join(f["title"] for f in inputs["families"].values())
    groups = "; ".join(g["title"] for g in inputs["groups"].values())
    applications = "; ".join(e["title"] for e in inputs["applications"].values())
    return [
        Spacer(1, 18),
        paragraph(printing["company"], "caption"),
        paragraph(printing["title"], "title"),
        paragraph(
            "Load windows: the minimum and the maximum system capacity that each valve size handles, from the lowest "
            "head pressure of winter to the highest of summer, stated on the system's rating point."
        ),
        Spacer(1, 6),
        HRFlowable(width="100%", thickness=0.8, color="black", spaceBefore=2, spaceAfter=8),
        facts(
            [
                ("Families", families),
                ("Refrigerants", groups),
                ("Applications", applications),
                ("Revision", f"{printing['revision']}, {publication.date.isoformat()}"),
                ("Data fingerprint", publication.data.fingerprint),
                ("Confidence", confidence_sentence(publication).strip()),
                ("Notice", printing["notice"]),
            ],
            width,
            9.5,
        ),
        HRFlowable(width="100%", thickness=0.8, color="black", spaceBefore=2, spaceAfter=10),
        PageBreak(),
        paragraph("Contents", "caption"),
        contents(),
        PageBreak(),
    ]


def how_to_read(publication: Publication) -> list[Flowable]:
    """What a window is, and five steps to a size."""
    rating = _rating_formatter(publication)
    cold = (
        "a condensing unit with floating head pressure runs at its low setting"
        if publication.floats
        else ("the head pressure of a condensing unit falls to its low setting")
    )
    lead = (
        f"In cold weather {cold}: its compressor pumps more refrigerant while the valve has less pressure drop to pass "
        "it with. On a hot day it is the other way round. A valve picked from one table at one pressure drop therefore "
        "starves in winter or hunts in summer. The windows in this booklet hold at the low head, at the rating point and at the high head alike."
    )
    steps = (
        f"Take the capacity of the system at the rating point of its table ({rating} in most tables), at your saturated suction temperature (SST, dew point). A "
        "capacity stated at other temperatures must first be restated at the rating point.",
        "Find the application and the refrigerant in the contents. Compare the conditions above the table with yours. If "
        "your head goes outside its low to high range, the table does not hold. Greater losses, lift or less subcooling "
        "lower the maximum load; smaller losses (no distributor, a short line) raise the minimum load: have the size "
        "computed for them.",
        "Go to the row of your SST. Between two rows, a size fits only if both rows' windows hold the load.",
        "Every size whose window holds the load fits. If several do, take the one with the most room: of its two ratios, "
        "load over minimum and maximum over load, the smaller is its room.",
        "Order the valve with the bulb charge or drive that is named above the table; a bulb charge also needs the factory "
        "setting and the equalizer named there. Check working pressure, allowed differential and connections.",
    )
    numbered = [paragraph(step, "step", mark=str(i)) for i, step in enumerate(steps, start=1)]
    return [
        Heading("How to read the tables"),
        paragraph(lead),
        *numbered,
        Spacer(1, 4),
        paragraph(
            "The load is the gross refrigerating capacity of the evaporator. A net capacity has the heat of the "
            "evaporator fans to be added first."
        ),
    ]


def _rating_formatter(publication: Publication) -> str:
    """The rating point of the first application, which the steps speak of."""
    formatter = publication.formatter
    application = next(iter(publication.inputs["applications"].values()))
    rating = next(iter(application["systems"].values()))["rating"]
    liquid = formatter.degrees(rating["liquid"]["temperature_k"])
    head = rating["head"]
    if head["condensing_temperature_k"] is None:
        return f"head {formatter.absolute(head['pressure_pa'])}, liquid at {liquid}"
    basis = {"bubble": "saturated liquid", "dew": "saturated vapor", "mid": "mid-point condensing"}[head["basis"]]
    return f"{formatter.degrees(head['condensing_temperature_k'])} {basis}, liquid at {liquid}"


def worked_examples(publication: Publication, width: float) -> list[Flowable]:
    """One load for each application, followed through the ledger and the three heads; every figure is the data set's."""
    examples = publication.data.example
    if examples.empty:
        return []
    opening: list[Flowable] = [
        Heading("Worked examples"),
        paragraph(
            "Flow ratio: compressor mass flow over that at the rating point. Required Kv: flow coefficient that passes "
            "the flow with the pressure drop that is left. Opening: share of rated stroke, of travel or of the cycle. "
            "Superheat: at the evaporator outlet, where a thermostatic valve has its bulb.",
            "small",
        ),
    ]
    story: list[Flowable] = []
    for _, parts in publication.applications():
        part = next((p for p in parts if len(publication.rows(examples, p))), None)
        if part is not None:
            own = _worked(publication, part, publication.rows(examples, part), width)
            # The heading and its note stand with the first example.
            story.append(KeepTogether(own if story else [*opening, *own]))
    return story


def _worked(publication: Publication, part: Part, own: pd.DataFrame, width: float) -> list[Flowable]:
    first = own.iloc[0]
    rows = publication.rows(publication.data.group_windows, part)
    rows = rows[(rows["sst_k"] - first["sst_k"]).abs() < 1e-6]
    formatter, load = publication.formatter, float(first["load_w"])
    holding = rows[(rows["min_load_w"] <= load) & (rows["max_load_w"] >= load)]
    names = [str(size) for size in holding["size"]]
    window = formatter.window(
        *(float(rows.set_index("size").loc[first["size"], c]) for c in ("min_load_w", "max_load_w"))
    )
    own_window = f"{window[0]} to {formatter.with_load_unit(window[1])}"
    held = f"sizes {', '.join(names)} hold the load; size {first['size']}, {own_window}, has the most room."
    if len(names) == 1:
        held = f"only size {first['size']}, {own_window}, holds the load."
    return [
        paragraph(f"{publication.application(part.application)['title']}: {part_title(publication, part)}", "caption"),
        paragraph(
            f"{first['refrigerant']}, SST {formatter.degrees(float(first['sst_k']))} (dew); gross capacity at the rating "
            f"point {formatter.with_load_unit(formatter.load(load))}. In the row of {formatter.degrees(float(first['sst_k']))} "
            f"{held} "
            f"{_neighbour(publication, rows, first)} Kv of size {first['size']}: {kv(float(first['kv_rated_m3h']))} m³/h."
        ),
        _example_table(publication, part, own, width),
    ]


def _neighbour(publication: Publication, rows: pd.DataFrame, first: pd.Series) -> str:
    """What the largest size that is too small would do with the example's load."""
    short = rows[rows["max_load_w"] < float(first["load_w"])]
    if short.empty:
        return ""
    smaller = short.iloc[-1]
    maximum = publication.formatter.window(float(smaller["min_load_w"]), float(smaller["max_load_w"]))[1]
    return (
        f"Size {smaller['size']} ends at {publication.formatter.with_load_unit(maximum)}: it would starve the evaporator at "
        f"the {terms.condition(smaller['max_condition'])}."
    )


def _example_table(publication: Publication, part: Part, own: pd.DataFrame, width: float) -> Flowable:
    formatter = publication.formatter
    site = publication.application(part.application)["site_pressure_pa"]
    header = [
        "",
        f"Head, {formatter.gauge_label}",
        f"Liquid, {formatter.temperature_label}",
        "Flow ratio",
        "Mass flow",
        f"System, {formatter.load_label}",
        "Drop at the port",
        "Required Kv, m³/h",
        "Opening",
        "Superheat",
    ]
    body = [
        [
            terms.condition_title(row["condition"]).replace(" ", NBSP),
            formatter.gauge(row["head_pressure_pa"], site),
            formatter.temperature(row["liquid_temperature_k"], 0),
            ratio(row["flow_ratio"], 3),
            formatter.mass_flow(row["mass_flow_kg_s"]),
            formatter.load(row["capacity_w"]),
            formatter.drop(row["pressure_drop_pa"], 1 if formatter.system == "IP" else 0),
            kv(row["required_kv_m3h"]),
            percent(row["opening"]),
            formatter.step(row["superheat_k"], 1) if publication.is_thermostatic(part.family) else SET_BY_CONTROLLER,
        ]
        for _, row in own.iterrows()
    ]
    return data_table(header, body, width, numeric=range(1, len(header)), size=8.5)
