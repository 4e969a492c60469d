"""Property tables are kept in a folder of the test run, never in the user's; files that take long come first."""

import os
import tempfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
# Files that take longest, in the order in which workers should take them: what one has computed and printed the others
# find, and none is left with a long file at the end.
FIRST = (
    "catalogue/test_recalculated.py",
    "publish/test_booklet.py",
    "desk/test_trace.py",
    "publish/test_overlap.py",
    "publish/test_handout.py",
    "catalogue/test_exercises.py",
    "publish/test_attachments.py",
    "publish/test_revision_page.py",
    "publish/test_confidence_page.py",
    "publish/test_structure.py",
    "cli/test_cli.py",
    "cli/test_states.py",
)


def pytest_configure(config: pytest.Config) -> None:
    """Before any test module is imported; a worker takes the folder of the run that started it."""
    if "TABLEGEN_CACHE" not in os.environ or not hasattr(config, "workerinput"):
        os.environ["TABLEGEN_CACHE"] = str(Path(tempfile.mkdtemp(prefix="tablegen-tables-")))
    # Tests run side by side already; those of workers ask for them.
    os.environ["TABLEGEN_WORKERS"] = "1"
    # The order below, not that of the number of tests in a file.
    config.option.loadscopereorder = False


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests of the long files before all others, each file in its own order."""
    order = {ROOT / "tests" / name: place for place, name in enumerate(FIRST)}
    items.sort(key=lambda item: order.get(item.path, len(order)))
