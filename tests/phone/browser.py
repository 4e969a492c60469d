"""The system's Chromium, and the phone page of the demo in it."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from tests.phone.answers import Look

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
# No call home, and no sandbox where tests run as root in a container.
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
FIELDS = ("refrigerant", "application", "family")


@contextmanager
def chromium() -> Iterator[Any]:
    """A browser; without one the tests are skipped, unless TABLEGEN_BROWSER says that there must be one."""
    found = next((path for path in map(shutil.which, NAMES) if path), None)
    if found is None:
        why = f"no browser: none of {', '.join(NAMES)} is installed (Debian: apt-get install chromium)"
        if os.environ.get("TABLEGEN_BROWSER") == "required":
            pytest.fail(why)
        pytest.skip(why)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=list(ARGUMENTS))
        yield browser
        browser.close()


class Page:
    """A page with all that it wrote to the console and requested from the network."""

    def __init__(self, browser: Any, path: Path, fragment: str = "", width: int = 1024, **context: Any) -> None:
        self.context = browser.new_context(viewport={"width": width, "height": 900}, **context)
        self.page = self.context.new_page()
        self.messages: list[str] = []
        self.requests: list[str] = []
        self.page.on("console", lambda message: self.messages.append(message.text))
        self.page.on("pageerror", lambda error: self.messages.append(str(error)))
        self.page.on("dialog", lambda dialog: (self.messages.append(dialog.message), dialog.dismiss()))
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.url = path.as_uri()
        self.page.goto(self.url + fragment)

    def open(self, fragment: str = "") -> None:
        """Load it anew with nothing remembered, in its window: a new one takes the browser three times as long."""
        self.page.evaluate("localStorage.clear()")
        self.page.goto("about:blank")
        self.messages, self.requests = [], []
        self.page.goto(self.url + fragment)

    def look(self, look: Look) -> dict[str, Any]:
        """Set every field as a person would, and read what the page then shows."""
        wanted = {
            "refrigerant": look.name,
            "application": look.application,
            "family": look.family,
            "sst": look.sst,
            "load": look.load,
            "degrees": look.degrees,
            "loads": look.loads,
        }
        return self.page.evaluate(_LOOK, wanted)

    def text(self, selector: str) -> str:
        return self.page.inner_text(selector).replace("\N{NO-BREAK SPACE}", " ")

    def close(self) -> None:
        """End it; what `check` says must be so."""
        self.context.close()
        self.check()

    def check(self) -> None:
        """It must have written no message, and requested nothing but the file."""
        assert self.messages == []
        assert {url.partition("#")[0] for url in self.requests} == {self.url}


# Units first, for a change of them converts the figures; then all values, and an event of each figure and of a choice.
_LOOK = """
(wanted) => {
  const changed = (id) => document.getElementById(id).dispatchEvent(new Event("input", { bubbles: true }));
  const units = { loads: loadUnit(wanted.loads).name, degrees: wanted.degrees };
  for (const id of ["degrees", "loads"]) {
    const button = document.getElementById(`${id}-${units[id]}`);
    if (button && !button.checked) button.click();
  }
  for (const id of ["refrigerant", "application", "family", "sst", "load"]) document.getElementById(id).value = wanted[id];
  for (const id of ["sst", "load", "application"]) changed(id);
  const texts = (selector) => [...document.querySelectorAll(selector)].map((e) =>
    e.textContent.replace(/\\u00a0/g, " ").trim());
  return { verdict: texts("#verdict")[0], fits: texts("#found ol li"),
    others: texts("#found ul li"), specification: texts("#specification")[0] || "",
    strips: [...document.querySelectorAll("#found ol .window")].map((e) =>
      [parseFloat(e.getAttribute("x")), parseFloat(e.getAttribute("width"))]),
    loads: [...document.querySelectorAll("#found ol .load")].map((e) => parseFloat(e.getAttribute("x1"))) };
}
"""
