"""The demo's desk: for a client in this process, and listening for a browser."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import httpx

from tablegen.web.guard import Access
from tablegen.web.questions import Desk
from tablegen.web.server import DeskServer, listening
from tablegen.web.site import desk_site
from tests.demo import CATALOGUE

DEMO = Desk(CATALOGUE, None)
ADDRESS = "http://127.0.0.1:8777"
PICK = {
    "refrigerant": "R448A",
    "sst": "24",
    "sst_unit": "degF",
    "load": "20",
    "load_unit": "kBtu/h",
    "application": "walk_in_medium",
}
ASKED = {
    "pick": PICK,
    "retrofit": PICK | {"family": "alder", "size": "45", "was": "R404A"},
    "convert": {
        **{name: value for name, value in PICK.items() if not name.startswith("load")},
        "capacity": "20",
        "condensing": "95",
        "basis": "bubble",
        "subcooling": "9",
    },
    "states": {"refrigerant": "R448A, R404A", "coldest": "-40", "warmest": "0", "step": "20"},
    "trace": {
        **{name: value for name, value in PICK.items() if not name.startswith("load")},
        "family": "alder",
        "size": "90",
        "limit": "maximum",
    },
}


class DeskClient:
    """What asks a desk without a network, and keeps its cookies."""

    def __init__(self, desk: Desk = DEMO, access: Access | None = None, address: str = ADDRESS) -> None:
        site = desk_site(desk, access or Access.local(8777))
        self._client = httpx.AsyncClient(transport=httpx.ASGITransport(site), base_url=address)

    def get(self, address: str, **how: Any) -> httpx.Response:
        return asyncio.run(self._client.get(address, **how))

    def post(self, address: str, **how: Any) -> httpx.Response:
        return asyncio.run(self._client.post(address, **how))


client = DeskClient


@contextmanager
def served(desk: Desk = DEMO) -> Iterator[str]:
    """The address of a desk that answers, at any free port."""
    with listening("127.0.0.1", 0) as own:
        port = own.getsockname()[1]
        begun = threading.Event()
        server = DeskServer(desk_site(desk, Access.local(port)), begun.set)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [own]})
        thread.start()
        assert begun.wait(30)
        try:
            yield f"http://127.0.0.1:{port}"
        finally:
            server.should_exit = True
            thread.join(30)
