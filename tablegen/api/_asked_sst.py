"""The SST of a case, or the box temperature that stands for it, as they are given."""

from __future__ import annotations

from tablegen.api._inputs import SST_RANGE, Bounds, Quantity, in_si
from tablegen.errors import BadValue, RequestError
from tablegen.model.box_temperature import AskedSst
from tablegen.units import split
from tablegen.wording import box_temperature as wording

# A room from the coldest freezer to a hot kitchen.
BOX_RANGE: Bounds = ("-70 degF", "120 degF")
# Coils of coolers and freezers are chosen at 8 to 20 °F, those for comfort cooling at up to 40 °F; a figure beyond is a
# slip, such as a box temperature in its place.
DIFFERENCE_RANGE: Bounds = ("1 delta_degF", "40 delta_degF")


def asked_sst(sst: Quantity | None, box: Quantity | None, coil_difference: Quantity | None) -> AskedSst:
    """What a case states of its suction temperature, in SI.

    Raises
    ------
    RequestError
        If neither an SST nor a box temperature is given, or both are, or a coil temperature difference without a box;
        or one of them cannot be read or is outside its bounds.
    """
    if sst is not None and box is not None:
        raise RequestError(wording.SST_AND_BOX())
    if box is None:
        if coil_difference is not None:
            raise RequestError(wording.DIFFERENCE_ALONE())
        if sst is None:
            raise RequestError(wording.SST_MISSING())
        if isinstance(sst, str) and _is_pressure(sst):
            raise RequestError(wording.SST_IS_PRESSURE(value=repr(sst)))
        return AskedSst(sst_k=in_si("sst", sst, "temperature", SST_RANGE))
    box_k = in_si("box", box, "temperature", BOX_RANGE)
    if coil_difference is None:
        return AskedSst(box_k=box_k)
    difference_k = in_si("coil_difference", coil_difference, "temperature difference", DIFFERENCE_RANGE)
    return AskedSst(box_k=box_k, coil_difference_k=difference_k)


def _is_pressure(text: str) -> bool:
    for kind in ("pressure", "pressure difference"):
        try:
            split(text, kind)
        except BadValue:
            continue
        return True
    return False
