"""Options that several commands have: one spelling, one meaning; exit codes; values below zero."""

import argparse
import re
from pathlib import Path

import pytest

from tablegen.cli.main import _parser, main
from tablegen.cli.options import ExitCode, with_negative_values

ROOT = Path(__file__).resolve().parents[2]
# Names that mean another thing in another command, by the nature of the command.
OWN = {
    "--output": {"build", "cross", "diagram", "handout", "hunt"},
    "--family": {"fit", "import"},
    "--charge": {"fit"},
    "--apply": {"fit"},
}
# Every command that gives an answer has all of these.
OF_ANSWERS = ("--units", "--json", "--csv", "--output", "--paper")
NO_ANSWER = ("build", "check", "desk", "handout", "import", "init", "schema", "upgrade")


def commands(parser: argparse.ArgumentParser | None = None, name: str = "") -> dict[str, argparse.ArgumentParser]:
    """The parsers of all commands and of the words below them."""
    parser = parser or _parser()
    below = [action for action in parser._actions if isinstance(action, argparse._SubParsersAction)]
    if not below:
        return {name: parser}
    return {
        own: found
        for word, child in below[0].choices.items()
        for own, found in commands(child, f"{name} {word}".strip()).items()
    }


COMMANDS = commands()
# Every option of every command.
OPTIONS = [
    (name, option, action)
    for name, parser in COMMANDS.items()
    for action in parser._actions
    for option in action.option_strings
    if option.startswith("--") and option != "--help"
]


def test_an_option_of_several_commands_is_the_same_in_each():
    meanings: dict[str, dict[object, list[str]]] = {}
    for name, option, action in OPTIONS:
        if name in OWN.get(option, ()):
            continue
        help_text = re.sub(r"\(default: .*\)", "", action.help or "").strip()
        # What a row of the CSV file is differs with the answer.
        help_text = help_text.partition(":")[0] if option == "--csv" else help_text
        key = (action.metavar, action.choices and tuple(action.choices), type(action).__name__, help_text)
        meanings.setdefault(option, {}).setdefault(key, []).append(name)
    different = {option: found for option, found in meanings.items() if len(found) > 1}
    assert not different, "\n".join(f"{option}: {found}" for option, found in different.items())


@pytest.mark.parametrize("name", [name for name in COMMANDS if name not in NO_ANSWER])
def test_every_answer_has_the_same_ways_out(name):
    own = {option for command, option, _ in OPTIONS if command == name}
    assert set(OF_ANSWERS) <= own


@pytest.mark.parametrize("name", COMMANDS)
def test_a_catalogue_is_named_by_an_option_and_never_by_a_word(name):
    words = [action.dest for action in COMMANDS[name]._actions if not action.option_strings]
    options = {option for command, option, _ in OPTIONS if command == name}
    assert "catalogue" not in words
    assert ("--catalogue" in options) == ("--demo" in options)


@pytest.mark.parametrize("value", ["si", "SI", "Si"])
def test_units_and_paper_are_read_in_any_case(value):
    for name, parser in COMMANDS.items():
        if name not in NO_ANSWER:
            actions = {option: action for action in parser._actions for option in action.option_strings}
            assert actions["--units"].type(value) in actions["--units"].choices
            assert (
                actions["--paper"].type(value.replace("S", "A").replace("s", "a")[0] + "4")
                in actions["--paper"].choices
            )


TEMPERATURES = [(name, option) for name, option, action in OPTIONS if action.metavar in ("T", "DT")]


@pytest.mark.parametrize(("name", "option"), TEMPERATURES, ids=" ".join)
@pytest.mark.parametrize("value", ["-10F", "-10 degF", "-.5C"])
def test_a_value_below_zero_reaches_its_option(name, option, value, monkeypatch):
    parser = COMMANDS[name]
    for action in parser._actions:
        monkeypatch.setattr(action, "required", False)
        if not action.option_strings:
            monkeypatch.setattr(action, "nargs", "?")
    for group in parser._mutually_exclusive_groups:
        monkeypatch.setattr(group, "required", False)
    (dest,) = {a.dest for a in parser._actions if option in a.option_strings}
    assert getattr(parser.parse_args(with_negative_values([option, value])), dest) == value


def test_many_options_take_a_temperature():
    assert len(TEMPERATURES) > 8


@pytest.mark.parametrize("name", COMMANDS)
def test_help_says_what_every_argument_is_and_writes_exit_codes_in_one_way(name):
    assert [action.dest for action in COMMANDS[name]._actions if not action.help] == []
    assert "exit code" not in (COMMANDS[name].epilog or "")


def test_exit_codes_are_those_of_help_and_manual(capsys):
    with pytest.raises(SystemExit):
        main(["--help"])
    shown = " ".join(capsys.readouterr().out.split())
    manual = (ROOT / "tablegen" / "manual" / "files.md").read_text(encoding="utf-8").split("## Exit codes")[1]
    for code in ExitCode:
        assert re.search(rf"\b{code.value}\b", shown.partition("Exit codes:")[2])
        assert re.search(rf"\b{code.value}\b", manual)
