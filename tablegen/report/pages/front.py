"""The first pages: cover with contents, how to read, one worked example."""

from __future__ import annotations

import pandas as pd

from tablegen.report.formatter import HEAD_NAMES, NBSP, SET_BY_CONTROLLER, kv, percent, ratio
from tablegen.report.pages.window_pages import confidence_sentence, part_title
from tablegen.report.pdf.page import Heading, contents, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.publications.publication import EXTREME_NAMES, Edition, Part

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, HRFlowable, KeepTogether, PageBreak, Spacer


def cover(edition: Edition, width: float) -> list[Flowable]:
    """Title, what is inside, the fingerprint of the data, contents."""
    printing, inputs = edition.printing, edition.inputs
    families = "; ".join(f["title"] for f in inputs["families"].values())
    groups = "; ".join(g["title"] for g in inputs["groups"].values())
    envelopes = "; ".join(e["title"] for e in inputs["envelopes"].values())
    return [
        Spacer(1, 18),
        paragraph(printing["house"], "caption"),
        paragraph(printing["title"], "title"),
        paragraph(
            "Load windows: the least and the greatest system capacity that each valve size handles, from the lowest "
            "head pressure of winter to the highest of summer, stated on the system's rating point."
        ),
        Spacer(1, 6),
        HRFlowable(width="100%", thickness=0.8, color="black", spaceBefore=2, spaceAfter=8),
        facts(
            [
                ("Families", families),
                ("Refrigerants", groups),
                ("Applications", envelopes),
                ("Revision", f"{printing['revision']}, {edition.date.isoformat()}"),
                ("Data fingerprint", edition.data.fingerprint),
                ("Confidence", confidence_sentence(edition).strip()),
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


def how_to_read(edition: Edition) -> list[Flowable]:
    """What a window is, and five steps to a size."""
    rating = _rating_words(edition)
    cold = (
        "a condensing unit with floating head pressure runs at its low setting"
        if edition.floats
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
        "lower the greatest load; smaller losses (no distributor, a short line) raise the least load: have the size "
        "computed for them.",
        "Go to the row of your SST. Between two rows, a size fits only if both rows' windows hold the load.",
        "Every size whose window holds the load fits. If several do, take the one with the most room: of its two ratios, "
        "load over least and greatest over load, the smaller is its room.",
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


def _rating_words(edition: Edition) -> str:
    """The rating point of the first envelope, which the steps speak of."""
    words = edition.words
    envelope = next(iter(edition.inputs["envelopes"].values()))
    rating = next(iter(envelope["envelopes"].values()))["rating"]
    liquid = words.degrees(rating["liquid"]["temperature_k"])
    head = rating["head"]
    if head["condensing_temperature_k"] is None:
        return f"head {words.absolute(head['pressure_pa'])}, liquid at {liquid}"
    basis = {"bubble": "saturated liquid", "dew": "saturated vapor", "mid": "mid-point condensing"}[head["basis"]]
    return f"{words.degrees(head['condensing_temperature_k'])} {basis}, liquid at {liquid}"


def worked_examples(edition: Edition, width: float) -> list[Flowable]:
    """One load for each application, followed through the ledger and the three heads; every figure is the data set's."""
    examples = edition.data.example
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
    for _, parts in edition.envelopes():
        part = next((p for p in parts if len(edition.rows(examples, p))), None)
        if part is not None:
            own = _worked(edition, part, edition.rows(examples, part), width)
            # The heading and its note stand with the first example.
            story.append(KeepTogether(own if story else [*opening, *own]))
    return story


def _worked(edition: Edition, part: Part, own: pd.DataFrame, width: float) -> list[Flowable]:
    first = own.iloc[0]
    rows = edition.rows(edition.data.group_windows, part)
    rows = rows[(rows["sst_k"] - first["sst_k"]).abs() < 1e-6]
    words, load = edition.words, float(first["load_w"])
    holding = rows[(rows["min_load_w"] <= load) & (rows["max_load_w"] >= load)]
    names = [str(size) for size in holding["size"]]
    window = words.window(*(float(rows.set_index("size").loc[first["size"], c]) for c in ("min_load_w", "max_load_w")))
    own_window = f"{window[0]} to {words.with_load_unit(window[1])}"
    held = f"sizes {', '.join(names)} hold the load; size {first['size']}, {own_window}, has the most room."
    if len(names) == 1:
        held = f"only size {first['size']}, {own_window}, holds the load."
    return [
        paragraph(f"{edition.envelope(part.envelope)['title']}: {part_title(edition, part)}", "caption"),
        paragraph(
            f"{first['refrigerant']}, SST {words.degrees(float(first['sst_k']))} (dew); gross capacity at the rating "
            f"point {words.with_load_unit(words.load(load))}. In the row of {words.degrees(float(first['sst_k']))} "
            f"{held} "
            f"{_neighbour(edition, rows, first)} Kv of size {first['size']}: {kv(float(first['kv_rated_m3h']))} m³/h."
        ),
        _example_table(edition, part, own, width),
    ]


def _neighbour(edition: Edition, rows: pd.DataFrame, first: pd.Series) -> str:
    """What the largest size that is too small would do with the example's load."""
    short = rows[rows["max_load_w"] < float(first["load_w"])]
    if short.empty:
        return ""
    smaller = short.iloc[-1]
    greatest = edition.words.window(float(smaller["min_load_w"]), float(smaller["max_load_w"]))[1]
    return (
        f"Size {smaller['size']} ends at {edition.words.with_load_unit(greatest)}: it would starve the evaporator at "
        f"the {HEAD_NAMES[smaller['max_extreme']]}."
    )


def _example_table(edition: Edition, part: Part, own: pd.DataFrame, width: float) -> Flowable:
    words = edition.words
    site = edition.envelope(part.envelope)["site_pressure_pa"]
    header = [
        "",
        f"Head, {words.gauge_label}",
        f"Liquid, {words.temperature_label}",
        "Flow ratio",
        "Mass flow",
        f"System, {words.load_label}",
        "Drop at the port",
        "Required Kv, m³/h",
        "Opening",
        "Superheat",
    ]
    body = [
        [
            EXTREME_NAMES[row["extreme"]].replace(" ", NBSP),
            words.gauge(row["head_pressure_pa"], site),
            words.temperature(row["liquid_temperature_k"], 0),
            ratio(row["flow_ratio"], 3),
            words.mass_flow(row["mass_flow_kg_s"]),
            words.load(row["capacity_w"]),
            words.drop(row["pressure_drop_pa"], 1 if words.system == "IP" else 0),
            kv(row["required_kv_m3h"]),
            percent(row["opening"]),
            words.step(row["superheat_k"], 1) if edition.is_thermostatic(part.family) else SET_BY_CONTROLLER,
        ]
        for _, row in own.iterrows()
    ]
    return data_table(header, body, width, numeric=range(1, len(header)), size=8.5)
