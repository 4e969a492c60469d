"""Handouts for a class."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, cast

from tablegen.api._inputs import Units, check_units, loaded, one_of, path_of, refused
from tablegen.config.checks import check_prints
from tablegen.errors import BadValue, ConfigError, FileProblem, shown, unknown
from tablegen.model.exercise_plan import KINDS, KINDS_OF, MOST_EXERCISES, Difficulty, ExerciseKind, ExercisePlan
from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Handout
from tablegen.model.students import LARGEST_SEED
from tablegen.report.answer_files import PAPERS
from tablegen.units import whole_number
from tablegen.wording import class_handout as wording

if TYPE_CHECKING:
    from tablegen.class_folder import HandoutReport


def handout(
    catalogue: str | Path | None = None,
    output: str | Path = "handouts",
    *,
    class_list: str | Path | None = None,
    publication: str | None = None,
    seed: int | None = None,
    count: int | None = None,
    kinds: Sequence[str] = (),
    difficulty: str | None = None,
    units: Units | None = None,
    paper: str | None = None,
    progress: bool = False,
) -> HandoutReport:
    """Print a catalogue's handout for a class: exercises of each student, teaching pages, answers, grade sheet, quiz files.

    Parameters
    ----------
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    output : path
        The folder to write; one of an earlier run is replaced unless a file in it was changed.
    class_list : path, optional
        CSV or XLSX with a student in each row; without it one sheet is printed.
    publication : str, optional
        Which handout, by its name in the catalogue; without it the first.
    seed : int, optional
        The seed of the class, from which and from the names each student's follows; without it the handout's.
    count, kinds, difficulty : optional
        How many exercises, of which kinds, and how difficult ("easy", "medium", "hard"); without them as in the
        handout's file.
    units : "IP" or "SI", optional
    paper : "letter" or "a4", optional
        Without them those of the handout's first print.
    progress : bool
        Show a bar on stderr.

    Returns
    -------
    HandoutReport
        The folder, the students with their seeds, the files and their pages.

    Raises
    ------
    ConfigError
        If the catalogue or the class list cannot be used, or the catalogue has no handout.
    RequestError
        If an argument is not allowed.
    PropertyError
        If the property library fails.
    PublishError
        If a page cannot be set.
    OutputError
        If the folder cannot be written, or a file in it is not as it was written; it is untouched then.

    Examples
    --------
    >>> import tempfile
    >>> folder = Path(tempfile.mkdtemp()) / "class"
    >>> report = handout(output=folder, count=2, difficulty="easy")
    >>> report.files
    ('class-answers.pdf', 'class.pdf', 'grades.xlsx', 'lesson.pdf', 'questions-by-kind.gift.txt', 'questions-by-kind.xml', 'questions.gift.txt', 'questions.xlsx', 'questions.xml', 'handout.json')
    """
    path, own = path_of(catalogue), loaded(catalogue)
    asked = _asked(own, path, publication, check_units(units), paper)
    asked = replace(asked, seed=asked.seed if seed is None else _whole("seed", seed, 0, LARGEST_SEED))
    asked = replace(asked, exercises=_plan(asked.exercises, count, kinds, difficulty))
    listed = []
    if class_list is not None:
        # Here, not above: it reads spreadsheets.
        from tablegen.config.class_list import read_class_list

        listed = read_class_list(Path(class_list))
    check_prints(path, replace(own, charts=(), handouts=(asked,)))
    from tablegen.class_folder import write_handouts

    return write_handouts(own, asked, listed, Path(output), is_shown=progress)


def _asked(catalogue: Catalogue, path: Path, name: str | None, units: Units | None, paper: str | None) -> Handout:
    """The handout that is meant, in the units and on the paper asked for."""
    found = catalogue.handouts
    if not found:
        raise ConfigError([FileProblem(str(path), 0, "", wording.NO_HANDOUT())])
    if paper is not None:
        one_of("paper", paper, PAPERS)
    if name is None:
        name = found[0].printed.publication
    own = [h for h in found if h.printed.publication == name] or [h for h in found if h.printed.name == name]
    if not own:
        names = [handout.printed.publication for handout in found]
        raise refused("publication", unknown(wording.A_HANDOUT(), name, names))
    like = [h for h in own if units in (None, h.printed.units) and paper in (None, h.printed.paper)]
    if like:
        return like[0]
    # Here, not above: another print is made as a file of the catalogue makes it.
    from tablegen.config._printed_model import PrintModel

    first = next((h for h in own if units in (None, h.printed.units)), own[0])
    printed = first.printed
    load_unit = printed.load_unit if units in (None, printed.units) else None
    made = PrintModel.model_validate(
        {"paper": paper or printed.paper, "units": units or printed.units, "load_unit": load_unit}
    )
    return replace(first, printed=made.inputs(printed.name, printed.publication, printed.region, printed.language))


def _plan(plan: ExercisePlan, count: int | None, kinds: Sequence[str], difficulty: str | None) -> ExercisePlan:
    """The exercises asked for, in place of what the handout's file says."""
    if count is not None:
        plan = replace(plan, count=_whole("count", count, 1, MOST_EXERCISES))
    if difficulty is not None:
        plan = replace(plan, difficulty=cast(Difficulty, one_of("difficulty", difficulty, tuple(KINDS_OF))))
    if kinds:
        plan = replace(plan, kinds=tuple(cast(ExerciseKind, one_of("kinds", kind, KINDS)) for kind in kinds))
    return plan


def _whole(name: str, value: object, lowest: int, highest: int) -> int:
    """A whole number within bounds.

    Raises RequestError if it is none.
    """
    number = whole_number(str(value))
    if number is None or not lowest <= number <= highest:
        raise refused(name, BadValue(shown(value), wording.WHOLE_NUMBER(lowest=lowest, highest=highest)))
    return number
