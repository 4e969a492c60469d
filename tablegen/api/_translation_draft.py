"""A file of a catalogue's folder `languages`, with each text that still needs a translation."""

from __future__ import annotations

import json
from pathlib import Path

from tablegen.api._changed_files import ChangedFiles
from tablegen.config import packaged_configs
from tablegen.config._input_files import SUFFIX, shown_name
from tablegen.config._languages import FOLDER
from tablegen.config.document import as_mapping, document_of
from tablegen.config.yaml_edit import edited, in_text_of
from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Catalogue
from tablegen.model.own_texts import untranslated
from tablegen.wording import own_texts as wording
from tablegen.wording.language import ENGLISH, languages


def write_draft(path: Path, catalogue: Catalogue, code: str) -> Path | None:
    """Enter the texts that a language lacks into its file, each with an empty translation; None where it lacks none.

    Raises RequestError for the packaged demo, or a language that there is not; OutputError if the file cannot be written.
    """
    known = [own for own in languages() if own != ENGLISH]
    if code not in known:
        raise RequestError(unknown(wording.A_LANGUAGE(), code, known))
    if path.parent.resolve() == packaged_configs().resolve():
        raise RequestError(wording.NOT_THE_DEMO())
    texts = untranslated(catalogue, catalogue.translations.get(code, {}))
    if not texts:
        return None
    files, target = ChangedFiles(path.parent), path.parent / FOLDER / f"{code}{SUFFIX}"
    if target.exists():
        shown, content = shown_name(target), target.read_bytes()
        old = document_of(content, shown).data
        wanted = {**old, "texts": {**as_mapping(old.get("texts")), **dict.fromkeys(texts, "")}}
        files.put(target, in_text_of(content, lambda text: edited(text, wanted, shown)[0]))
    else:
        # In quotes, for a colon or a number sign may be in them.
        lines = [f'  {json.dumps(text, ensure_ascii=False)}: ""' for text in texts]
        files.put(target, "\n".join([f"language: {code}", "texts:", *lines, ""]).encode())
    files.write(target, wording.AGAIN())
    return target
