"""Who may ask the desk: its own page, by its own address, and from another computer only who has the token."""

from __future__ import annotations

import contextlib
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from http import HTTPStatus
from urllib.parse import urlencode

from starlette.datastructures import MutableHeaders
from starlette.requests import ClientDisconnect, Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from tablegen.wording import desk as wording

TOKEN, _COOKIE = "token", "tablegen-desk"
_OWN, _NOTHING = "'self'", "'none'"
_SOURCES: Mapping[str, tuple[str, ...]] = {
    "default-src": (_NOTHING,),
    "script-src": (_OWN,),
    "style-src": (_OWN,),
    "img-src": (_OWN, "data:"),
    "connect-src": (_OWN,),
    "font-src": (_OWN,),
    "form-action": (_NOTHING,),
    "base-uri": (_NOTHING,),
    "frame-ancestors": (_NOTHING,),
}
_POLICY = "; ".join(" ".join((name, *sources)) for name, sources in _SOURCES.items())
_HEADERS: Mapping[str, str] = {
    "Content-Security-Policy": _POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
_ASKING = ("GET", "HEAD")


@dataclass(frozen=True, slots=True)
class Access:
    """Who may ask.

    Attributes
    ----------
    hosts : frozenset of str
        What a browser calls the desk, with the port; any name where there is a token, which a page of another name
        does not have.
    token : str
        Who asks from another computer must have it; empty on an address that none reaches.
    """

    hosts: frozenset[str]
    token: str = ""

    @classmethod
    def local(cls, port: int, host: str = "localhost") -> Access:
        """For this computer alone, at one of its addresses that no other computer reaches."""
        named = f"[{host}]" if ":" in host else host
        return cls(frozenset(f"{name}:{port}" for name in (named, "127.0.0.1", "localhost", "[::1]")))

    @classmethod
    def with_token(cls) -> Access:
        """For every computer that has a new token."""
        return cls(frozenset(), secrets.token_urlsafe(24))

    def has_token(self, given: str | None) -> bool:
        """Whether a text is the token, in a time that does not depend on it."""
        return secrets.compare_digest((given or "").encode(), self.token.encode())


class Guard:
    """Refuses in one line who may not ask, and sends with every answer what a browser must not do with it."""

    def __init__(self, app: ASGIApp, access: Access) -> None:
        self._app = app
        self._access = access

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                headers.update(_HEADERS)
                headers.setdefault("Cache-Control", "no-store")
            await send(message)

        refused = self._refused(Request(scope))
        # Nobody reads an answer to who went away in the middle of a file.
        with contextlib.suppress(ClientDisconnect):
            await (refused or self._app)(scope, receive, send_with_headers)

    def _refused(self, request: Request) -> Response | None:
        """What is said to who may not ask; None for others."""
        access, host = self._access, request.headers.get("host", "").lower()
        if not access.token:
            if host not in access.hosts:
                return _refusal(wording.WRONG_HOST())
        elif access.has_token(request.query_params.get(TOKEN)) and request.method in _ASKING:
            return _with_cookie(request, access.token)
        elif not access.has_token(request.cookies.get(_COOKIE)):
            return _refusal(wording.NO_TOKEN())
        if (
            request.method not in _ASKING
            and request.headers.get("origin", "").lower() != f"{request.url.scheme}://{host}"
        ):
            return _refusal(wording.WRONG_ORIGIN())
        return None


def _refusal(text: str) -> Response:
    return PlainTextResponse(text + "\n", HTTPStatus.FORBIDDEN)


def _with_cookie(request: Request, token: str) -> Response:
    """The same page without the token in its address, which is kept by the browser."""
    query = urlencode([(name, value) for name, value in request.query_params.multi_items() if name != TOKEN])
    # A path that begins with two slashes would name another computer.
    path = "/" + request.url.path.lstrip("/")
    response = RedirectResponse(f"{path}?{query}" if query else path, HTTPStatus.SEE_OTHER)
    response.set_cookie(_COOKIE, token, httponly=True, samesite="strict", path="/")
    return response
