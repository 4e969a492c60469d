"""Assumptions of a table in words: a step with its unit, what a limit does, and what the inputs rest on."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tablegen.report.formatter import percent, signed
from tablegen.tables.assumed_inputs import StatedIn, StepKind
from tablegen.wording import assumptions as wording

if TYPE_CHECKING:
    from tablegen.model.inputs import Catalogue
    from tablegen.model.publications import Combination
    from tablegen.report.formatter import Formatter

# A change that prints as zero is none.
_PRINTED = 0.0005


def step_text(measure: str, size: float, formatter: Formatter) -> str:
    """A step [SI unit of its measure] with its unit; what is another choice has none."""
    if measure == StepKind.OTHER_CHOICE:
        return wording.OTHER()
    if measure == StepKind.POINTS:
        text = wording.POINTS(value=percent(size, None).removesuffix("%").rstrip())
    elif measure == StepKind.SHARE:
        text = percent(size, None)
    elif measure == StepKind.STEP:
        text = formatter.step(size, 1)
    elif measure == StepKind.LOSS:
        text = formatter.drop(size, 1)
    else:
        text = formatter.length(size)
    return wording.PLUS_MINUS(step=text)


def change_text(down: float, up: float) -> str:
    """What a limit does with a step down and up [1], in percent without the sign for it; empty where it stays."""
    known = [value for value in (down, up) if not math.isnan(value)]
    if all(abs(value) < _PRINTED for value in known):
        return ""
    texts = [wording.NO_WINDOW() if math.isinf(value) else signed(100.0 * value) for value in known]
    return texts[0] if len(texts) == 1 else wording.DOWN_UP(down=texts[0], up=texts[1])


def source_of(catalogue: Catalogue, part: Combination, member: str, origin: str) -> str:
    """What a part of the inputs of a table rests on, as the inputs state it; of its refrigerants for one member."""
    family = catalogue.families[part.family]
    if origin == StatedIn.FLOW_LAW:
        return family.flow_law_reason
    if origin == StatedIn.FAMILY:
        name, source = family.display_name, family.scatter.source
        return wording.IN_FAMILY(family=name, source=source) if source else wording.NO_SOURCE(family=name)
    if origin == StatedIn.REFRIGERANT:
        return catalogue.records[member].uncertainty.reason
    return catalogue.applications[part.application].sources.get(origin) or wording.IN_CONFIG()
