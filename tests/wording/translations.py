"""The files of translations: what is in them is what the publications, the workbook and the page for a phone say.

`python -m tests.wording.translations` enters new texts and takes out old ones; `--new CODE` begins a language.
"""

import argparse
import datetime
from collections.abc import Iterator

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po

from tablegen.wording.language import CATALOGUE, FOLDER, languages
from tests.wording.sources import Stated, messages

# Modules of the wording that a publication is set in; answers at the command line and handouts are in English.
MODULES = (
    "message",
    "terms",
    "unit_texts",
    "pictograms",
    "company",
    "cover",
    "how_to_read",
    "opener",
    "pressure_enthalpy",
    "booklet",
    "booklet_pages",
    "opener",
    "how_to_read",
    "refrigerants",
    "offers",
    "method",
    "calculation",
    "minimum_openings",
    "superheat",
    "confidence",
    "assumptions",
    "verification",
    "cautions",
    "back_cover",
    "counter_chart",
    "shelf_labels",
    "revision_notice",
    "orders",
    "workbook",
    "phone",
)
Key = str | tuple[str, ...]
# Dates of the files, so that a clock changes nothing.
_BEGUN = datetime.datetime(2026, 11, 30, tzinfo=datetime.UTC)


def stated() -> Iterator[tuple[Key, Stated]]:
    """Every message to be translated by its text, or its two texts, in the order of modules and lines."""
    for module in MODULES:
        for message in messages():
            if message.module == module:
                texts = tuple(text for text in message.texts if text is not None)
                yield (texts if len(texts) > 1 else texts[0]), message


def read(code: str) -> Catalog:
    """The translations of a language."""
    with (FOLDER / code / CATALOGUE).open("rb") as file:
        return read_po(file, locale=code)


def write(code: str, catalog: Catalog) -> None:
    """Write the translations of a language, so that a changed text is a changed line."""
    path = FOLDER / code / CATALOGUE
    path.parent.mkdir(exist_ok=True)
    with path.open("wb") as file:
        write_po(file, catalog, width=120, omit_header=False, ignore_obsolete=True)


def updated(code: str, old: Catalog) -> Catalog:
    """The translations of a language with every message that there is and no other."""
    new = Catalog(
        locale=code,
        domain="tablegen",
        project="tablegen",
        version="0",
        header_comment="# Texts of publications; see DEVELOPERS.md.",
        msgid_bugs_address="maintainers@example.com",
        creation_date=_BEGUN,
        revision_date=_BEGUN,
        last_translator="none",
        language_team=code,
        fuzzy=False,
    )
    for key, message in stated():
        known = old.get(key if isinstance(key, str) else key[0])
        done = known is not None and known.id == key and not known.fuzzy
        string = known.string if done and known is not None else None
        new.add(key, string=string, auto_comments=[f"{message.module}.{message.constant}"])
    return new


def main() -> None:
    """Bring the files up to date."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--new", metavar="CODE", action="append", default=[])
    new = parser.parse_args().new
    known = languages()[1:]
    # A language that there is keeps its translations, asked for as new or not.
    for code in dict.fromkeys([*known, *new]):
        catalog = updated(code, read(code) if code in known else Catalog(locale=code))
        write(code, catalog)
        missing = sum(not message.string or not any(message.string) for message in catalog if message.id)
        print(f"{code}: {len(catalog)} texts, {missing} not translated")


if __name__ == "__main__":
    main()
