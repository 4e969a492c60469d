"""Files of a catalogue's folder `languages`: its own texts in the language of a publication, a file for each."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from tablegen.config._reader import Reader
from tablegen.config.document import ConfigDocument
from tablegen.config.fields import TITLE_LENGTH, Model, Text, must, title_line
from tablegen.config.written_forms import Written, choice_form
from tablegen.errors import BadValue
from tablegen.model.inputs import Catalogue
from tablegen.model.own_texts import own_titles, printed_languages, untranslated
from tablegen.wording import config_errors as wording
from tablegen.wording.language import languages

FOLDER = "languages"
# Of texts that are missing, those that are named.
_NAMED = 3


class LanguageModel(Model):
    """The texts of a catalogue, each with its translation."""

    language: Annotated[
        str,
        must(lambda code: code in languages(), lambda: wording.LANGUAGE(languages=", ".join(languages()))),
        Written(lambda: choice_form(languages())),
    ]
    texts: dict[Text, Text]


LanguageFile = tuple[ConfigDocument, LanguageModel]


def read_languages(reader: Reader, is_wanted: bool) -> dict[str, LanguageFile]:
    """Every sound file of the folder by its language; if they are not wanted, their hashes are noted alone."""
    found: dict[str, LanguageFile] = {}
    for stem, path in reader.files_in(FOLDER).items():
        if not is_wanted:
            reader.bytes_of(path)
            continue
        document = reader.document(path)
        model = reader.model(LanguageModel, document)
        if document is not None and model is not None:
            reader.check_stem(document, "language", model.language, stem)
            found[stem] = document, model
    return found


def check_languages(reader: Reader, catalogue: Catalogue, files: Mapping[str, LanguageFile]) -> None:
    """The file of each language that something is printed in has every text of the catalogue; what it lacks is noted.

    It may have more: those of families that the catalogue does not list.
    """
    for code in printed_languages(catalogue):
        if code not in files:
            continue
        document, model = files[code]
        if missing := untranslated(catalogue, model.texts):
            shown = "; ".join(repr(text) for text in missing[:_NAMED])
            reader.refuse(document, ("texts",), wording.NOT_TRANSLATED(len(missing), texts=shown))
        for text in (own for own in own_titles(catalogue) if own in model.texts and len(own) <= TITLE_LENGTH):
            try:
                title_line(model.texts[text])
            except BadValue as error:
                reader.refuse(document, ("texts", text), str(error))
