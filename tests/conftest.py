"""Property tables are cached in a folder of the test run, never in the user's; files that take long come first."""

import gc
import os
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.ordinary import FIRST, wide

ROOT = Path(__file__).resolve().parents[1]


def pytest_configure(config: pytest.Config) -> None:
    """Before any test module is imported; a worker takes the folder of the run that started it."""
    if "TABLEGEN_TEST_CACHE" in os.environ:  # a run of mutants, which share one folder
        os.environ["TABLEGEN_CACHE"] = os.environ["TABLEGEN_TEST_CACHE"]
    elif "TABLEGEN_CACHE" not in os.environ or not hasattr(config, "workerinput"):
        os.environ["TABLEGEN_CACHE"] = str(Path(tempfile.mkdtemp(prefix="tablegen-tables-")))
    # Workers and processes of their own compile each module once, whatever the shell says.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    # Tests run side by side already; those of workers ask for them.
    os.environ["TABLEGEN_WORKERS"] = "1"
    # Most objects of a run stay until its end: looking for cycles less often takes a tenth of the time off.
    gc.set_threshold(200_000, 20, 50)
    # The order below, not that of the number of tests in a file.
    config.option.loadscopereorder = False


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Wide tests are slow; tests of the long files come before all others, each file in its own order."""
    if "TABLEGEN_TEST_CACHE" in os.environ:  # the quickest first, as they are asked for
        return
    left_out = set(wide([item.nodeid.removeprefix("tests/") for item in items]))
    for item in items:
        if item.nodeid.removeprefix("tests/") in left_out:
            item.add_marker(pytest.mark.slow)
    order = {ROOT / "tests" / name: place for place, name in enumerate(FIRST)}
    items.sort(key=lambda item: order.get(item.path, len(order)))


@pytest.hookimpl(trylast=True)
def pytest_collection_finish(session: pytest.Session) -> None:
    """What is there for the whole run, a million objects, is not looked through again at every garbage collection."""
    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True)
def _each_test_meets_what_it_tests() -> Iterator[None]:
    """While a run of mutants finds which test meets what, none of the physics finds what another has solved."""
    yield
    if os.environ.get("MUTANT_UNDER_TEST") == "stats":
        for module in list(sys.modules.values()):
            if Path(getattr(module, "__file__", None) or "").parent == ROOT / "tests" / "physics":
                for value in list(vars(module).values()):
                    if callable(clear := getattr(value, "cache_clear", None)):
                        clear()
