"""What commands read from their options."""

from __future__ import annotations

from tablegen.errors import BadValue, RequestError


def read_quantity(option: str, text: str, kind: str, bounds: tuple[str, str] | None = None) -> float:
    """A quantity given to an option, in SI, within bounds that are written as a config would.

    Raises
    ------
    RequestError
        If it cannot be read or lies outside; the message names the option.
    """
    from tablegen.units import to_si

    try:
        value = to_si(text, kind)
    except BadValue as error:
        raise RequestError(f"{option}: {error}") from None
    if bounds is not None and not to_si(bounds[0], kind) <= value <= to_si(bounds[1], kind):
        least, most = bounds
        raise RequestError(f"{option}: {text!r} is not allowed; it must be at least {least} and at most {most}")
    return value
