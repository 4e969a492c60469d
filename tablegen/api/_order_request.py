"""What is stated for an order, checked: the same for one case and for each job of a list."""

from __future__ import annotations

from tablegen.answers.order import OrderRequest
from tablegen.api._inputs import Bounds, in_si_if_given
from tablegen.api._questions import PickQuestion
from tablegen.errors import RequestError
from tablegen.wording import pick as wording

CAPILLARY_RANGE: Bounds = ("0 m", "20 m")
_MOST_VALVES, _LONGEST_JOB = 9999, 60


def order_request(question: PickQuestion) -> OrderRequest:
    """What a question states for an order.

    Raises
    ------
    RequestError
        If the quantity, the name of the job or the length of the capillary cannot be.
    """
    quantity, capillary = question.quantity, question.capillary
    if quantity is not None and not 1 <= quantity <= _MOST_VALVES:
        raise RequestError(wording.QUANTITY_RULE(quantity=quantity, maximum=_MOST_VALVES))
    job = " ".join(question.job.split())
    if len(job) > _LONGEST_JOB or not job.isprintable():
        raise RequestError(wording.JOB_RULE(job=repr(job[:20]), maximum=_LONGEST_JOB))
    return OrderRequest(
        connections=question.connections,
        capillary_m=in_si_if_given("capillary", capillary, "length", CAPILLARY_RANGE),
        quantity=quantity,
        job=job,
        capillary_text=capillary if isinstance(capillary, str) else "",
    )
