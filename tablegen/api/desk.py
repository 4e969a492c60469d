"""The desk in a browser."""

from __future__ import annotations

from pathlib import Path

from tablegen.api._inputs import Units, check_units
from tablegen.errors import RequestError
from tablegen.wording import desk as wording


def desk(
    *,
    host: str = "127.0.0.1",
    port: int | None = None,
    browser: bool = True,
    stock: str | Path | None = None,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> None:
    """Answer a browser's questions until interrupted, by the functions of this package.

    Parameters
    ----------
    host : str
        Address of this computer to listen on. One that other computers reach asks them for a token, which is printed
        as a part of the desk's address.
    port : int, optional
        Without it 8777, or the next one that is free.
    browser : bool
        Open the page.
    stock : path, optional
        A stock sheet (CSV or XLSX) instead of the catalogue's own.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo. It is read again when a file of it changes.
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's.

    Raises
    ------
    RequestError
        If nothing can listen there.
    ConfigError
        If the catalogue cannot be used.
    """
    import webbrowser

    from tablegen.web.questions import Desk
    from tablegen.web.server import serve

    check_units(units)
    if port is not None and not 1 <= port <= 65535:
        raise RequestError(wording.PORT_RULE(port=port))
    serve(Desk(catalogue, units, stock), host, port, _say, webbrowser.open if browser else None)
    print(wording.ENDED())


def _say(url: str) -> None:
    print(wording.READY(url=url), flush=True)
