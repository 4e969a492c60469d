"""The file of a booklet: which tables it prints, in which sections, of which rows; and the booklets that it makes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config._catalogue_model import LeaveOutModel
from tablegen.config._families import Known, check_rules, without_left_out
from tablegen.config._printed_model import TranslatedModel
from tablegen.config._reader import Reader
from tablegen.config._table_rows import SstRows, chosen_rows
from tablegen.config.document import ConfigDocument
from tablegen.config.fields import BadKey, Name, Title, twice
from tablegen.model.booklet_contents import (
    CONFIDENCE,
    ENGINEERING,
    TABLES,
    USUAL_SECTIONS,
    BookletContents,
    EmptyTables,
    EngineeringSection,
    Section,
    TableSetting,
)
from tablegen.model.inputs import Application
from tablegen.model.publications import Booklet, Combination
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors
from tablegen.wording.message import Message

_Names = Annotated[list[Name], Field(min_length=1)]
_CHOSEN: Mapping[str, Message] = {
    "families": input_errors.A_FAMILY,
    "groups": wording.A_GROUP,
    "applications": input_errors.AN_APPLICATION,
}


class BookletModel(TranslatedModel):
    """A manufacturer's booklet: all that the catalogue computes, or what is chosen of it, less what a rule leaves out of print.

    One for each family, if the catalogue is large, and an index that leads to them.
    """

    kind: Literal["booklet"]
    title: Title | None = None
    one_for_each: Literal["family"] | None = None
    families: _Names | None = None
    groups: _Names | None = None
    applications: _Names | None = None
    leave_out: list[LeaveOutModel] = Field(default_factory=list)
    sections: Annotated[list[Section], Field(min_length=1)] | None = None
    separate: Annotated[list[EngineeringSection], Field(min_length=1)] | None = None
    sst_rows: Annotated[dict[Name, SstRows], Field(min_length=1)] | None = None
    tables: TableSetting = "wide"
    empty_tables: EmptyTables = "printed"

    @model_validator(mode="after")
    def _sections_once(self) -> Self:
        for key in ("sections", "separate", *_CHOSEN):
            if (again := twice(getattr(self, key) or [])) is not None:
                raise BadKey(wording.LISTED_TWICE(), key, again)
        if self.sections is not None and TABLES not in self.sections:
            raise BadKey(wording.TABLES_REQUIRED(), "sections", is_complete=True)
        seen: set[str] = set()
        for key in ("sections", "separate"):
            for place, name in enumerate(getattr(self, key) or []):
                chapter = CONFIDENCE[0] if name in CONFIDENCE else name
                if chapter in seen:
                    raise BadKey(wording.CHAPTER_TWICE(), key, place)
                seen.add(chapter)
        return self

    def parts(self, families: Iterable[str]) -> list[tuple[str, ...]]:
        """The booklet, or an index and those of families; each that has tables also with its separate sections."""
        booklets = [(family,) for family in families] if self.one_for_each else [()]
        found = [(), *booklets] if self.one_for_each else booklets
        return [*found, *((*own, ENGINEERING) for own in booklets if self.separate)]

    def contents(self, sst_k: Mapping[str, tuple[float, ...]]) -> BookletContents:
        """What is chosen, with the rows [K] of each application that has some chosen."""
        separate = tuple(self.separate or ())
        apart = {*separate, *(CONFIDENCE if set(separate) & set(CONFIDENCE) else ())}
        usual = tuple(name for name in USUAL_SECTIONS if name not in apart)
        sections = usual if self.sections is None else tuple(self.sections)
        return self.into(BookletContents, sections=sections, separate=separate, sst_k=sst_k)


def booklets_of(
    reader: Reader,
    document: ConfigDocument,
    model: BookletModel,
    language: str,
    combinations: Sequence[Combination],
    applications: Mapping[str, Application],
    known: Known,
) -> Iterator[Booklet]:
    """Every booklet that a file makes in the language of its catalogue, of its combinations; problems are noted."""
    chosen = _chosen(reader, document, model, combinations)
    printed = dict.fromkeys(part.application for part in chosen)
    rows = chosen_rows(reader, document, model.sst_rows or {}, printed, applications) if chosen else {}
    if not chosen or not check_rules(reader, document, model.leave_out, known):
        return
    left, left_out = without_left_out(reader, document, model.leave_out, chosen, known)
    contents = model.contents(rows)
    series = model.publication if model.one_for_each else ""
    for part in model.parts(dict.fromkeys(part.family for part in left)):
        is_engineering = part[-1:] == (ENGINEERING,)
        family = part[0] if series and part else ""
        own = replace(contents, sections=contents.separate, separate=()) if is_engineering else contents
        for printed_as in model.printed(language, *part):
            yield Booklet(
                printed=printed_as,
                combinations=tuple(c for c in left if c.family == family) if family else left,
                left_out=() if part else left_out,
                series=series,
                family=family,
                contents=own,
            )


def _chosen(
    reader: Reader, document: ConfigDocument, model: BookletModel, combinations: Sequence[Combination]
) -> list[Combination]:
    """The combinations of what is named; none, with the problems noted, where a name is not known or nothing is left."""
    left, before = list(combinations), len(reader.problems)
    for key, what in _CHOSEN.items():
        if (names := getattr(model, key)) is None:
            continue
        of_part = {"families": "family", "groups": "group", "applications": "application"}[key]
        computed = dict.fromkeys(getattr(part, of_part) for part in combinations)
        for place, name in enumerate(names):
            if name not in computed:
                reader.refuse_unknown(document, (key, place), what(), name, computed)
        left = [part for part in left if getattr(part, of_part) in names]
        if not left and len(reader.problems) == before:
            reader.refuse(document, (key,), wording.NOTHING_LEFT())
    return left if len(reader.problems) == before else []
