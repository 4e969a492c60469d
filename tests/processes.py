"""Processes of their own, for tests of what only a process shows."""

from __future__ import annotations

import os
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]


def environment(**more: str) -> dict[str, str]:
    """Little but the checkout and the cache folder of the test run: never the user's."""
    own = {name: os.environ[name] for name in ("TABLEGEN_CACHE", "TABLEGEN_WORKERS")}
    return {"PYTHONPATH": str(ROOT), "PATH": "", **own, **more}
