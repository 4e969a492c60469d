"""The demo catalogue and what is made of it, once for each process: computing it takes seconds."""

from __future__ import annotations

import dataclasses
import functools
import io
from pathlib import Path

from tablegen.catalogue.build import compute
from tablegen.catalogue.dataset import DataSet
from tablegen.catalogue.inputs import Catalogue
from tablegen.config.project import load_catalogue
from tablegen.publish.booklet import print_booklet

CATALOGUE = Path(__file__).resolve().parents[1] / "configs" / "catalogue.yaml"


@functools.cache
def demo_catalogue() -> Catalogue:
    """The demo's inputs."""
    return load_catalogue(CATALOGUE)


@functools.cache
def demo_data() -> DataSet:
    """The demo's data set; not to be changed by who gets it."""
    return compute(demo_catalogue())


def reprinted(data: DataSet, **settings: str) -> DataSet:
    """A data set with other print settings."""
    inputs = {**data.manifest["inputs"], "printing": {**data.manifest["inputs"]["printing"], **settings}}
    return dataclasses.replace(data, manifest={**data.manifest, "inputs": inputs})


@functools.cache
def demo_booklet(units: str, paper: str) -> tuple[DataSet, bytes]:
    """The demo's data set with print settings, and the booklet printed by them."""
    own = reprinted(demo_data(), units=units, paper=paper)
    target = io.BytesIO()
    print_booklet(own, target)
    return own, target.getvalue()
