"""A server of this computer for the desk: where it listens, how it says so, how it ends."""

from __future__ import annotations

import contextlib
import ipaddress
import socket
import threading
from collections.abc import Callable
from urllib.parse import urlencode

import uvicorn
from starlette.types import ASGIApp

from tablegen.errors import RequestError
from tablegen.web.guard import TOKEN, Access
from tablegen.web.questions import Desk
from tablegen.web.site import desk_site
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
    # Before anybody is told of it, and so that the first answer is as quick as the others.
    desk.catalogue  # noqa: B018
    with _listening(host, port) as listening:
        own_port = int(listening.getsockname()[1])
        access = Access.local(own_port) if is_loopback(host) else Access.with_token()
        url = _url(host, own_port, access)

        def ready() -> None:
            when_ready(url)
            if opens is not None:
                # One for a terminal would take it over, and none may take its time.
                threading.Thread(target=opens, args=(url,), daemon=True).start()

        server = _Server(desk_site(desk, access), ready)
        # It ends its answers and raises the interruption again.
        with contextlib.suppress(KeyboardInterrupt):
            server.run(sockets=[listening])


class _Server(uvicorn.Server):
    """A server that says when it answers."""

    def __init__(self, site: ASGIApp, ready: Callable[[], None]) -> None:
        settings = uvicorn.Config(
            site,
            loop="asyncio",
            http="h11",
            ws="none",
            lifespan="off",
            log_config=None,
            log_level="warning",
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


def _listening(host: str, port: int | None) -> socket.socket:
    """A socket that listens, at the first free port where none is asked for."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    if port is not None:
        try:
            return _bound(host, port, family)
        except OSError as error:
            reason = error.strerror or str(error)
            raise RequestError(wording.PORT_TAKEN(host=host, port=port, reason=reason)) from None
    for other in range(PORT, PORT + _NEXT_PORTS):
        with contextlib.suppress(OSError):
            return _bound(host, other, family)
    raise RequestError(wording.NO_PORT(first=PORT, last=PORT + _NEXT_PORTS - 1, host=host))


def _bound(host: str, port: int, family: socket.AddressFamily) -> socket.socket:
    try:
        return socket.create_server((host, port), family=family)
    except (socket.gaierror, UnicodeError) as error:
        raise RequestError(wording.HOST_RULE(host=repr(host), reason=_reason(error))) from None


def _reason(error: Exception) -> str:
    return (error.strerror if isinstance(error, OSError) else "") or str(error)


def _url(host: str, port: int, access: Access) -> str:
    """The address to open, with the token where one is asked for."""
    named = host
    if host in ("0.0.0.0", "::"):
        # Every address of this computer; the name by which others know it.
        named = socket.gethostname()
    place = f"[{named}]" if ":" in named else named
    query = "?" + urlencode({TOKEN: access.token}) if access.token else ""
    return f"http://{place}:{port}/{query}"
