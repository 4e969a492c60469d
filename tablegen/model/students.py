"""Students of a class, each with the seed of its own exercises.

A seed follows from the student's name and the seed of the handout: the first four bytes of the SHA-256 of both, most significant
first.  Case and spaces of a name do not matter, so that a list typed again gives the same sheets.
"""

from __future__ import annotations

import hashlib
import unicodedata
from dataclasses import dataclass

LARGEST_SEED = 2**32 - 1


@dataclass(frozen=True, slots=True)
class ListedStudent:
    """A row of a class list: the name on the sheet, the line that it is on, and a seed of its own, if it has one.

    `number` is the school's number of a student who has a name: only the grade sheet shows it.
    """

    name: str
    line: int
    seed: int | None = None
    number: str = ""


@dataclass(frozen=True, slots=True)
class Student:
    """A student with the seed of the exercises on the sheet, and the school's number for the grade sheet, if it has one."""

    name: str
    seed: int
    number: str = ""


def name_key(name: str) -> str:
    """A name without what does not matter in it: case, spaces, and how an accent is encoded."""
    return " ".join(unicodedata.normalize("NFC", name).casefold().split())


def seed_of(name: str, handout_seed: int) -> int:
    """The seed of a student's exercises.

    >>> seed_of("Ana Lopez", 2026) == seed_of("ana  LOPEZ", 2026) != seed_of("Ana Lopez", 2027)
    True
    """
    digest = hashlib.sha256(f"{handout_seed}\n{name_key(name)}".encode()).digest()
    return int.from_bytes(digest[:4], "big")
