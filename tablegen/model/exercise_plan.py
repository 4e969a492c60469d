"""How many exercises a handout has, of which kinds, and how difficult they are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

Difficulty = Literal["easy", "medium", "hard"]
ExerciseKind = Literal[
    "pick",
    "rounding",
    "between",
    "binding",
    "heads",
    "zone",
    "mass_flow",
    "required_kv",
    "static",
    "both_limits",
    "spring",
]
KINDS: tuple[ExerciseKind, ...] = get_args(ExerciseKind)
# The kinds in the order in which a handout has them, by difficulty: reading a table, one calculation, several.
KINDS_OF: Mapping[Difficulty, tuple[ExerciseKind, ...]] = {
    "easy": ("pick", "rounding", "between", "binding", "heads", "zone"),
    "medium": (
        "pick",
        "rounding",
        "mass_flow",
        "required_kv",
        "zone",
        "binding",
        "between",
        "static",
        "heads",
        "both_limits",
        "spring",
        "zone",
    ),
    "hard": ("both_limits", "spring", "required_kv", "static", "pick", "mass_flow", "between", "zone"),
}
MOST_EXERCISES = 60
# How far a load is from the nearest limit at least, as a share: the nearer, the more care a figure takes.
_CLEAR_OF: Mapping[Difficulty, float] = {"easy": 0.08, "medium": 0.04, "hard": 0.02}


@dataclass(frozen=True, slots=True, kw_only=True)
class ExercisePlan:
    """The exercises of a handout: how many, of which kinds (empty: those of the difficulty), and how difficult."""

    count: int = 12
    kinds: tuple[ExerciseKind, ...] = ()
    difficulty: Difficulty = "medium"

    @property
    def in_order(self) -> tuple[ExerciseKind, ...]:
        """The kind of each exercise; the kinds begin again where there are more exercises than kinds."""
        kinds = self.kinds or KINDS_OF[self.difficulty]
        return tuple(kinds[i % len(kinds)] for i in range(self.count))

    @property
    def clear(self) -> float:
        """How far from a limit a load is at least, as a share of it."""
        return _CLEAR_OF[self.difficulty]
