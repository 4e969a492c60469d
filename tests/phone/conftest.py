"""A browser, and the demo's phone page on disk and opened."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tablegen.report.phone.phone_page import phone_page
from tests.demo import demo_data, shared
from tests.phone.browser import Page, chromium


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    # Not for longer: while it runs, no other event loop can.
    with chromium() as found:
        yield found


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("phone") / "lookup.html"
    target.write_text(shared("phone-page", lambda: phone_page(demo_data())), encoding="utf-8")
    return target


@pytest.fixture(scope="module")
def window(browser: Any, path: Path) -> Iterator[Page]:
    page = Page(browser, path)
    yield page
    page.close()


@pytest.fixture
def opened(window: Page) -> Iterator[Page]:
    """The page loaded anew in the window that all tests of a file share."""
    window.open()
    yield window
    window.check()
