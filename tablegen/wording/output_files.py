"""Files that a command writes: what is wrong with a name, and what was written."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

NOT_ALLOWED = Message("{option}: {name} is not allowed; {reason}")
NO_NAME = Message("it names no file")
IS_FOLDER = Message("it is a folder; name a file that ends in {endings}")
WRONG_ENDING = Message("the file must end in {endings}")
NO_FOLDER = Message("the folder {folder} does not exist")
CANNOT_WRITE = Message("{option}: {error}")
PAGES = Plural("{file}: {count} page", "{file}: {count} pages")
ROWS = Plural("{file}: {count} row", "{file}: {count} rows")
WRITTEN = Message("{file}: written")

UNITS_HELP = Message("units of the answer (default: {default})")
JSON_HELP = Message("the whole answer as JSON, in SI")
CSV_HELP = Message("also write FILE.csv, in SI: {rows}")
OUTPUT_HELP = Message("also write the answer to FILE: .pdf, .html, .txt or .json")
PAPER_HELP = Message("paper of a PDF (default: A4 with SI units, else letter)")
