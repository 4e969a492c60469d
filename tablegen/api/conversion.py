"""A capacity at another condition, converted."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from tablegen.answers.convert import Stated, convert_capacity
from tablegen.api._asked_sst import asked_sst
from tablegen.api._cases import Answered, Asking, answered, folder_of
from tablegen.api._inputs import (
    SST_RANGE,
    Quantity,
    Units,
    formatter_for,
    given,
    in_si,
    in_si_if_given,
    loader_for,
    one_of,
)
from tablegen.api._questions import ConvertQuestion
from tablegen.config.case_catalogue import load_case
from tablegen.errors import RequestError
from tablegen.model.names import asked_refrigerant
from tablegen.physics.system import Basis
from tablegen.report.answer import Answer
from tablegen.report.answers.convert import answer_of_conversion
from tablegen.wording import input_errors
from tablegen.wording.message import argument


def convert(
    refrigerant: str | None = None,
    *,
    capacity: Quantity | None = None,
    condensing: Quantity | None = None,
    basis: Literal["bubble", "dew", "mid"] | None = None,
    sst: Quantity | None = None,
    box: Quantity | None = None,
    coil_difference: Quantity | None = None,
    subcooling: Quantity | None = None,
    liquid: Quantity | None = None,
    stated_sst: Quantity | None = None,
    back: bool = False,
    application: str | None = None,
    case: str | Path | None = None,
    record: str | Path | None = None,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """A capacity that is stated at other temperatures, converted to the rating point of an application.

    Parameters
    ----------
    refrigerant : str
    capacity : str or float
        Stated gross capacity: "20 kBtu/h", or [W]; with `back` the capacity at the rating point.
    condensing : str or float
        Stated condensing temperature: "95 degF", or [K].
    basis : "bubble", "dew" or "mid"
        What the condensing temperature means.
    sst : str or float
        Saturated suction temperature, dew: "24 degF", or [K].
    box : str or float, optional
        Box (room) temperature instead of the SST: "34 degF", or [K]; the SST is the box temperature minus the coil
        temperature difference.
    coil_difference : str or float, optional
        That difference (TD): "10 delta_degF", or [K]; without it the application's own.
    subcooling : str or float, optional
        Of the liquid at the stated condition, below its bubble point: "9 delta_degF", or [K].
    liquid : str or float, optional
        Temperature of that liquid instead of its subcooling: "80 degF", or [K].
    stated_sst : str or float, optional
        Suction temperature at the stated condition, if another: "20 degF", or [K].
    back : bool
        Convert from the rating point to the stated condition instead.
    application, case, record, catalogue, units
        As `pick`.

    Returns
    -------
    Answer
        Its facts have both capacities [W] and the factor [1]; its frame both conditions, in SI.

    Raises
    ------
    RequestError
        As `pick`; also if not exactly one of `subcooling` and `liquid` is given, or a state cannot be computed.
    ConfigError
        If the catalogue cannot be used.

    Examples
    --------
    >>> answer = convert("R448A", capacity="20 kBtu/h", condensing="95 degF", basis="bubble", subcooling=5.0,
    ...                  sst="24 degF", application="walk_in_medium")
    >>> print(f"{answer.record()['factor']:.1f}")
    0.9
    """
    call = ConvertQuestion(
        refrigerant=refrigerant,
        sst=sst,
        box=box,
        coil_difference=coil_difference,
        application=application,
        capacity=capacity,
        condensing=condensing,
        basis=basis,
        subcooling=subcooling,
        liquid=liquid,
        stated_sst=stated_sst,
        back=back,
    )
    asking = Asking(
        command="convert", call=call, ask=ask_convert, catalogue=catalogue, units=units, record=folder_of(record)
    )
    return answered(asking, case)


def ask_convert(question: ConvertQuestion, catalogue: str | Path | None, units: Units | None) -> Answered:
    """The answer to one case, for `again` too.

    Parameters
    ----------
    question : ConvertQuestion
        What `convert` is asked.
    catalogue, units
        As `pick`.

    Returns
    -------
    Answered
        The answer and the catalogue that gave it.

    Raises
    ------
    RequestError
        As `convert`.
    ConfigError
        As `pick`.
    """
    refrigerant = asked_refrigerant(given("refrigerant", question.refrigerant))
    capacity_w = in_si("capacity", question.capacity, "load", ("1 W", "100000 kW"))
    asked = asked_sst(question.sst, question.box, question.coil_difference)
    if (question.subcooling is None) == (question.liquid is None):
        raise RequestError(input_errors.ONE_OF_TWO(first=argument("subcooling"), second=argument("liquid")))
    stated_k = in_si_if_given("stated_sst", question.stated_sst, "temperature", SST_RANGE)
    below_k = in_si_if_given("subcooling", question.subcooling, "temperature difference", ("0 K", "60 K"))
    own = load_case(loader_for(catalogue, refrigerant), refrigerant, asked, question.application, ())
    stated = Stated(
        sst_k=own.sst_k if stated_k is None else stated_k,
        condensing_k=in_si("condensing", question.condensing, "temperature", ("-40 degF", "200 degF")),
        basis=Basis(one_of("basis", given("basis", question.basis), list(Basis))),
        subcooling_k=below_k or 0.0,
        liquid_k=in_si_if_given("liquid", question.liquid, "temperature", ("-76 degF", "200 degF")),
    )
    found = convert_capacity(own.catalogue, refrigerant, own.application, own.sst_k, stated, capacity_w, question.back)
    formatter = formatter_for(own.catalogue, units)
    return Answered(
        answer_of_conversion(own.catalogue, found, formatter, own.box, was_chosen=own.was_chosen), own.catalogue
    )
