"""Exercises on tables of windows as printed: choosing a size, rounding, groups, rows, head pressures."""

from __future__ import annotations

import pandas as pd

from tablegen.report.asked import EXACT, AskedChoice
from tablegen.report.exercise import Exercise, Table
from tablegen.report.exercise_figures import ExerciseFigures, StepFigure
from tablegen.report.formatter import ratio
from tablegen.report.rounding import round_half_even
from tablegen.units import print_unit
from tablegen.wording import exercises as wording


def pick(figures: ExerciseFigures, row: pd.Series, tables: pd.DataFrame) -> Exercise:
    """Which sizes of a row cover a load, and with which margin."""
    load = figures.load(row["load_w"])
    limits = {str(own["size"]): figures.window(own["min_load_w"], own["max_load_w"]) for _, own in tables.iterrows()}
    margins, steps = {}, []
    for size in (str(row[f"{name}_size"]) for name in ("first", "second") if row[f"{name}_size"]):
        minimum, maximum = limits[size]
        over, under = ratio(load.value / minimum.value), ratio(maximum.value / load.value)
        margins[size] = min(StepFigure(over), StepFigure(under), key=lambda own: own.value)
        steps.append(
            wording.PICK_STEP(
                size=size,
                load=load.figure,
                minimum=minimum.figure,
                maximum=maximum.figure,
                over_minimum=over,
                under_maximum=under,
            )
        )
    first = str(row["first_size"])
    return Exercise(
        kind="pick",
        title=wording.PICK_TITLE(),
        question=wording.PICK(load=load.text, sst=figures.handout.sst(row["sst_k"]), unit=load.unit),
        table=Table(
            [wording.SIZE(), *limits],
            [
                [wording.MINIMUM(), *(minimum.figure for minimum, _ in limits.values())],
                [wording.MAXIMUM(), *(maximum.figure for _, maximum in limits.values())],
            ],
        ),
        steps=[*steps, wording.PICK_FIRST() if row["second_size"] else wording.PICK_ONLY()],
        answer=wording.PICK_ANSWER(size=first, window=_between(*limits[first]), margin=margins[first].figure),
        asked=(
            AskedChoice(what=wording.PICK_ASKED(), right=first, wrong=tuple(size for size in limits if size != first)),
            margins[first].asked(wording.MARGIN_ASKED()),
        ),
        lines=3,
    )


def rounding(figures: ExerciseFigures, row: pd.Series, tables: pd.DataFrame) -> Exercise:
    """Both limits of a window to three figures."""
    formatter = figures.handout.formatter
    unit = print_unit("load", formatter.system, formatter.load_unit)
    exact = [round_half_even(unit.of(row[c]), 5) for c in ("min_load_w", "max_load_w")]
    near = [formatter.load(row[c]) for c in ("min_load_w", "max_load_w")]
    printed = figures.window(row["min_load_w"], row["max_load_w"])
    return Exercise(
        kind="rounding",
        title=wording.ROUNDING_TITLE(),
        question=wording.ROUNDING(
            size=row["size"],
            sst=figures.handout.sst(row["sst_k"]),
            minimum=exact[0],
            maximum=exact[1],
            unit=formatter.load_label,
        ),
        steps=[
            wording.ROUNDING_MINIMUM(exact=exact[0], printed=printed[0].figure, near=near[0]),
            wording.ROUNDING_MAXIMUM(exact=exact[1], printed=printed[1].figure, near=near[1]),
        ],
        answer=_between(*printed),
        asked=(
            printed[0].asked(wording.MINIMUM_ASKED(), EXACT),
            printed[1].asked(wording.MAXIMUM_ASKED(), EXACT),
        ),
        lines=3,
    )


def binding(figures: ExerciseFigures, row: pd.Series, tables: pd.DataFrame) -> Exercise:
    """The window that the refrigerants of a group have in common."""
    limits = {
        str(own["refrigerant"]): figures.window(own["min_load_w"], own["max_load_w"]) for _, own in tables.iterrows()
    }
    minimum, maximum = figures.window(row["min_load_w"], row["max_load_w"])
    members = {"min": str(row["min_member"]), "max": str(row["max_member"])}
    return Exercise(
        kind="binding",
        title=wording.BINDING_TITLE(),
        question=wording.BINDING(size=row["size"], sst=figures.handout.sst(row["sst_k"]), unit=minimum.unit),
        table=Table(
            [wording.BINDING_HEADER(), wording.MINIMUM(), wording.MAXIMUM()],
            [[name, low.figure, high.figure] for name, (low, high) in limits.items()],
        ),
        steps=[
            wording.BINDING_MINIMUM(load=minimum.figure, refrigerant=members["min"]),
            wording.BINDING_MAXIMUM(load=maximum.figure, refrigerant=members["max"]),
        ],
        answer=wording.BINDING_ANSWER(
            window=_between(minimum, maximum), min_refrigerant=members["min"], max_refrigerant=members["max"]
        ),
        asked=(
            minimum.asked(wording.MINIMUM_ASKED(), EXACT),
            maximum.asked(wording.MAXIMUM_ASKED(), EXACT),
            *(
                AskedChoice(what=what(), right=members[limit], wrong=tuple(n for n in limits if n != members[limit]))
                for limit, what in (("min", wording.MIN_MEMBER_ASKED), ("max", wording.MAX_MEMBER_ASKED))
            ),
        ),
        lines=2,
    )


def between(figures: ExerciseFigures, row: pd.Series, tables: pd.DataFrame) -> Exercise:
    """Whether a size covers a load between two rows."""
    cold, warm, common = (
        figures.window(row[f"{kind}min_load_w"], row[f"{kind}max_load_w"]) for kind in ("", "warmer_", "common_")
    )
    verdict, load = str(row["verdict"]), figures.load(row["load_w"])
    yes, no = (wording.BETWEEN_ANSWER[own]() for own in ("yes", "above"))
    rows = ((row["sst_k"], cold), (row["warmer_sst_k"], warm))
    return Exercise(
        kind="between",
        title=wording.BETWEEN_TITLE(),
        question=wording.BETWEEN(
            load=load.text, sst=figures.handout.sst(row["actual_sst_k"]), size=row["size"], unit=load.unit
        ),
        table=Table(
            [wording.BETWEEN_HEADER(), wording.MINIMUM(), wording.MAXIMUM()],
            [[figures.degrees(sst_k).text, low.figure, high.figure] for sst_k, (low, high) in rows],
        ),
        steps=[
            wording.BETWEEN_COMMON(minimum=common[0].figure, maximum=common[1].figure),
            wording.BETWEEN_STEP[verdict](load=load.figure),
        ],
        answer=wording.BETWEEN_ANSWER[verdict](),
        asked=(
            AskedChoice(
                what=wording.COVERS_ASKED(load=load.text),
                right=yes if verdict == "yes" else no,
                wrong=(no if verdict == "yes" else yes,),
            ),
        ),
        lines=2,
    )


def heads(figures: ExerciseFigures, row: pd.Series, tables: pd.DataFrame) -> Exercise:
    """Maximum loads of a size with two lowest head pressures."""
    applications, handout = figures.handout.publication.catalogue.applications, figures.handout
    own, other = (figures.window(row[c], row[c])[1] for c in ("max_load_w", "compared_max_load_w"))
    times = StepFigure(ratio(other.value / own.value))
    return Exercise(
        kind="heads",
        title=wording.HEADS_TITLE(),
        question=wording.HEADS(
            size=row["size"],
            sst=handout.sst(row["sst_k"]),
            own=applications[handout.part.application].title,
            own_head=handout.gauge(row["head_pressure_pa"]),
            refrigerant=row["refrigerant"],
            own_load=own.text,
            other=applications[str(row["compared_application"])].title,
            other_head=handout.gauge(row["compared_head_pressure_pa"]),
            other_load=other.text,
        ),
        steps=[wording.HEADS_RATIO(other=other.figure, own=own.figure, times=times.figure), wording.HEADS_WHY()],
        answer=wording.HEADS_ANSWER(times=times.figure),
        asked=(times.asked(wording.HEADS_ASKED()),),
        lines=3,
    )


def _between(minimum: StepFigure, maximum: StepFigure) -> str:
    """A window with its unit."""
    return wording.WINDOW(minimum=minimum.figure, maximum=maximum.text)
