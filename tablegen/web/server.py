"""A server of this computer for the desk: where it listens, how it says so, how it ends."""

from __future__ import annotations

import contextlib
import errno
import ipaddress
import os
import socket
import threading
from collections.abc import Callable
from urllib.parse import urlencode

import uvicorn
from starlette.types import ASGIApp
from uvicorn.protocols.http.h11_impl import H11Protocol

from tablegen.errors import RequestError
from tablegen.web.guard import TOKEN, Access
from tablegen.web.questions import Desk
from tablegen.web.site import desk_site, warm_up
from tablegen.wording import desk as wording

LOOPBACK, PORT = "127.0.0.1", 8777
_NEXT_PORTS = 20
# How long an answer under way may take when the desk ends [s].
_PATIENCE_S = 3


def serve(
    desk: Desk, host: str, port: int | None, when_ready: Callable[[str], None], opens: Callable[[str], object] | None
) -> None:
    """Answer until interrupted.

    Parameters
    ----------
    host, port
        Where to listen; without a port the first free one from `PORT`.
    when_ready : callable
        Is given the address of the desk when it answers.
    opens : callable or None
        Opens that address in a browser.

    Raises
    ------
    RequestError
        If nothing can listen there.
    ConfigError
        If the catalogue cannot be used.
    """
    # Before the address is printed, and so that the first answer is as quick as the others.
    desk.catalogue  # noqa: B018
    with listening(host, port) as own:
        own_port = int(own.getsockname()[1])
        access = Access.local(own_port, host) if is_loopback(host) else Access.with_token()
        url = _url(host, own_port, access)

        def ready() -> None:
            when_ready(url)
            threading.Thread(target=warm_up, args=(desk,), daemon=True).start()
            if opens is not None:
                # One for a terminal would take it over, and none may take its time.
                threading.Thread(target=opens, args=(url,), daemon=True).start()

        server = DeskServer(desk_site(desk, access), ready)
        # It ends its answers and raises the interruption again.
        with contextlib.suppress(KeyboardInterrupt):
            server.run(sockets=[own])


class _Protocol(H11Protocol):
    """HTTP in which the refusal of a broken request is the last that is sent."""

    def send_400_response(self, msg: str) -> None:
        """Refuse a broken request, or only close the connection where an answer was begun."""
        if self.cycle is not None and self.cycle.response_started:
            self.transport.close()
            return
        if self.cycle is not None:
            # What still answers the sound part of the request sends nothing.
            self.cycle.disconnected = True
        super().send_400_response(msg)


class DeskServer(uvicorn.Server):
    """A server that says when it answers."""

    def __init__(self, site: ASGIApp, ready: Callable[[], None]) -> None:
        settings = uvicorn.Config(
            site,
            loop="asyncio",
            http=_Protocol,
            ws="none",
            lifespan="off",
            log_config=None,
            # Below that are what clients do wrong, in words of the server.
            log_level="error",
            access_log=False,
            server_header=False,
            date_header=False,
            timeout_graceful_shutdown=_PATIENCE_S,
        )
        super().__init__(settings)
        self._ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to answer."""
        await super().startup(sockets)
        if self.started:
            self._ready()


def is_loopback(host: str) -> bool:
    """Whether no other computer reaches an address."""
    try:
        return host == "localhost" or ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def listening(host: str, port: int | None) -> socket.socket:
    """A socket that listens, at the first free port from `PORT` where none is asked for.

    Raises
    ------
    RequestError
        If the address is none of this computer, or no port is free.
    """
    try:
        family = socket.getaddrinfo(host, None, type=socket.SOCK_STREAM)[0][0]
    except (socket.gaierror, UnicodeError) as error:
        reason = (error.strerror if isinstance(error, OSError) else "") or str(error)
        raise RequestError(wording.HOST_RULE(host=repr(host), reason=reason)) from None
    for own in range(PORT, PORT + _NEXT_PORTS) if port is None else (port,):
        try:
            return socket.create_server((host, own), family=family)
        except OSError as error:
            reason = os.strerror(error.errno) if error.errno else str(error)
            if error.errno == errno.EADDRNOTAVAIL:
                raise RequestError(wording.HOST_RULE(host=repr(host), reason=reason)) from None
            if port is not None:
                raise RequestError(wording.PORT_TAKEN(host=host, port=port, reason=reason)) from None
    raise RequestError(wording.NO_PORT(first=PORT, last=PORT + _NEXT_PORTS - 1, host=host))


def _url(host: str, port: int, access: Access) -> str:
    """The address to open, with the token where one is asked for."""
    named = host
    if host in ("0.0.0.0", "::"):
        # Every address of this computer; the name by which others know it.
        named = socket.gethostname()
    place = f"[{named}]" if ":" in named else named
    query = "?" + urlencode({TOKEN: access.token}) if access.token else ""
    return f"http://{place}:{port}/{query}"
