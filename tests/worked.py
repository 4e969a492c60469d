"""A catalogue whose figures stay: tests that work a figure by hand, or print one, are about it and not about the demo."""

from __future__ import annotations

import functools
import shutil
from pathlib import Path

from tablegen.config.loader import load_catalogue
from tablegen.model.inputs import Catalogue

# Floating heads, a compressor by its clearance, 10 degF of maximum superheat; refrigerants are those of the package.
WORKED = Path(__file__).resolve().parent / "data" / "worked" / "catalogue.yaml"


@functools.cache
def worked_catalogue() -> Catalogue:
    """Its inputs."""
    return load_catalogue(WORKED)


def copy_of_worked(folder: Path) -> Path:
    """The catalogue file of a copy that a test may change."""
    shutil.copytree(WORKED.parent, folder)
    return folder / WORKED.name
