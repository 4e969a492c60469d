"""Files of config and bench: no more of them is read than such a file can need, and what is no text is told."""

from __future__ import annotations

import stat
from pathlib import Path

from tablegen.errors import ConfigError, Problem


def read_limited(path: Path, shown: str, most_bytes: int, rule: str, is_regular: bool = False) -> bytes:
    """The bytes of a file; `shown` is its name in messages, `rule` says why no such file is larger.

    With `is_regular` anything but a file on disk is refused, such as a pipe that nobody may ever write to.

    Raises
    ------
    ConfigError
        If it cannot be read, or is larger than `most_bytes`.
    """
    try:
        if is_regular and not stat.S_ISREG(path.stat().st_mode):
            raise _refusal(shown, 0, "the file cannot be read: it is a folder or a device")
        # Some files do not tell their size beforehand.
        with path.open("rb") as stream:
            data = stream.read(most_bytes + 1)
    except FileNotFoundError:
        raise _refusal(shown, 0, "the file does not exist") from None
    except OSError as error:
        raise _refusal(shown, 0, f"the file cannot be read: {error.strerror or error}") from error
    if len(data) > most_bytes:
        size = f"{most_bytes // 1_000_000} MB" if most_bytes >= 1_000_000 else f"{most_bytes // 1000} kB"
        raise _refusal(shown, 0, f"the file is larger than {size}; {rule}")
    return data


def as_text(data: bytes, shown: str, kind: str) -> str:
    """UTF-8 text of a file of some kind ("CSV"), less a byte order mark.

    Raises
    ------
    ConfigError
        If it is in another encoding, or holds NUL bytes.
    """
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise _refusal(shown, 0, f"the file cannot be read: it is UTF-16; save it as {kind} in UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        text = f"the file cannot be read: a character is not UTF-8; save it as {kind} in UTF-8"
        raise _refusal(shown, line, text) from None
    if "\0" in text:
        line = text[: text.index("\0")].count("\n") + 1
        raise _refusal(shown, line, "the file cannot be read: a NUL byte stands here, so it is no text")
    return text


def _refusal(shown: str, line: int, text: str) -> ConfigError:
    return ConfigError([Problem(shown, line, "", text)])
