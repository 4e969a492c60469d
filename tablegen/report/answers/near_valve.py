"""The section of a pick on pressure drops assumed, distributor nozzle and solenoid valve by the same flow."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tablegen.answers.case import members_of
from tablegen.answers.near_valve import PartMisfit
from tablegen.model.nearby_parts import PartKind
from tablegen.report.answer import BLANK, Answer, AnswerColumn, AnswerTable, Value
from tablegen.report.answers.cases import gauge_text
from tablegen.report.formatter import NBSP
from tablegen.wording import near_valve as wording

if TYPE_CHECKING:
    from tablegen.answers.near_valve import PartChoice
    from tablegen.answers.pick import Picked
    from tablegen.model.inputs import Catalogue
    from tablegen.report.formatter import Formatter

# A nozzle's drop that differs by more of what is assumed is worth another look.
_NOTED = 0.05
_PLACES = {"IP": 1, "SI": 0}


def near_section(catalogue: Catalogue, picked: Picked, formatter: Formatter) -> Answer:
    """The section; of parts that the catalogue does not have, or where no valve fits, nothing is said."""
    tables = [_assumed(catalogue, picked, formatter)]
    if picked.nearby:
        tables.append(_parts(catalogue, picked, formatter))
    notes = [note for choice in picked.nearby if choice.misfit is None and (note := _note(choice, formatter))]
    if picked.nearby and len(members_of(catalogue, picked.case.refrigerant)) > 1:
        notes.append(wording.OF_GROUP())
    heading = wording.HEADING if picked.nearby else wording.DROPS_HEADING
    return Answer(key="near_valve", heading=heading(), tables=tuple(tables), notes=tuple(notes))


def _drop(formatter: Formatter, pressure_pa: float) -> str:
    """A drop of a part, to a figure more than losses are stated with."""
    return formatter.drop(pressure_pa, _PLACES[formatter.system])


def _assumed(catalogue: Catalogue, picked: Picked, formatter: Formatter) -> AnswerTable:
    """The losses of the application for each refrigerant; printed once where they are the same."""
    systems = catalogue.applications[picked.case.application].systems
    losses = {name: systems[name].losses for name in members_of(catalogue, picked.case.refrigerant)}
    is_one = len(set(losses.values())) == 1
    columns = (
        AnswerColumn(("refrigerant",), "" if is_one else wording.REFRIGERANT()),
        AnswerColumn(("liquid_line_pa",), wording.LIQUID_LINE()),
        AnswerColumn(("lift_m",), wording.LIFT()),
        AnswerColumn(("distributor_pa",), wording.DISTRIBUTOR()),
        AnswerColumn(("evaporator_pa",), wording.EVAPORATOR()),
    )
    rows = [
        (
            Value(name, (name,)),
            Value.measured(own.liquid_line_pa, formatter.drop),
            Value(formatter.length(own.lift_m) if own.lift_m else "", (own.lift_m,)),
            Value.measured(own.distributor_pa, formatter.drop),
            Value.measured(own.evaporator_pa, formatter.drop),
        )
        for name, own in losses.items()
    ]
    return AnswerTable(
        key="assumed_drops",
        title=wording.ASSUMED(),
        columns=columns,
        rows=tuple(rows),
        printed_rows=1 if is_one else None,
    )


def _parts(catalogue: Catalogue, picked: Picked, formatter: Formatter) -> AnswerTable:
    """A row for each part: its size and pressure drops, or why no size fits."""
    is_group = len(members_of(catalogue, picked.case.refrigerant)) > 1
    columns = (
        AnswerColumn(("kind",), wording.PART()),
        AnswerColumn(("part", "size"), wording.SIZE()),
        AnswerColumn(("low_head_drop_pa", "rating_drop_pa", "high_head_drop_pa"), wording.DROPS()),
        AnswerColumn(("assumed_drop_pa",), wording.ASSUMED_DROP()),
        AnswerColumn(("refrigerant",), wording.REFRIGERANT() if is_group else ""),
        AnswerColumn(("misfit",), wording.BECAUSE()),
        AnswerColumn(("kv_m3h", "minimum_drop_pa", "maximum_drop_pa")),
    )
    return AnswerTable(
        key="nearby_parts",
        title=wording.PARTS(),
        columns=columns,
        rows=tuple(_row(catalogue, choice, formatter) for choice in picked.nearby),
    )


def _row(catalogue: Catalogue, choice: PartChoice, formatter: Formatter) -> tuple[Value, ...]:
    part, size = choice.part, choice.size
    name, key, text = wording.NONE_FITS(part=part.display_name), "", BLANK
    drops: tuple[float, ...] = (math.nan,) * 3
    exported = drops
    if size is not None and choice.misfit is None:
        figures = [_drop(formatter, own).split(NBSP) for own in choice.drops_pa]
        name, key, drops = part.called(size), size.name, choice.drops_pa
        text = f"{' / '.join(figure for figure, _ in figures)}{NBSP}{figures[0][1]}"
        exported = (size.kv_m3h, *choice.range_pa)
    assumed = wording.OF_LIQUID_LINE if part.kind is PartKind.SOLENOID_VALVE else wording.OF_DISTRIBUTOR
    return (
        Value(wording.KINDS[part.kind](), (part.kind.value,)),
        Value(name, (part.name, key)),
        Value(text, drops),
        Value.measured(choice.assumed_pa, lambda drop: assumed(drop=formatter.drop(drop))),
        Value.of(choice.refrigerant),
        Value(_why(catalogue, choice, formatter), (choice.misfit.value if choice.misfit else "",)),
        Value.exported(*exported),
    )


def _why(catalogue: Catalogue, choice: PartChoice, formatter: Formatter) -> str:
    """Why no size of a part fits; empty where one does."""
    part, name, size = choice.part, choice.refrigerant, choice.size
    if choice.misfit is PartMisfit.NOT_APPROVED:
        return part.approved.why_not(name, catalogue.records[name].safety_group)
    if choice.misfit is PartMisfit.OVER_PRESSURE:
        head, working = (gauge_text(own, 0.0, formatter) for own in (choice.excess_pa, part.working_pressure_gauge_pa))
        return wording.OVER_PRESSURE(head=head, working=working, refrigerant=name)
    if choice.misfit is PartMisfit.OVER_DIFFERENTIAL:
        drop, allowed = (formatter.differential(own) for own in (choice.excess_pa, part.allowed_differential_pa))
        return wording.OVER_DIFFERENTIAL(drop=drop, allowed=allowed, refrigerant=name)
    if choice.misfit is None or size is None:
        return ""
    smallest, largest = (_drop(formatter, own) for own in choice.range_pa)
    if choice.misfit is PartMisfit.DROP_ABOVE_MAXIMUM:
        maximum = _drop(formatter, part.maximum_drop_pa)
        return wording.DROP_ABOVE_MAXIMUM(size=size.display_name, drop=largest, maximum=maximum)
    if choice.misfit is PartMisfit.DROP_BELOW_MINIMUM:
        minimum = _drop(formatter, size.minimum_drop_pa)
        return wording.DROP_BELOW_MINIMUM(size=size.display_name, drop=smallest, minimum=minimum)
    return wording.FAR_FROM_ASSUMED(size=size.display_name, drop=_drop(formatter, choice.drops_pa[1]))


def _note(choice: PartChoice, formatter: Formatter) -> str:
    """What a chosen size means for the limits; empty where it means nothing."""
    assert choice.size is not None
    part, own_pa, assumed_pa = choice.part.called(choice.size), choice.drops_pa[1], choice.assumed_pa
    drop, assumed = _drop(formatter, own_pa), formatter.drop(assumed_pa)
    if choice.part.kind is PartKind.DISTRIBUTOR_NOZZLE:
        is_off = abs(own_pa / assumed_pa - 1.0) > _NOTED
        return wording.NOZZLE_OFF(assumed=assumed, part=part, drop=drop) if is_off else ""
    if own_pa > assumed_pa:
        return wording.SOLENOID_BEYOND(assumed=assumed, part=part, drop=drop)
    left = _drop(formatter, assumed_pa - own_pa)
    return wording.SOLENOID_WITHIN(assumed=assumed, part=part, drop=drop, left=left)
