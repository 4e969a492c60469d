"""What a terminal gets: signs that it can show, and none that would command it or hide what is written."""

from __future__ import annotations

import codecs
import os
import re
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, redirect_stderr, redirect_stdout
from typing import Any, TextIO, cast

# For a terminal or file whose encoding lacks a sign; a lost minus would turn a vacuum into a pressure.
_PLAIN = {
    "\N{MINUS SIGN}": "-",
    "\N{EN DASH}": "-",
    "\N{DEGREE SIGN}": "deg",
    "\N{SUPERSCRIPT TWO}": "2",
    "\N{SUPERSCRIPT THREE}": "3",
    "\N{NO-BREAK SPACE}": " ",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{PRIME}": "'",
    "\N{MULTIPLICATION SIGN}": "x",
}
# Escape sequences begin with control characters; marks of direction show a text in another order than it is written in.
_COMMANDS = re.compile(
    "[\x00-\x08\x0b-\x0c\x0e-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]|\r(?!\n)"
)


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    signs = error.object[error.start : error.end]
    return "".join(_PLAIN.get(sign) or f"\\u{ord(sign):04x}" for sign in signs), error.end


codecs.register_error("tablegen_plain", _plain)


class _SafeStream:
    """A stream that gets what would command a terminal as its code, such as ``\\x1b``."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        """Write a text; a line that a progress bar writes over itself begins with its own carriage return."""
        bar = text.startswith("\r")
        return self._stream.write(_COMMANDS.sub(lambda own: own[0] if bar and own[0] == "\r" else _code(own[0]), text))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def _code(sign: str) -> str:
    return ascii(sign)[1:-1]


@contextmanager
def safe_streams() -> Iterator[None]:
    """Standard output and error, within it, as a terminal can show them.

    Texts of files and arguments may contain anything.  Output into a file or another program stays as it is.
    """
    with ExitStack() as opened:
        # Where a service has closed one, what is written goes nowhere.
        given = [
            stream if stream is not None else opened.enter_context(open(os.devnull, "w", encoding="utf-8"))
            for stream in (sys.stdout, sys.stderr)
        ]
        for stream in given:
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors="tablegen_plain")
        out = cast(TextIO, _SafeStream(given[0])) if given[0].isatty() else given[0]
        opened.enter_context(redirect_stdout(out))
        opened.enter_context(redirect_stderr(cast(TextIO, _SafeStream(given[1]))))
        yield
