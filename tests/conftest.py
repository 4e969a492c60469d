"""Property tables are kept in a folder of the test run, shared by its workers, never in the user's."""

import os
from pathlib import Path

import pytest


@pytest.fixture(scope="session", autouse=True)
def _property_tables(tmp_path_factory: pytest.TempPathFactory) -> None:
    base = tmp_path_factory.getbasetemp()
    shared = base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base
    os.environ["TABLEGEN_CACHE"] = str(Path(shared) / "property-tables")
