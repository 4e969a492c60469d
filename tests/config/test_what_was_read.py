"""What a message repeats of what was read, and which texts are numbers."""

from __future__ import annotations

import errno
import shutil
from pathlib import Path

import pytest

from tablegen.api._inputs import in_si
from tablegen.api.handouts import _whole
from tablegen.cli.main import main
from tablegen.config._validation import validate
from tablegen.config.document import parse_document
from tablegen.config.fields import Label, Model, Name, Step
from tablegen.config.selection import override_document
from tablegen.config.starter import start_catalogue
from tablegen.errors import BadValue, ConfigError, FileProblem, OutputError, RequestError, unknown
from tablegen.units import plain_number, to_si, whole_number
from tablegen.web.form_fields import FieldKind, FormField


class _File(Model):
    name: Name = "a"
    text: Label = "a"
    step: Step = 1.0
    count: int = 1


def _problem(text: str) -> str:
    with pytest.raises(ConfigError) as error:
        validate(_File, parse_document(text, "a.yaml"))
    return str(error.value)


@pytest.mark.parametrize(
    ("key", "rule"),
    [("name", "a name is text"), ("text", "must be text"), ("step", "a temperature difference"), ("count", "must be")],
)
@pytest.mark.parametrize(
    ("value", "read"),
    [
        ("[" + ", ".join(["some words"] * 42) + "]", "a list of 42 items"),
        ("[]", "an empty list"),
        ("{a: 1, b: [2]}", "a mapping of 2 keys"),
        ("{}", "an empty mapping"),
        ("", "an empty value"),
        ("true", "True"),
    ],
)
def test_a_wrong_type_is_named_with_what_is_required(key: str, rule: str, value: str, read: str) -> None:
    text = _problem(f"{key}: {value}\n")
    assert text.startswith(f"a.yaml:1: {key}: {read} is not allowed; {rule}"), text


@pytest.mark.parametrize("value", ["y" * 10_000, "y " * 5_000, "1" * 10_000 + " K", "1," * 5_000])
def test_a_long_value_is_repeated_in_part(value: str) -> None:
    with pytest.raises(RequestError) as error:
        in_si("load", value, "load")
    lines = [
        str(error.value),
        str(BadValue(repr(value), "a rule")),
        unknown("a size", value, ["a"]),
        str(FileProblem("a.yaml", 1, value, "text")),
        str(RequestError(f"--name: {value!r} is not known")),
        _problem(f"step: '{value}'\n"),
    ]
    for line in lines:
        assert "..." in line
        assert len(line) < 400


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("a: 1\nb: x\x07y\n", r"a.yaml:2: the character \x07 in column 5"),
        ("a: 1\r\nb: 2\r\n\x1b\r\n", r"a.yaml:3: the character \x1b in column 1"),
        ("a: \ufffe\n", r"a.yaml:1: the character \ufffe in column 4"),
    ],
)
def test_a_control_character_is_found_by_line_and_column(text: str, place: str) -> None:
    with pytest.raises(ConfigError) as error:
        parse_document(text, "a.yaml")
    assert str(error.value) == f"{place} is not allowed in YAML; delete it"


@pytest.mark.parametrize(
    ("text", "key", "second", "first"),
    [
        ("a: 1\nb: 2\na: 3\n", "a", 3, 1),
        ("x:\n  a: 1\n\n  a: 2\n", "a", 4, 2),
        ("x:\n  - a: 1\n    a: 2\n", "a", 3, 2),
        ("x: {a: 1, a: 2}\n", "a", 1, 1),
        ("1: 1\n'1': 2\n", "1", 2, 1),
    ],
)
def test_a_key_that_is_given_twice_is_reported_in_one_form(text: str, key: str, second: int, first: int) -> None:
    with pytest.raises(ConfigError) as error:
        parse_document(text, "a.yaml")
    wanted = f"a.yaml:{second}: the key {key!r} is given twice, first in line {first}; give each key once"
    assert str(error.value) == wanted


def test_a_key_that_is_set_twice_is_refused() -> None:
    with pytest.raises(RequestError, match=r"losses\.lift is already set to a value"):
        override_document(["losses.lift='1 ft'", "losses.lift='2 ft'"])


@pytest.mark.parametrize(
    "text", ["1_0", "\uff11\uff12", "1 0", "nan", "inf", "1e999", "", "0x10", "\u0663", "9" * 1000]
)
def test_what_python_takes_for_a_number_may_be_none(text: str) -> None:
    assert plain_number(text) is None
    assert whole_number(text) is None
    with pytest.raises(BadValue):
        to_si(f"{text} kW", "load")
    with pytest.raises(RequestError):
        _whole("count", text, 1, 100)
    for kind in (FieldKind.WHOLE, FieldKind.NUMBER):
        if text:
            with pytest.raises(RequestError):
                FormField(name="quantity", kind=kind).argument({"quantity": text}, None)


def test_a_number_with_underscores_is_text_in_yaml() -> None:
    data = parse_document("a: 1_0\nb: 1_0.5\nc: 0x_1\nd: [1_0, 10]\n1_0: e\n", "a.yaml").data
    assert data == {"a": "1_0", "b": "1_0.5", "c": "0x_1", "d": ["1_0", 10], "1_0": "e"}


@pytest.mark.parametrize("value", ["1_0", "\uff11\uff12", "x" * 10_000])
def test_an_option_takes_a_whole_number_in_ascii(value: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["pick", "R448A", "--quantity", value, "--demo"])
    shown = capsys.readouterr().err.strip().splitlines()[-1]
    assert "must be a whole number" in shown
    assert len(shown) < 300


def test_a_full_disk_takes_one_line(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(shutil, "copyfile", full)
    monkeypatch.setattr(shutil, "copy2", full)
    for started_for in (None, "wholesaler", "school"):
        with pytest.raises(OutputError) as error:
            start_catalogue(tmp_path / "own", started_for=started_for)
        assert str(error.value) == f"{tmp_path / 'own'}: cannot be written: No space left on device"
        assert not list(tmp_path.iterdir())
