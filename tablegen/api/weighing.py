"""What tables assume, and the weight of each assumption on their limits."""

from __future__ import annotations

from pathlib import Path

from tablegen.answers.case import members_of
from tablegen.api._inputs import SST_RANGE, Quantity, Units, formatter_for, in_si_if_given, loaded, loader_for
from tablegen.errors import RequestError
from tablegen.model.names import asked_refrigerant
from tablegen.model.offer import check_covered, offered_families
from tablegen.model.publications import Combination
from tablegen.report.answer import Answer
from tablegen.report.answers.weighing import answer_of_all, answer_of_assumptions
from tablegen.tables.assumption_weights import weights_of
from tablegen.wording import assumption_answer as wording
from tablegen.wording.message import argument


def assumptions(
    family: str | None = None,
    refrigerant: str | None = None,
    *,
    application: str | None = None,
    sst: Quantity | None = None,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """Each assumption of a table with its weight: what a stated step of it does to the minimum and the maximum load.

    Parameters
    ----------
    family : str, optional
        A family of the catalogue; without it the strongest assumptions of all tables.
    refrigerant : str, optional
        One refrigerant, or a group of the catalogue.
    application : str, optional
        An application of the catalogue.
    sst : str or float, optional
        Saturated suction temperature, dew: "24 degF", or [K]; without it that of the application's example.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's.

    Returns
    -------
    Answer
        Its frame has a row for each assumption: the step in SI, and the change of each limit [1] with the step taken
        down and up.

    Raises
    ------
    RequestError
        If only a part of a table is named, a name is not in the catalogue, a rule of the catalogue leaves the table out,
        or the SST is outside the application's.
    ConfigError
        If the catalogue cannot be used.

    Examples
    --------
    >>> answer = assumptions("alder", "R448A-family", application="walk_in_medium")
    >>> strongest = answer.frame().iloc[0]
    >>> strongest["assumption"] in ("maximum_superheat", "minimum_stable_superheat", "minimum_opening")
    True
    """
    sst_k = in_si_if_given("sst", sst, "temperature", SST_RANGE)
    if family is None and refrigerant is None and application is None and sst_k is None:
        return _all_tables(catalogue, units)
    if family is None or refrigerant is None or application is None:
        raise RequestError(wording.ALL_OR_NONE(application=argument("application")))
    name = asked_refrigerant(refrigerant)
    own = loader_for(catalogue, name)(application, ())
    [valves] = offered_families(own, name, application, family)
    if sst_k is not None:
        check_covered(own, name, application, sst_k)
    at_k = own.applications[application].example_sst_k if sst_k is None else sst_k
    found = weights_of(own, Combination(valves.name, name, application), members_of(own, name), at_k)
    return answer_of_assumptions(own, found, formatter_for(own, units))


def _all_tables(catalogue: str | Path | None, units: Units | None) -> Answer:
    own = loaded(catalogue)
    found = [
        weights_of(own, part, own.groups[part.group].members, own.applications[part.application].example_sst_k)
        for part in own.combinations
    ]
    return answer_of_all(own, found, formatter_for(own, units))
