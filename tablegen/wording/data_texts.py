"""Sentences that a data set states in English, said again in the language of a publication.

A data set is one for all languages, so its texts are English.  A text that one of some messages made is taken apart by
that message's placeholders and made again; any other text, such as a title, stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from string import Formatter

from tablegen.wording.language import ENGLISH, figure, language
from tablegen.wording.message import Message

_FIGURE = re.compile(r"\d+(?:\.\d+)?")


def translated_text(text: str, messages: Iterable[Message]) -> str:
    """An English text in the current language, by the first of the messages that makes it.

    What fills a placeholder may be made by one of the messages too.
    """
    if language() == ENGLISH:
        return text
    messages = tuple(messages)
    for message in messages:
        if found := _shape(message.text).fullmatch(text):
            return message(**{name: translated_text(value, messages) for name, value in found.groupdict().items()})
    return text


def with_figures(text: str) -> str:
    """A text with the decimal sign and the digit groups of the current language; a title must not go through it."""
    return _FIGURE.sub(lambda found: figure(found[0]), text)


@cache
def _shape(text: str) -> re.Pattern[str]:
    """What a message makes, with a group for each placeholder."""
    parts = (re.escape(before) + (f"(?P<{name}>.+)" if name else "") for before, name, _, _ in Formatter().parse(text))
    return re.compile("".join(parts))
