"""A file of a catalogue's folder `languages`, with each text that still needs a translation, and the demo's where it has one."""

from __future__ import annotations

import functools
import json
from pathlib import Path

from tablegen.api._changed_files import ChangedFiles
from tablegen.config import packaged_configs
from tablegen.config._input_files import SUFFIX, shown_name
from tablegen.config._languages import FOLDER
from tablegen.config.document import as_mapping, document_of, read_document
from tablegen.config.yaml_edit import edited, in_text_of
from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Catalogue
from tablegen.model.own_texts import untranslated
from tablegen.wording import own_texts as wording
from tablegen.wording.language import ENGLISH, languages


def write_draft(path: Path, catalogue: Catalogue, code: str) -> Path | None:
    """Enter the texts that a language lacks into its file, each with the demo's translation or an empty one; None where it lacks none.

    Raises RequestError for the packaged demo, or a language that there is not; OutputError if the file cannot be written.
    """
    codes = [own for own in languages() if own != ENGLISH]
    if code not in codes:
        raise RequestError(unknown(wording.A_LANGUAGE(), code, codes))
    if path.parent.resolve() == packaged_configs().resolve():
        raise RequestError(wording.NOT_THE_DEMO())
    lacking = untranslated(catalogue, catalogue.translations.get(code, {}))
    if not lacking:
        return None
    known = demo_translations(code)
    texts = {text: known.get(text, "") for text in lacking}
    files, target = ChangedFiles(path.parent), path.parent / FOLDER / f"{code}{SUFFIX}"
    if target.exists():
        shown, content = shown_name(target), target.read_bytes()
        old = document_of(content, shown).data
        wanted = {**old, "texts": {**as_mapping(old.get("texts")), **texts}}
        files.put(target, in_text_of(content, lambda text: edited(text, wanted, shown)[0]))
    else:
        quoted = functools.partial(json.dumps, ensure_ascii=False)
        # In quotes, for a colon or a number sign may be in them.
        lines = [f"  {quoted(text)}: {quoted(said)}" for text, said in texts.items()]
        files.put(target, "\n".join([f"language: {code}", "texts:", *lines, ""]).encode())
    files.write(target, wording.AGAIN())
    return target


def demo_translations(code: str) -> dict[str, str]:
    """What the texts of the demo are in a language: a catalogue that was started from it has some of them."""
    document = read_document(packaged_configs() / FOLDER / f"{code}{SUFFIX}")
    return {text: str(said) for text, said in document.mapping("texts").items()}
