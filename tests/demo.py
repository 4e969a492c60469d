"""The demo catalogue and what is made of it, once for the workers of a test run: computing it takes seconds."""

from __future__ import annotations

import dataclasses
import functools
import io
import os
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import filelock
import pypdfium2
import pytest

from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tablegen.dataset.dataset import DataSet
from tablegen.model.inputs import Catalogue
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.report.publications.handout import print_answer_key, print_handout
from tablegen.report.publications.publication import Publication, named

T = TypeVar("T")
CATALOGUE = Path(__file__).resolve().parents[1] / "configs" / "catalogue.yaml"


@functools.cache
def demo_catalogue() -> Catalogue:
    """The demo's inputs."""
    return load_catalogue(CATALOGUE)


def shared(name: str, make: Callable[[], T]) -> T:
    """What one worker has made, left in the folder of the run for the others."""
    path = Path(os.environ["TABLEGEN_CACHE"]) / f"test-{name}.pickle"
    with filelock.FileLock(path.with_suffix(".lock")):
        if path.exists():
            return pickle.loads(path.read_bytes())
        made = make()
        path.write_bytes(pickle.dumps(made))
        return made


@functools.cache
def demo_data() -> DataSet:
    """The demo's data set; not to be changed by who gets it."""
    return shared("data", lambda: compute(demo_catalogue()))


def part_of_booklet(
    data: DataSet, *families: str, application: str = "walk_in_medium", name: str = "booklet"
) -> DataSet:
    """A data set whose only booklet prints some families in one application, for it takes a few times less."""
    own = named(data.catalogue.booklets, name)
    few = tuple(c for c in own.combinations if c.family in families and c.application == application)
    return with_inputs(data, booklets=(dataclasses.replace(own, combinations=few),))


# File names end in these, the first one's in nothing.
_SLOW = [pytest.mark.slow]
SETTINGS = {("IP", "letter"): "", ("SI", "letter"): "-letter-si", ("IP", "a4"): "-a4-ip", ("SI", "a4"): "-a4-si"}
# Both papers and both systems of units for the ordinary run; the two other pairs are slow.
FEW_SETTINGS = [
    pytest.param(setting, id="-".join(setting), marks=[] if setting in (("IP", "letter"), ("SI", "a4")) else _SLOW)
    for setting in SETTINGS
]


def with_inputs(data: DataSet, **inputs: object) -> DataSet:
    """A data set with some of its inputs otherwise, for the pages alone: nothing is computed anew."""
    return dataclasses.replace(data, catalogue=dataclasses.replace(data.catalogue, **inputs))


def page_texts(pdf: bytes) -> list[str]:
    """The text of each page in the order that it is drawn in, many times as fast as with its layout."""
    return list(_page_texts(pdf))


@functools.lru_cache(maxsize=32)
def _page_texts(pdf: bytes) -> tuple[str, ...]:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return tuple(page.get_textpage().get_text_range() for page in document)
    finally:
        document.close()


def reprinted(data: DataSet, company: str = "", **settings: str) -> DataSet:
    """A data set with other words on its cover, or other units of its workbook."""
    printing = data.catalogue.printing
    named = dataclasses.replace(printing.company, name=company or printing.company.name)
    return with_inputs(data, printing=dataclasses.replace(printing, company=named, **settings))


@functools.cache
def demo_booklet(units: str, paper: str) -> tuple[Publication, bytes]:
    """One of the demo's booklets: the publication that it prints, and the document."""
    name = f"booklet{SETTINGS[units, paper]}"
    return booklet_publication(demo_data(), name), shared(name, lambda: _printed(print_booklet, name))


@functools.cache
def short_booklet(units: str, paper: str) -> bytes:
    """One of the demo's booklets with the tables of one family in one application, and every other chapter."""
    name = f"booklet{SETTINGS[units, paper]}"
    short = part_of_booklet(demo_data(), "alder", name=name)
    return shared(f"short-{name}", lambda: _printed(print_booklet, name, short))


def booklet_publication(data: DataSet, name: str = "booklet") -> Publication:
    """What a booklet of a data set prints."""
    return Publication.of(data, named(data.catalogue.booklets, name))


@functools.cache
def demo_chart(name: str) -> bytes:
    """One of the demo's counter charts, named as its file."""
    return shared(name, lambda: _printed(print_counter_chart, name))


@functools.cache
def demo_handout(name: str) -> tuple[bytes, bytes]:
    """One of the demo's handouts, named as its file, with its answer key."""
    return shared(name, lambda: (_printed(print_handout, name), _printed(print_answer_key, name)))


def _printed(printer: Callable[[DataSet, str, io.BytesIO], int], name: str, data: DataSet | None = None) -> bytes:
    target = io.BytesIO()
    printer(data or demo_data(), name, target)
    return target.getvalue()
