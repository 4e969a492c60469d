"""Cases from a file, their answers in one document, and the records that are kept of them."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

MISSING = Message("missing: {arguments}; give them, or a file of cases with --case")
CASES_ARE_A_LIST = Message("it must be a list of cases, each with the keys of the command's options")
TOO_MANY_CASES = Message("{count} cases are too many for one file; it may have {most}")

CASE = Message("Case")
DATE = Message("Date")
HEADING = Plural("{count} case of {file}", "{count} cases of {file}")
ANSWERED = Plural("{count} case answered.", "{count} cases answered.")
NOT_ANSWERED_COUNT = Plural("{count} case not answered; see the end.", "{count} cases not answered; see the end.")
NOT_ANSWERED = Message("Not answered")
NAMED = Message("{name}: {heading}")
NUMBERED = Message("Case {number}, line {line}: {heading}")

CASE_HELP = Message(
    "file of cases (YAML): one, or a list under 'cases'; its keys are these options; options on the command line override it"
)
RECORD_HELP = Message("folder for a record of each case, which 'tablegen again' checks later")
RECORDED = Message("{file}: record")
OTHER_RECORD = Message(
    "{file}: a different record of this case is there and was left as it is; 'tablegen again' says what has changed, "
    "and another name or date in the case makes another record"
)
RECORD_FOLDER = Message("{--record}: {folder} is a file; it must be a folder")
