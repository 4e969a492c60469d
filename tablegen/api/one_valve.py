"""One valve: its load window step by step, and how it operates on another system."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from tablegen import __version__
from tablegen.answers.case import Case, members_of
from tablegen.answers.case_superheat import case_superheat
from tablegen.answers.trace import trace as traced
from tablegen.api._asked_sst import asked_sst
from tablegen.api._cases import Answered, Asking, answered, folder_of
from tablegen.api._inputs import (
    LOAD_RANGE,
    Quantity,
    Units,
    as_text,
    formatter_for,
    given,
    in_si,
    in_si_if_given,
    loader_for,
    one_of,
    path_of,
    refused,
)
from tablegen.api._questions import RetrofitQuestion, TraceQuestion
from tablegen.config.case_catalogue import load_case
from tablegen.errors import BadValue, RequestError, unknown
from tablegen.model.box_temperature import AskedSst, BoxTemperature
from tablegen.model.coil_difference import at_difference
from tablegen.model.names import asked_refrigerant
from tablegen.model.part_numbers import valve_numbered
from tablegen.model.property_store import library_version
from tablegen.model.spring_setting import AskedSetting
from tablegen.report.answer import Answer
from tablegen.report.answers.trace import DETAILS, FULL, answer_of_trace
from tablegen.report.answers.trace_lines import SIDES
from tablegen.wording import config_errors, input_errors
from tablegen.wording import retrofit as retrofit_wording
from tablegen.wording.message import argument

if TYPE_CHECKING:
    from tablegen.answers.existing_valve import System
    from tablegen.model.inputs import Catalogue

# A window is the same for every load; a case always has one.
_ANY_LOAD_W = 1000.0
_HEAD_KEYS = ("head_pressure", "condensing_temperature")


def trace(
    family: str | None = None,
    size: str | None = None,
    refrigerant: str | None = None,
    *,
    sst: Quantity | None = None,
    box: Quantity | None = None,
    coil_difference: Quantity | None = None,
    application: str | None = None,
    overrides: Sequence[str] = (),
    limit: Literal["minimum", "maximum"] | None = None,
    detail: Literal["summary", "steps", "full"] | None = None,
    case: str | Path | None = None,
    record: str | Path | None = None,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """One load window calculated step by step, from the figures of the config files to the printed limits.

    Parameters
    ----------
    family, size : str
        The valve.
    refrigerant : str
        One refrigerant, or a group of the catalogue.
    sst : str or float
        Saturated suction temperature, dew: "24 degF", or [K].
    box : str or float, optional
        Box (room) temperature instead of the SST: "34 degF", or [K]; the SST is the box temperature minus the coil
        temperature difference.
    coil_difference : str or float, optional
        That difference (TD): "10 delta_degF", or [K]; without it the application's own.
    application : str, optional
        An application of the catalogue; without it the only one that covers the suction temperature.
    overrides : sequence of str
        Other values for keys of the application: "losses.lift=20 ft".
    limit : "minimum" or "maximum", optional
        One limit; without it both.
    detail : "summary", "steps" or "full", optional
        What is printed: the limits and what sets each; the steps too; and the figures that they start from with every
        source, which is the default.  JSON and the frame have all of it.
    case, record
        As `pick`.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's.

    Returns
    -------
    Answer
        Its frame has one row for every step of every limit, in SI; `passed` if the window is open.

    Raises
    ------
    RequestError
        If a quantity cannot be read, a name is not in the catalogue, a rule of the catalogue leaves the case out, or the
        application does not cover the suction temperature.
    ConfigError
        If the catalogue or an override cannot be used.

    Examples
    --------
    >>> answer = trace("alder", "90", "R448A-family", sst="24 degF", application="walk_in_medium", limit="maximum")
    >>> last = answer.frame().iloc[-1]
    >>> print(f"{last['symbol']} = {last['equation']}")
    Q = Kv Q₁
    """
    call = TraceQuestion(
        refrigerant=refrigerant,
        sst=sst,
        box=box,
        coil_difference=coil_difference,
        application=application,
        family=family,
        size=size,
        overrides=overrides,
        limit=limit,
        detail=detail,
    )
    asking = Asking(
        command="trace", call=call, ask=ask_trace, catalogue=catalogue, units=units, record=folder_of(record)
    )
    return answered(asking, case)


def ask_trace(question: TraceQuestion, catalogue: str | Path | None, units: Units | None) -> Answered:
    """The answer to one case, for `again` too.

    Parameters
    ----------
    question : TraceQuestion
        What `trace` is asked.
    catalogue, units
        As `pick`.

    Returns
    -------
    Answered
        The answer and the catalogue that gave it.

    Raises
    ------
    RequestError
        As `trace`.
    ConfigError
        As `pick`.
    """
    from tablegen.config.origins import origins_of

    refrigerant = asked_refrigerant(given("refrigerant", question.refrigerant))
    asked = asked_sst(question.sst, question.box, question.coil_difference)
    overrides, limit = question.overrides, question.limit
    sides = SIDES if limit is None else (one_of("limit", limit, SIDES),)
    detail = FULL if question.detail is None else one_of("detail", question.detail, DETAILS)
    own = load_case(loader_for(catalogue), refrigerant, asked, question.application, overrides)
    case = Case(refrigerant, own.sst_k, _ANY_LOAD_W, own.application)
    valve = given("family", question.family), given("size", question.size)
    is_replaced = own.box is not None and own.box.is_replacing
    difference = as_text(question.coil_difference or "", "temperature difference") if is_replaced else ""
    found = traced(own.catalogue, case, *valve, bool(overrides) or is_replaced)
    path = path_of(catalogue)
    origins = {
        member: origins_of(path, own.application, member, found.family, overrides, difference)
        for member in members_of(own.catalogue, refrigerant)
    }
    formatter, library = formatter_for(own.catalogue, units), library_version()

    def sheet() -> Answer:
        from tablegen.report.answers.trace_sheet import sheet_of_trace

        return sheet_of_trace(own.catalogue, found, origins, formatter, library, sides, own.box, detail)

    answer = answer_of_trace(
        own.catalogue,
        found,
        origins,
        formatter,
        library,
        sides=sides,
        detail=detail,
        box=own.box,
        superheat=case_superheat(own.catalogue, case),
        was_chosen=own.was_chosen,
        overrides=overrides,
    )
    return Answered(dataclasses.replace(answer, sheet=sheet), own.catalogue)


def retrofit(
    family: str | None = None,
    size: str | None = None,
    *,
    refrigerant: str | None = None,
    sst: Quantity | None = None,
    box: Quantity | None = None,
    coil_difference: Quantity | None = None,
    load: Quantity | None = None,
    application: str | None = None,
    overrides: Sequence[str] = (),
    was: str | None = None,
    was_load: Quantity | None = None,
    was_application: str | None = None,
    was_overrides: Sequence[str] = (),
    charge: str | None = None,
    static_superheat: Quantity | None = None,
    turns: float | None = None,
    case: str | Path | None = None,
    record: str | Path | None = None,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """How an existing valve operates on a new system, and how it did on the one that it was selected for.

    Parameters
    ----------
    family, size : str
        The existing valve; without a size `family` is its part number in the catalogue's list.
    refrigerant : str
        In the new system.
    sst : str or float
        Saturated suction temperature, dew: "24 degF", or [K].
    box : str or float, optional
        Box (room) temperature instead of the SST: "34 degF", or [K]; the SST is the box temperature minus the coil
        temperature difference.
    coil_difference : str or float, optional
        That difference (TD): "10 delta_degF", or [K]; without it the application's own.
    load : str or float
        Gross capacity at the rating point: "20 kBtu/h", or [W].
    application : str, optional
        Of the new system; without it the only one that covers the suction temperature.
    overrides : sequence of str
        Other values for keys of that application: "losses.lift=20 ft".
    was : str, optional
        Refrigerant of the old system; without it the same.
    was_load : str or float, optional
        Load of the old system: "20 kBtu/h", or [W]; without it the same.
    was_application : str, optional
        Of the old system; without it the same.
    was_overrides : sequence of str
        Other values for keys of the old application.
    charge : str, optional
        The bulb charge in the valve; without it the one offered for the old system.
    static_superheat : str or float, optional
        To which the spring is set, at the bulb temperature and on the refrigerant of the factory setting:
        "5 delta_degF", or [K].
    turns : float, optional
        By which the stem is turned from the factory setting, clockwise above zero, instead of a static superheat.
    case, record
        As `pick`.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's.

    Returns
    -------
    Answer
        Its frame has one row per zone of the head pressure, of the new system and the old one, in SI; the table
        "systems" what the systems are. `passed` if the valve covers the load at every head pressure.

    Raises
    ------
    RequestError
        As `pick`; also if the valve's family is not approved for the refrigerant, a condition cannot be computed, or
        the spring cannot be set so.
    ConfigError
        As `pick`.

    Examples
    --------
    >>> answer = retrofit("alder", "45", refrigerant="R448A", was="R404A", sst="24 degF", load="6 kBtu/h",
    ...                   application="walk_in_medium")
    >>> answer.passed
    False
    >>> answer.frame()[["system", "zone"]].to_numpy().tolist()
    [['old', 'steady'], ['new', 'flooding']]
    """
    call = RetrofitQuestion(
        refrigerant=refrigerant,
        sst=sst,
        box=box,
        coil_difference=coil_difference,
        application=application,
        family=family,
        size=size,
        load=load,
        overrides=overrides,
        was=was,
        was_load=was_load,
        was_application=was_application,
        was_overrides=was_overrides,
        charge=charge,
        static_superheat=static_superheat,
        turns=turns,
    )
    asking = Asking(
        command="retrofit", call=call, ask=ask_retrofit, catalogue=catalogue, units=units, record=folder_of(record)
    )
    return answered(asking, case)


def ask_retrofit(question: RetrofitQuestion, catalogue: str | Path | None, units: Units | None) -> Answered:
    """The answer to one case, for `again` too.

    Parameters
    ----------
    question : RetrofitQuestion
        What `retrofit` is asked.
    catalogue, units
        As `pick`.

    Returns
    -------
    Answered
        The answer and the catalogue that gave it.

    Raises
    ------
    RequestError
        As `retrofit`.
    ConfigError
        As `pick`.
    """
    from tablegen.answers.retrofit import Fitted
    from tablegen.answers.retrofit import retrofit as existing_valve
    from tablegen.report.answers.retrofit import answer_of_retrofit

    overrides, was, was_overrides = question.overrides, question.was, question.was_overrides
    setting = _asked_setting(question.static_superheat, question.turns)
    at = asked_sst(question.sst, question.box, question.coil_difference)
    new, old, box = _read_systems(
        catalogue,
        asked_refrigerant(given("refrigerant", question.refrigerant)),
        at,
        in_si("load", question.load, "load", LOAD_RANGE),
        question.application,
        overrides,
        was=None if was is None else asked_refrigerant(was),
        was_load_w=in_si_if_given("was_load", question.was_load, "load", LOAD_RANGE),
        was_application=question.was_application,
        was_overrides=was_overrides,
        is_reset=setting is not None,
    )
    fitted = Fitted(*_existing(new.catalogue, question), setting)
    found, curve = existing_valve(fitted, new, old)
    answer = answer_of_retrofit(
        new.catalogue,
        found,
        curve,
        formatter_for(new.catalogue, units),
        f"tablegen {__version__}, {library_version()}",
        box=box,
        superheat=case_superheat(new.catalogue, new.case),
        overrides=overrides,
        old_overrides=was_overrides,
    )
    return Answered(answer, new.catalogue)


def _existing(catalogue: Catalogue, question: RetrofitQuestion) -> tuple[str, str, str | None]:
    """Family, size and charge of the existing valve, from its part number where no size is given."""
    family, size, charge = given("family", question.family), question.size, question.charge
    if size is not None:
        return family, size, charge
    own = valve_numbered(catalogue.part_numbers, family)
    if own is None:
        raise RequestError(retrofit_wording.FAMILY_AND_SIZE(text=repr(family)))
    return own.family, own.size, charge or own.charge or None


def _read_systems(
    catalogue: str | Path | None,
    refrigerant: str,
    asked: AskedSst,
    load_w: float,
    application: str | None,
    overrides: Sequence[str],
    *,
    was: str | None = None,
    was_load_w: float | None = None,
    was_application: str | None = None,
    was_overrides: Sequence[str] = (),
    is_reset: bool = False,
) -> tuple[System, System | None, BoxTemperature | None]:
    """The new system, the one that the valve was bought for, None where nothing is known of it, and the box.

    A valve whose spring is set otherwise (`is_reset`) was on the same system with its factory setting.

    What is not said of the old system is as in the new one without its `overrides`, which say that something has changed;
    the coil is the same.
    """
    from tablegen.answers.existing_valve import System

    also = tuple(name for name in (refrigerant, was) if name is not None)
    own = load_case(loader_for(catalogue, also=also), refrigerant, asked, application, overrides)
    applications, name = own.catalogue.applications, own.application
    new = System(own.catalogue, Case(refrigerant, own.sst_k, load_w, name), _given_heads(overrides))
    is_known = any(given is not None for given in (was, was_load_w, was_application))
    if not (is_known or overrides or was_overrides or is_reset):
        return new, None, own.box
    old_name = was_application or name
    if old_name not in applications:
        raise refused("was_application", unknown(input_errors.AN_APPLICATION(), old_name, applications))
    before = loader_for(catalogue, also=also, given_as="was_overrides")(old_name, was_overrides)
    case = Case(was or refrigerant, own.sst_k, load_w if was_load_w is None else was_load_w, old_name)
    if not any(text.partition("=")[0].strip() == "coil_temperature_difference" for text in was_overrides):
        before = at_difference(before, case.refrigerant, old_name, asked.coil_difference_k)
    return new, System(before, case, _given_heads(was_overrides)), own.box


def _asked_setting(static_superheat: Quantity | None, turns: float | None) -> AskedSetting | None:
    """How the spring is to be set; None where it stays."""
    if static_superheat is None and turns is None:
        return None
    if static_superheat is not None and turns is not None:
        text = input_errors.ONE_OF_TWO(first=argument("static_superheat"), second=argument("turns"))
        raise RequestError(text)
    if turns is not None and not math.isfinite(turns):
        raise refused("turns", BadValue(repr(turns), config_errors.BARE_NUMBER()))
    superheat_k = in_si_if_given("static_superheat", static_superheat, "temperature difference", ("0.05 K", "60 K"))
    return AskedSetting(turns=turns, static_superheat_k=superheat_k)


def _given_heads(overrides: Sequence[str]) -> set[str]:
    """The conditions whose head an override gives: it is meant for the refrigerant as written."""
    keys = [text.partition("=")[0].strip().split(".") for text in overrides]
    return {key[0] for key in keys if len(key) > 1 and key[1] in _HEAD_KEYS}
