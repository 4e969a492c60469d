"""Handouts for a class: one handout of a catalogue, a class list in, a folder with sheets, answers and quiz files out."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from tablegen.dataset.handout_data import for_students, handout_catalogue, handout_data
from tablegen.errors import OutputError
from tablegen.files import replace_folder
from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Handout
from tablegen.model.students import ListedStudent, Student, seed_of
from tablegen.progress import progress
from tablegen.report.class_workbooks import write_grade_sheet, write_questions
from tablegen.report.gift import gift
from tablegen.report.moodle_xml import moodle_xml
from tablegen.report.publications.class_sheets import print_class_answers, print_class_sheets, print_lesson, sheets_of
from tablegen.report.publications.printed_data import PrintedData
from tablegen.report.quiz import by_kind, by_student, quiz_of
from tablegen.sweep.parts import Inline, WindowCache
from tablegen.sweep.sweep import SweepOptions, count_parts
from tablegen.wording import class_handout as wording
from tablegen.wording.language import ENGLISH, speaking

RECORD = "handout.json"
SHEETS, LESSON, ANSWERS = "class.pdf", "lesson.pdf", "class-answers.pdf"
GRADES, QUESTIONS, MOODLE, GIFT = "grades.xlsx", "questions.xlsx", "questions.xml", "questions.gift.txt"
MOODLE_KINDS, GIFT_KINDS = "questions-by-kind.xml", "questions-by-kind.gift.txt"


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoutReport:
    """What was written.

    Attributes
    ----------
    folder : Path
    students : tuple of Student
        With the seed of each, in the order of the class list; without one a student that has no name.
    pages : mapping
        Pages of each PDF by the name of its file.
    files : tuple of str
        Every file in the folder.
    """

    folder: Path
    students: tuple[Student, ...]
    pages: Mapping[str, int]
    files: tuple[str, ...]


def write_handouts(
    catalogue: Catalogue, handout: Handout, listed: Sequence[ListedStudent], target: Path, *, is_shown: bool = False
) -> HandoutReport:
    """Write the handouts of a class into a folder, which an earlier run may have written.

    Parameters
    ----------
    catalogue : Catalogue
    handout : Handout
        Its seed is that of the class.
    listed : sequence of ListedStudent
        Nobody: one sheet with the seed of the class.
    target : Path
    is_shown : bool
        Whether to show a progress bar on stderr.

    Raises
    ------
    PropertyError, PublishError
    OutputError
        If the folder cannot be written, or a file in it is not as this command wrote it; it is untouched then.
    """
    students = [Student(p.name, seed_of(p.name, handout.seed) if p.seed is None else p.seed, p.number) for p in listed]
    students = students or [Student("", handout.seed)]
    own = for_students(handout, students)
    _check_untouched(target)
    parts = count_parts(handout_catalogue(catalogue, own))
    with (
        replace_folder(target, RECORD) as stage,
        progress(parts + 2 * len(students) + 2, is_shown) as shown,
        speaking(ENGLISH),
    ):
        data = PrintedData(handout_data(catalogue, own, SweepOptions(Inline(), WindowCache(), shown.advance)))
        pages = _write(data, students, stage, shown.advance)
        files = sorted(path.name for path in stage.iterdir())
        record = {
            "files": {name: _sha256(stage / name) for name in files},
            "students": [{"name": student.name, "seed": student.seed} for student in students],
        }
        (stage / RECORD).write_text(
            json.dumps(record, indent=1, ensure_ascii=False) + "\n", encoding="utf-8", newline="\n"
        )
    return HandoutReport(folder=target, students=tuple(students), pages=pages, files=(*files, RECORD))


def _write(
    data: PrintedData, students: Sequence[Student], folder: Path, advance: Callable[[str], None]
) -> dict[str, int]:
    """Write every file; the pages of those that have pages."""
    printing = data.data.catalogue.printing
    sheets = sheets_of(data, students)
    quiz = quiz_of(sheets)
    pages = {}
    for name, write in ((SHEETS, print_class_sheets), (ANSWERS, print_class_answers)):
        text = wording.PRINTING(file=name)
        pages[name] = write(data, sheets, folder / name, lambda text=text: advance(text))  # type: ignore[misc]
    advance(wording.PRINTING(file=LESSON))
    pages[LESSON] = print_lesson(data, sheets, folder / LESSON)
    write_grade_sheet(sheets, printing, folder / GRADES)
    write_questions(quiz, printing, folder / QUESTIONS)
    for (xml, text), categories in (((MOODLE, GIFT), by_student(quiz)), ((MOODLE_KINDS, GIFT_KINDS), by_kind(quiz))):
        (folder / xml).write_bytes(moodle_xml(categories))
        (folder / text).write_bytes(gift(categories))
    advance("")
    return pages


def _check_untouched(folder: Path) -> None:
    """See that a folder has only files that this command wrote, as it wrote them: a teacher enters points in one."""
    if not (folder / RECORD).is_file():
        # No folder of this command: it is refused where it would be replaced.
        return
    try:
        written = json.loads((folder / RECORD).read_text(encoding="utf-8"))["files"]
        found = {path.name: _sha256(path) if path.name in written else "" for path in sorted(folder.iterdir())}
    except (OSError, ValueError, LookupError, TypeError, RecursionError):
        written, found = {}, {RECORD: ""}
    else:
        del found[RECORD]
    for name, digest in found.items():
        if name not in written:
            raise OutputError(wording.NOT_OURS(place=str(folder), file=name))
        if digest != written[name]:
            raise OutputError(wording.CHANGED(place=str(folder), file=name))


def _sha256(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
