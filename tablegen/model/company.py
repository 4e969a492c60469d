"""What a company states on everything that it publishes: who it is, and revision and date of its catalogue."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Logo:
    """A logo: its width and height, the longer of them 1, and what is drawn.

    `content` is a PNG image, or operators of PDF that fill areas in a square of side 1.
    """

    width: float
    height: float
    content: bytes
    is_png: bool


@dataclass(frozen=True, slots=True)
class Typeface:
    """The faces that a company's publications are set in, as TrueType files whose capitals are as high as the built-in ones.

    Without a bold or an italic one (empty) the built-in one takes its place.
    """

    regular: bytes
    bold: bytes = b""
    italic: bytes = b""


@dataclass(frozen=True, slots=True)
class Wholesaler:
    """Who sells the valves, and the telephone number to call."""

    name: str
    telephone: str
    logo: Logo | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Company:
    """The company that publishes a catalogue, and what it states on every publication.

    `contact` are labels and values, `accent` is a color `#RRGGBB` or empty, without a
    `typeface` they are in the built-in one, `documents` the document numbers of
    publications by name, `cautions` are added to those of the `region` ("us" or "other"). `wholesaler` is whose
    counter charts and labels are that state no other.
    """

    name: str
    tagline: str = ""
    address: tuple[str, ...] = ()
    contact: tuple[tuple[str, str], ...] = ()
    logo: Logo | None = None
    accent: str = ""
    typeface: Typeface | None = None
    documents: Mapping[str, str] = field(default_factory=dict)
    next_review: datetime.date | None = None
    disclaimer: str = ""
    region: str = "us"
    cautions: tuple[str, ...] = ()
    wholesaler: Wholesaler | None = None


@dataclass(frozen=True, slots=True)
class ChangeReason:
    """Why an input was changed: a config file, and a key in it or the first steps of one; without a key the whole file."""

    file: str
    key: str
    why: str

    def covers(self, file: str, key: str) -> bool:
        """Whether it is the reason for a change of a key of a file."""
        return self.file == file and (not self.key or key == self.key or key.startswith(f"{self.key}."))


@dataclass(frozen=True, slots=True)
class Revision:
    """One line of the revision record, and the reasons for what it changed."""

    revision: str
    date: datetime.date
    change: str
    reasons: tuple[ChangeReason, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintSettings:
    """What every publication says of the catalogue, and the units and the language of its workbook and its page."""

    title: str
    company: Company
    notice: str
    revision: str
    date: datetime.date
    units: str
    load_unit: str | None
    language: str
    revisions: tuple[Revision, ...]

    def revisions_since(self, earlier: str) -> tuple[Revision, ...]:
        """The lines of the record after that of an earlier revision; if that is not in it, the line of this revision."""
        names = [own.revision for own in self.revisions]
        if earlier in names:
            return self.revisions[names.index(earlier) + 1 :]
        return tuple(own for own in self.revisions if own.revision == self.revision)
