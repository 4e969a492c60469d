"""A catalogue's own texts in the language of a publication: what is missing, and the draft of their file."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

MISSING = Plural(
    "{language}: {count} of your own texts has no translation and prints as it is written; "
    "'tablegen check --draft {language}' writes languages/{language}.yaml for you to fill in",
    "{language}: {count} of your own texts have no translation and print as they are written; "
    "'tablegen check --draft {language}' writes languages/{language}.yaml for you to fill in",
)
HANDOUT_IN_ENGLISH = Plural(
    "{names}: a handout is printed in English; language {language} of the catalogue does not change it",
    "{names}: handouts are printed in English; language {language} of the catalogue does not change them",
)
A_LANGUAGE = Message("a language")
NOT_THE_DEMO = Message("{--draft}: not for the demo; give a catalogue of your own")
AGAIN = Message("run 'tablegen check --draft' again")
DRAFT_HELP = Message(
    "write languages/CODE.yaml with every text of yours that has no translation; unchanged demo texts get the demo's "
    "translation"
)
WRITTEN = Plural(
    "{file}: written; enter a translation for {count} text",
    "{file}: written; enter translations for {count} texts",
)
WRITTEN_WHOLE = Message("{file}: written")
FROM_DEMO = Plural(
    "({count} text is the demo's, with its translation: check it)",
    "({count} texts are the demo's, with their translations: check them)",
)
NOTHING = Message("{language}: every text of the catalogue has a translation")
