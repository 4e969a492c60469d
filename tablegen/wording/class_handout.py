"""Handouts for a class: the command, class lists, what is printed for each student, grades, and questions for a course system."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

# The command.
HELP = Message("print handouts for a class: each student's own exercises, the answers, a grade sheet, quiz files")
DESCRIPTION = Message(
    "Print a handout for a class from the catalogue's handout: a sheet of exercises for each student, the teaching pages once, "
    "one answer key in the order of the class list, a grade sheet, and the same exercises as Moodle XML and GIFT, by student and "
    "by kind, and as a spreadsheet."
)
EPILOG = Message("Exit codes: 0 the folder is written, 2 bad input or nothing can be written")
CLASS_LIST_HELP = Message(
    "CSV or XLSX file with a student in each row: a column 'name' (or 'first name' and 'last name') or, where names should not be "
    "printed, 'number', and 'seed' if a student's exercises are to be those of a seed; without a list one sheet is printed"
)
PUBLICATION_HELP = Message("which handout, by its name in the catalogue (default: the first)")
SEED_HELP = Message("seed of the class, from which and from the names each student's follows (default: the handout's)")
COUNT_HELP = Message("how many exercises (default: as the handout's file says)")
KINDS_HELP = Message(
    "kinds of exercises, separated by commas, such as pick,required_kv (default: as the handout's file says)"
)
DIFFICULTY_HELP = Message("easy, medium or hard (default: as the handout's file says)")
UNITS_HELP = Message("units of the answer (default: the handout's)")
PAPER_HELP = Message("paper of a PDF (default: the handout's)")
OUTPUT_HELP = Message(
    "folder to write; one of an earlier run is replaced unless a file in it was changed (default: handouts)"
)
WRITTEN = Plural("{folder}: handouts for {count} student", "{folder}: handouts for {count} students")
WRITTEN_ONCE = Message("{folder}: one handout")
PAGES = Plural("{file}: {count} page", "{file}: {count} pages")
PRINTING = Message("printing {file}")

# What is wrong with a request.
NO_HANDOUT = Message("the catalogue has no handout; add a publication of kind: handout")
A_HANDOUT = Message("a handout")
WHOLE_NUMBER = Message("it must be a whole number from {lowest} to {highest}")
CHANGED = Message(
    "{place}: not replaced, because {file} is not as it was written; name another folder, or move that file"
)
NOT_OURS = Message(
    "{place}: not replaced, because it contains {file}, which this command did not write; name another folder"
)

# Class lists.
LIST_TOO_LARGE = Message("that is too large for a class list")
MOST_STUDENTS = Message("a class list has at most {count} students")
NO_STUDENTS = Message("the list has no students below its headings")
NO_NAME_COLUMN = Message(
    "the first row must name the columns, one of them 'name', 'first name', 'last name' or 'number'; it has {read}"
)
NAMES_NOBODY = Message("a name or a number is needed")
NUMBER_INSTEAD = Message("write the name in other letters, or leave it out and give a number in a column 'number'")
SAME_NAME = Message(
    "each name must be there once; it is also in line {line}: add a number or an initial, or give this row a seed"
)
REPEATED_ROW = Message("the row repeats line {line}: delete the row")
SEED_RULE = Message("a seed must be a whole number from 0 to {largest}")

# On paper.
SHEETS_TITLE = Message("{title}: exercises")
LESSON_TITLE = Message("{title}: teaching pages")
GRADES = Message("Grade sheet")
ABOUT_GRADES = Message(
    "One point for each number and each choice. The answers follow in this order; exercises that share a "
    "number differ from student to student."
)
LESSON_ANSWERS = Message("Teaching pages")
STUDENT = Message("Student")
TOTAL = Message("Total")
OUT_OF = Message("Out of")
CLASS_AVERAGE = Message("Class average, percent")
NUMBER = Message("ID")
PERCENT = Message("Percent")
EXACT = Message("exact")
TO_MARK = Message("___/{points}")
NO_EXERCISE = Message("–")

# Questions for a course system.
QUIZ = Message("Questions")
NAME = Message("{student} {number}")
IN_UNIT = Message("{what}, in {unit}")
GRAPH_ON_SHEET = Message("The superheat graph is on your sheet of exercises.")
EXERCISE = Message("Exercise")
KIND = Message("Kind")
TITLE = Message("Title")
TEXT = Message("Text")
ASKED = Message("Asked for")
ANSWER = Message("Answer")
UNIT = Message("Unit")
TOLERANCE = Message("Tolerance")
WRONG = Message("Wrong choices")
SEED = Message("Seed")
