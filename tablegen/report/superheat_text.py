"""The maximum superheat of an application in words: how much it is, and what gives it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from tablegen.report.formatter import DASH, percent
from tablegen.wording import superheat as wording

if TYPE_CHECKING:
    from tablegen.model.inputs import Application
    from tablegen.physics.system import SuperheatLimits
    from tablegen.report.formatter import Formatter
    from tablegen.report.printed_catalogue import PrintedCatalogue


def maximum_superheat(
    source: PrintedCatalogue, application: Application, refrigerants: Sequence[str], is_short: bool = False
) -> str:
    """The maximum superheat of refrigerants over all rows and operating conditions of an application, with its rule."""
    limits = application.systems[refrigerants[0]].superheat
    if limits.max_k is not None:
        return source.formatter.step(limits.max_k)
    found = (
        state.max_superheat_k
        for refrigerant in refrigerants
        for sst_k in application.sst_k.tolist()
        for state in source.heads(application.name, refrigerant, sst_k).values()
    )
    return superheat_by_rule(source.formatter, limits, found, is_short)


def superheat_by_rule(
    formatter: Formatter, limits: SuperheatLimits, maxima_k: Iterable[float], is_short: bool = False
) -> str:
    """A maximum superheat or its range [K] with the rule that gives it; a stated one is only its figure."""
    known = [value for value in maxima_k if math.isfinite(value)]
    figure = formatter.step_span(known) if known else DASH
    if limits.max_share is not None:
        message = wording.SHORT_SHARE if is_short else wording.SHARE
        return message(maximum=figure, share=percent(limits.max_share, None))
    if limits.capacity_loss is not None:
        message = wording.SHORT_LOSS if is_short else wording.LOSS
        return message(maximum=figure, loss=percent(limits.capacity_loss, None))
    return figure
