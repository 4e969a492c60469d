"""Property tables are kept in a folder of the test run, shared by its workers, never in the user's."""

import os
import tempfile
from pathlib import Path

import pytest


def pytest_configure(config: pytest.Config) -> None:
    """Before any test module is imported; a worker takes the folder of the run that started it."""
    if "TABLEGEN_CACHE" not in os.environ or not hasattr(config, "workerinput"):
        os.environ["TABLEGEN_CACHE"] = str(Path(tempfile.mkdtemp(prefix="tablegen-tables-")))
