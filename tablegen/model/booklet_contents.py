"""What a booklet prints of what it could: its sections in their order, the rows of its tables, how tables are set."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias, get_args

Section: TypeAlias = Literal[
    "applicability",
    "which_table",
    "how_to_read",
    "worked_examples",
    "conversion",
    "families",
    "tables",
    "cycle",
    "order_guide",
    "method",
    "confidence",
    "confidence_table",
    "assumptions",
    "verification",
    "refrigerants",
    "left_out",
    "revision_record",
]
# What a document of its own may contain.
EngineeringSection: TypeAlias = Literal[
    "method", "confidence", "confidence_table", "assumptions", "verification", "refrigerants"
]
TableSetting: TypeAlias = Literal["wide", "dense", "single"]
EmptyTables: TypeAlias = Literal["printed", "listed"]

TABLES = "tables"
# The chapter with its graphs, or without them.
CONFIDENCE = ("confidence", "confidence_table")
# All of them once, as a booklet has them where nothing else is chosen.
USUAL_SECTIONS: tuple[str, ...] = tuple(name for name in get_args(Section) if name != CONFIDENCE[1])
# Ends the name of the publication that has sections of a booklet as a document of its own.
ENGINEERING = "engineering"


@dataclass(frozen=True, slots=True, kw_only=True)
class BookletContents:
    """What is chosen of a booklet.

    Attributes
    ----------
    title : str
        Empty for that of the catalogue.
    sections : tuple of str
        In their order; without the tables it is the document that has `separate` sections of a booklet.
    separate : tuple of str
        Sections that are in a document of their own.
    sst_k : mapping of str to tuple of float
        SSTs [K] to print of an application, ascending; one that is not named has all of its rows.
    tables : str
        "wide", "dense" or "single".
    empty_tables : str
        "printed", or "listed" with the contents.
    """

    title: str = ""
    sections: tuple[str, ...] = USUAL_SECTIONS
    separate: tuple[str, ...] = ()
    sst_k: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    tables: str = "wide"
    empty_tables: str = "printed"

    @property
    def has_tables(self) -> bool:
        """Whether it is a booklet of tables."""
        return TABLES in self.sections


WHOLE_BOOKLET = BookletContents()
