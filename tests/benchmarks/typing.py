"""How long the desk in a browser takes from a keystroke to its answer, and with 50 people at once.

Run with `python -m tests.benchmarks.typing`, on a machine that does nothing else.  The ratio to a plain `pick` is what to
quote: single times depend on the machine.
"""

from __future__ import annotations

import concurrent.futures
import statistics
import time
from urllib.parse import urlencode

import httpx

import tablegen
from tablegen.web.questions import QUESTIONS
from tablegen.web.site import warm_up
from tests.demo import CATALOGUE
from tests.phone.browser import chromium
from tests.web.desks import ASKED, DEMO, PICK, served

ROUNDS, CLIENTS = 30, 50
# From the keystroke to the answer in the page [ms]; the heading says which load it is for.
_TYPE = """
(load) => new Promise((done) => {
  const field = document.getElementById("load"), result = document.getElementById("result");
  const begun = performance.now();
  new MutationObserver((_, own) => { own.disconnect(); done(performance.now() - begun); })
    .observe(result, { childList: true });
  field.value = load;
  field.dispatchEvent(new Event("input", { bubbles: true }));
})
"""


def milliseconds(ask: object, *arguments: object) -> float:
    """Time of a call [ms]."""
    start = time.perf_counter()
    ask(*arguments)  # type: ignore[operator]
    return 1000.0 * (time.perf_counter() - start)


def shown(name: str, times: list[float], plain: float) -> None:
    """A line about some times [ms]."""
    ordered = sorted(times)
    middle, last = statistics.median(ordered), ordered[int(0.95 * len(ordered))]
    print(f"{name}: median {middle:.0f} ms, 95 of 100 within {last:.0f} ms, ratio to a plain pick {middle / plain:.2f}")


def main() -> None:
    """Print the figures."""
    warm_up(DEMO)
    loads = [f"{10 + 0.37 * i:.2f}" for i in range(ROUNDS)]
    case = {"sst": "24F", "application": "walk_in_medium", "catalogue": CATALOGUE}
    plain = statistics.median(
        milliseconds(lambda load: tablegen.pick("R448A", load=f"{load} MBH", **case), load) for load in loads
    )
    print(f"plain pick {plain:.1f} ms")
    with served() as address:

        def ask(name: str, load: str) -> httpx.Response:
            asked = ASKED[name] | ({"load": load} if "load" in ASKED[name] else {})
            return client.get(f"{address}/answer/{name}", params=asked)

        with httpx.Client(timeout=60.0, limits=httpx.Limits(max_connections=CLIENTS)) as client:
            for name in QUESTIONS:
                shown(f"the server, {name}", [milliseconds(ask, name, load) for load in loads], plain)
            with concurrent.futures.ThreadPoolExecutor(CLIENTS) as pool:
                many = [f"{10 + 0.41 * i:.2f}" for i in range(CLIENTS)]
                times = list(pool.map(lambda load: milliseconds(ask, "pick", load), many))
        shown(f"{CLIENTS} people in one instant", times, plain)
        with chromium() as browser:
            page = browser.new_page()
            page.goto(f"{address}/pick?{urlencode(PICK)}")
            times = [page.evaluate(_TYPE, load) for load in loads]
        shown("from a keystroke to the answer in the page", times, plain)


if __name__ == "__main__":
    main()
