"""What an answer about an existing valve says where its spring is set otherwise than at the factory."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from tablegen.report.answer import Fact, Value
from tablegen.wording import retrofit as wording

if TYPE_CHECKING:
    from tablegen.answers.retrofit import Retrofit
    from tablegen.model.spring_setting import SpringSetting
    from tablegen.report.answer import Datum
    from tablegen.report.formatter import Formatter


def spring_facts(own: SpringSetting, formatter: Formatter) -> Iterator[Fact]:
    """How the spring is set now and was at the factory, to print."""
    if own.turns is not None:
        message = wording.TURNS_BACK if own.turns < 0.0 else wording.TURNS_CLOCKWISE
        yield Fact((), wording.STEM_TURNS(), Value(message(turns=f"{abs(own.turns):.3g}")))
    pressures = own.spring_pa, own.factory_spring_pa, own.gradient_pa
    spring, factory, gradient = (formatter.drop(pressure, 1) for pressure in pressures)
    text = wording.SPRING_SET_TO(spring=spring, factory_spring=factory, gradient=gradient)
    yield Fact((), wording.SPRING_SET(), Value(text))
    text = wording.SUPERHEAT_SET_TO(
        superheat=formatter.step(own.static_superheat_k),
        factory_superheat=formatter.step(own.factory_superheat_k),
        bulb=formatter.degrees(own.bulb_temperature_k),
        refrigerant=own.element.setting_refrigerant,
    )
    yield Fact((), wording.SUPERHEAT_SET(), Value(text))
    limit = own.element.maximum_operating_pressure_pa
    if limit is not None:
        pressure, factory = formatter.absolute(limit), formatter.absolute(limit + own.spring_pa - own.factory_spring_pa)
        yield Fact((), wording.LIMIT_SET(), Value(wording.LIMIT_SET_TO(pressure=pressure, factory_pressure=factory)))


def setting_data(answer: Retrofit) -> dict[str, Datum]:
    """How the spring is set, for export: None as the factory set it."""
    own = answer.fitted.setting
    return {
        "turns": own.turns if own else None,
        "turn_pa": own.turn_pa if own else None,
        "new_spring_pa": own.spring_pa if own else None,
        "new_set_static_superheat_k": own.static_superheat_k if own else None,
        "factory_static_superheat_k": answer.factory_superheat_k if own else None,
    }


def spring_changes(answer: Retrofit, formatter: Formatter) -> Iterator[str]:
    """What the new setting does to the static superheat of the new system."""
    own, now, before = answer.fitted.setting, answer.after.static_superheat_k, answer.factory_superheat_k
    if own is None or math.isnan(now + before):
        return
    difference = own.spring_pa - own.factory_spring_pa
    yield (wording.SPRING_LOOSER if difference < 0.0 else wording.SPRING_TIGHTER)(
        difference=formatter.drop(abs(difference), 1),
        sst=formatter.degrees(answer.sst_k),
        refrigerant=answer.after.refrigerant,
        factory_superheat=formatter.step(before, 1),
        superheat=formatter.step(now, 1),
    )
