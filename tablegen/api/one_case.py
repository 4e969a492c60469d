"""One refrigerant, or one case: windows, and valves that fit.

>>> import tablegen
>>> table = tablegen.windows("R448A", "walk_in_medium", family="alder")
>>> row = table[(table["size"] == "45") & (table["sst [degF]"] == 24.0)].iloc[0]
>>> print(row["charge"], row["min_load [kBtu/h]"] < 8.0 < row["max_load [kBtu/h]"])
cross-448-medium True
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.answers.case import Case
from tablegen.answers.case_superheat import case_superheat
from tablegen.answers.in_stock import StockRule
from tablegen.answers.order import OrderLine, OrderRequest, order_line
from tablegen.answers.pick import Picked
from tablegen.answers.pick import pick as pick_valves
from tablegen.answers.split import loads_of, pick_each
from tablegen.api._asked_sst import asked_sst
from tablegen.api._cases import Answered, Asking, answered, folder_of
from tablegen.api._inputs import (
    LOAD_RANGE,
    Quantity,
    Units,
    check_units,
    formatter_for,
    given,
    in_si,
    loaded,
    loader_for,
    refused,
)
from tablegen.api._order_request import order_request
from tablegen.api._questions import PickQuestion
from tablegen.confidence.confident_limits import scattered_in
from tablegen.config.case_catalogue import load_case
from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Catalogue
from tablegen.model.names import asked_refrigerant
from tablegen.model.offer import offered_families
from tablegen.model.solving import laws_of, solve
from tablegen.report.answer import Answer
from tablegen.report.answers.pick import answer_of_pick, answer_of_split
from tablegen.wording import input_errors

if TYPE_CHECKING:
    import pandas as pd


def windows(
    refrigerant: str,
    application: str,
    *,
    family: str | None = None,
    catalogue: str | Path | None = None,
    units: Units = "IP",
) -> pd.DataFrame:
    """The load windows of one refrigerant in one application.

    Parameters
    ----------
    refrigerant, application : str
        Names in the catalogue.
    family : str, optional
        One family; without it all of the catalogue.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI"
        Units of the columns, named in their headings.

    Returns
    -------
    DataFrame
        One row per family offered, size and suction temperature: limits (not rounded; NaN with a reason where the
        window is empty), and the operating condition and reason that set each.

    Raises
    ------
    RequestError
        If a name is not in the catalogue, or a rule of the catalogue leaves the case out.
    ConfigError
        If the catalogue cannot be used.
    """
    import pandas as pd

    from tablegen.api._printed_columns import printed_column
    from tablegen.sweep.frames import windows_frame

    check_units(units)
    whole, refrigerant = loaded(catalogue), asked_refrigerant(refrigerant)
    if refrigerant not in whole.refrigerants:
        raise RequestError(unknown(input_errors.A_REFRIGERANT(), refrigerant, whole.refrigerants))
    families = offered_families(whole, refrigerant, application, family)
    solved = solve(whole.refrigerants[refrigerant], whole.applications[application], laws_of(families))
    scattered = scattered_in(whole)
    frame = pd.concat([windows_frame(f, solved, scattered) for f in families], ignore_index=True)
    # The grid of the config, through kelvin and back: 24 degF is 24, not 24.0000000001.
    sst = printed_column("sst", "temperature", frame["sst_k"], units).round(9)
    minimum, maximum = (printed_column(f"{end}_load", "load", frame[f"{end}_load_w"], units) for end in ("min", "max"))
    columns = [
        *(frame["family"], frame["size"], frame["kv_rated_m3h"].rename("kv_rated [m3/h]"), frame["charge"]),
        *(sst, minimum, maximum),
        *(frame[f"{end}_{what}"] for end in ("min", "max") for what in ("condition", "reason")),
    ]
    return pd.concat(columns, axis=1)


def pick(
    refrigerant: str | None = None,
    *,
    sst: Quantity | None = None,
    box: Quantity | None = None,
    coil_difference: Quantity | None = None,
    load: Quantity | None = None,
    application: str | None = None,
    overrides: Sequence[str] = (),
    split: Sequence[Quantity] = (),
    family: str | None = None,
    valve_kind: str | None = None,
    connections: str = "",
    capillary: Quantity | None = None,
    quantity: int | None = None,
    job: str = "",
    part_numbers: str | Path | None = None,
    stock: str | Path | None = None,
    all_sizes: bool = False,
    case: str | Path | None = None,
    jobs: str | Path | None = None,
    record: str | Path | None = None,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """The valves that cover one load, those with the largest margin first, and why others do not.

    Parameters
    ----------
    refrigerant : str
        One refrigerant, or a group of the catalogue.
    sst : str or float
        Saturated suction temperature, dew: "24 degF", or [K].
    box : str or float, optional
        Box (room) temperature instead of the SST: "34 degF", or [K]; the SST is the box temperature minus the coil
        temperature difference.
    coil_difference : str or float, optional
        That difference (TD): "10 delta_degF", or [K]; without it the application's own. Where limits depend on it, they
        are computed with it.
    load : str or float
        Gross capacity at the rating point: "20 kBtu/h", "5.9 kW", or [W].
    application : str, optional
        An application of the catalogue; without it the only one that covers the suction temperature.
    overrides : sequence of str
        Other values for keys of the application: "losses.lift=20 ft".
    split : sequence of str or float
        The load of each evaporator on the unit: "8 kBtu/h", or [W], or all of them in percent of the whole load.
    family : str, optional
        One family; without it all that are offered.
    valve_kind : str, optional
        Valves of one kind: "thermostatic" (or "TXV"), "electronic" (or "EEV"), "stepper" or "pulse_modulated".
    connections : str
        For the order line: connections, of those that the family offers.
    capillary : str or float, optional
        For the order line: length of the capillary, "10 ft", or [m].
    quantity : int, optional
        For the order line: how many valves.
    job : str
        For the order line: name or number of the job.
    part_numbers : path, optional
        A list of part numbers (CSV or XLSX) instead of the catalogue's own.
    stock : path, optional
        A stock sheet (CSV or XLSX) instead of the catalogue's own: valves in stock come first, and no other is
        recommended.
    all_sizes : bool
        With a stock sheet: recommend valves that are not in stock too.
    case : path, optional
        A file of cases (YAML): one, or a list under `cases`, with these parameters as keys; parameters that are given
        here count for every case.
    jobs : path, optional
        A list of jobs (CSV or XLSX), one a row: columns `refrigerant`, `load` with its unit, `sst` or `box`, and any of
        `coil_difference`, `application`, `family`, `valve_kind`, `quantity`, `job`, `connections` and `capillary`;
        parameters that are given here count for every job.
    record : path, optional
        A folder for a record of each case, which `again` checks.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's.

    Returns
    -------
    Answer
        Its frame has one row for every size of every family offered, in SI (for a split unit, of each evaporator); its
        sections the order line of each first choice. `passed` if a valve covers every load. Of a list of cases it has
        a section for each, and `problems` says which could not be answered. Of a list of jobs the frame has a row for
        each, and `write` makes a spreadsheet: the list with its answers, and the order list.

    Raises
    ------
    RequestError
        If a quantity cannot be read, a name is not in the catalogue, a rule of the catalogue leaves the case out, the
        application does not cover the suction temperature, the split does not add up, or an order cannot be filled.
    ConfigError
        If the catalogue, an override, the list of part numbers or the file of cases cannot be used.

    Examples
    --------
    >>> answer = pick("R448A", sst="24 degF", load="16 kBtu/h", application="walk_in_medium", family="alder")
    >>> sizes = answer.frame().query("verdict == 'fits'").sort_values("margin", ascending=False)
    >>> sizes[["family", "size"]].head(1).to_numpy().tolist()
    [['alder', '90']]
    >>> split = pick("R448A", sst="24 degF", load="16.5 kBtu/h", application="walk_in_medium", family="alder",
    ...              split=["35 percent", "65 percent"])
    >>> [section.record()["first_size"] for section in split.sections]
    ['32', '63']
    """
    call = PickQuestion(
        refrigerant=refrigerant,
        sst=sst,
        box=box,
        coil_difference=coil_difference,
        load=load,
        application=application,
        overrides=overrides,
        split=split,
        family=family,
        valve_kind=valve_kind,
        connections=connections,
        capillary=capillary,
        quantity=quantity,
        job=job,
        part_numbers=None if part_numbers is None else str(part_numbers),
        stock=None if stock is None else str(stock),
        all_sizes=all_sizes,
    )
    if jobs is not None:
        from tablegen.api.jobs import pick_job_list

        return pick_job_list(jobs, call, case=case, record=record, catalogue=catalogue, units=units)
    asking = Asking(command="pick", call=call, ask=ask_pick, catalogue=catalogue, units=units, record=folder_of(record))
    return answered(asking, case)


def ask_pick(question: PickQuestion, catalogue: str | Path | None, units: Units | None) -> Answered:
    """The answer to one case, for `again` too.

    Parameters
    ----------
    question : PickQuestion
        What `pick` is asked.
    catalogue, units
        As `pick`.

    Returns
    -------
    Answered
        The answer and the catalogue that gave it.

    Raises
    ------
    RequestError
        As `pick`.
    ConfigError
        As `pick`.
    """
    refrigerant = asked_refrigerant(given("refrigerant", question.refrigerant))
    sst = asked_sst(question.sst, question.box, question.coil_difference)
    load_w = in_si("load", question.load, "load", LOAD_RANGE)
    overrides, split = question.overrides, question.split
    load_catalogue = loader_for(catalogue, refrigerant, part_numbers=question.part_numbers, stock=question.stock)
    own = load_case(load_catalogue, refrigerant, sst, question.application, overrides)
    case, formatter = Case(refrigerant, own.sst_k, load_w, own.application), formatter_for(own.catalogue, units)
    asked = order_request(question)
    rule = StockRule.of(own.catalogue, asked.quantity, question.all_sizes)
    if split:
        picks = _split(own.catalogue, case, question, rule)
    else:
        picks = [pick_valves(own.catalogue, case, question.family, rule, question.valve_kind)]
    pairs = [(picked, _order(own.catalogue, picked, asked)) for picked in picks]
    superheat = case_superheat(own.catalogue, case)
    if split:
        answer = answer_of_split(
            own.catalogue,
            case,
            pairs,
            formatter,
            box=own.box,
            superheat=superheat,
            was_chosen=own.was_chosen,
            overrides=overrides,
        )
    else:
        [(picked, order)] = pairs
        answer = answer_of_pick(
            own.catalogue,
            picked,
            formatter,
            order,
            box=own.box,
            superheat=superheat,
            was_chosen=own.was_chosen,
            overrides=overrides,
        )
    return Answered(answer, own.catalogue)


def _split(catalogue: Catalogue, case: Case, question: PickQuestion, rule: StockRule) -> Sequence[Picked]:
    """The picks for the evaporators of a split unit."""
    split = question.split
    are_shares = all(isinstance(part, str) and part.strip().endswith(("percent", "%")) for part in split)
    figures = [in_si("split", part, "share" if are_shares else "load") for part in split]
    try:
        loads = loads_of(case.load_w, figures, are_shares)
    except RequestError as error:
        raise refused("split", error) from None
    return pick_each(catalogue, case, loads, question.family, rule, question.valve_kind)


def _order(catalogue: Catalogue, picked: Picked, asked: OrderRequest) -> OrderLine | None:
    """The order line of a first choice; None where no valve fits."""
    return None if picked.first is None else order_line(catalogue, picked.first, asked)
