"""A catalogue whose figures stay: tests that work a figure by hand, or print one, are about it and not about the demo."""

from __future__ import annotations

import functools
import io
import shutil
from pathlib import Path

from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tablegen.dataset.dataset import DataSet
from tablegen.model.inputs import Catalogue
from tablegen.report.publications.counter_chart import print_counter_chart
from tests.demo import shared

# Floating heads, a compressor by its clearance, 10 degF of maximum superheat; refrigerants are those of the package.
WORKED = Path(__file__).resolve().parent / "data" / "worked" / "catalogue.yaml"


@functools.cache
def worked_catalogue() -> Catalogue:
    """Its inputs."""
    return load_catalogue(WORKED)


@functools.cache
def worked_data() -> DataSet:
    """Its data set; not to be changed by who gets it."""
    return shared("worked-data", lambda: compute(worked_catalogue()))


@functools.cache
def worked_chart(name: str) -> bytes:
    """One of its counter charts, named as its file."""
    target = io.BytesIO()
    print_counter_chart(worked_data(), name, target)
    return target.getvalue()


def copy_of_worked(folder: Path) -> Path:
    """The catalogue file of a copy that a test may change."""
    shutil.copytree(WORKED.parent, folder)
    return folder / WORKED.name
