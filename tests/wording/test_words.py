"""What a reader meets: plain terms of the trade everywhere, and every sentence in the wording package."""

import argparse
import functools
import importlib
import re
from pathlib import Path

import pytest

import tablegen
from tests.wording import sources
from tests.wording.vocabulary import BRITISH, wrong_words

ROOT = sources.ROOT


def parsers() -> dict[str, argparse.ArgumentParser]:
    """The parser of the command line and of each command, by name."""
    from tablegen.cli import main

    found = {"tablegen": main._parser()}
    for action in found["tablegen"]._actions:
        if isinstance(action, argparse._SubParsersAction):
            found |= action.choices
    return found


def columns() -> dict[str, str]:
    from tablegen.wording.columns import COLUMNS

    return {"columns": "\n".join(COLUMNS)}


def docstrings() -> dict[str, str]:
    found = {name: getattr(tablegen, name) for name in tablegen.__all__}
    return {name: own.__doc__ or "" for name, own in found.items() if not isinstance(own, str)}


def newest_changes() -> str:
    """The newest section of the changelog, without the old names in the first cells of its table of names."""
    newest = re.split(r"(?m)^## ", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"))[1]
    return re.sub(r"(?m)^\|[^|]*\|", "|", newest)


def texts() -> dict[str, str]:
    """Everything that a reader meets besides messages, by a name for the list of what is not converted."""
    files = [
        *sorted((ROOT / "configs").rglob("*.yaml")),
        *sorted((ROOT / "configs").rglob("*.csv")),
        ROOT / "README.md",
        ROOT / "DEVELOPERS.md",
        *(path for end in ("js", "html", "css", "md") for path in sorted((ROOT / "tablegen").rglob(f"*.{end}"))),
    ]
    found = {sources.name_of(path): path.read_text(encoding="utf-8") for path in files}
    found["CHANGELOG.md"] = newest_changes()
    found |= {f"help of {name}": parser.format_help() for name, parser in parsers().items()}
    found |= {f"docstring of {name}": text for name, text in docstrings().items()}
    return found | columns()


@functools.cache
def unconverted() -> dict[str, list[str]]:
    """Everything with a wrong word or a sentence outside the wording package, and what is wrong."""
    found = {name: [str(wrong) for wrong in wrong_words(text)] for name, text in texts().items()}
    for path in sources.package_files():
        if path.parent != sources.WORDING:
            outside = [f"line {line}: {text!r}" for line, text in sources.sentences(path)]
            found.setdefault(sources.name_of(path), []).extend(outside)
    return {name: wrong for name, wrong in found.items() if wrong}


def test_readers_meet_plain_terms_and_every_sentence_is_in_the_wording_package():
    lines = [f"{name}: {wrong}" for name, wrongs in unconverted().items() for wrong in wrongs]
    assert not lines, "\n" + "\n".join(lines)


def test_code_configs_and_manual_spell_as_the_united_states_do():
    """Identifiers too: names of columns and keys are read."""
    ends = ("py", "md", "ipynb", "js", "html", "css", "csv", "yaml")
    files = [path for folder in ("tablegen", "configs") for end in ends for path in (ROOT / folder).rglob(f"*.{end}")]
    files = [path for path in files if "languages" not in path.parts]
    found = {path: BRITISH.search(path.read_text(encoding="utf-8").replace("_", " ")) for path in files}
    assert len(files) > 500
    assert not {sources.name_of(path): own[0] for path, own in found.items() if own}


@pytest.mark.parametrize("path", sorted(sources.WORDING.glob("*.py")), ids=lambda path: path.stem)
def test_messages_use_plain_terms(path: Path):
    own = [stated for stated in sources.messages() if stated.module == path.stem]
    lines = [
        f"{path.name}:{stated.line}: {wrong.found!r}: say {wrong.better}"
        for stated in own
        for text in stated.texts
        for wrong in wrong_words(re.sub(r"{\w+}", "{}", text or ""))
    ]
    assert not lines, "\n" + "\n".join(lines)


def test_messages_are_literals():
    assert len(sources.messages()) > 50
    assert not [s for s in sources.messages() if None in s.texts or not s.texts or not s.constant.isupper()]


def unused() -> list[str]:
    """Constants of the wording package that nothing names."""
    named = {(use.module, use.constant) for path in sources.package_files() for use in sources.uses(path)}
    stated = {(s.module, s.constant) for s in sources.messages()}
    return sorted(f"{module}.{constant}" for module, constant in stated - named)


def test_every_message_is_used():
    assert not unused()


def test_calls_give_the_placeholders_of_their_message():
    known = {(s.module, s.constant): s for s in sources.messages() if s.is_single}
    wrong = []
    for path in sources.package_files():
        for use in sources.uses(path):
            stated = known.get((use.module, use.constant))
            if use.call is None or stated is None or any(k.arg is None for k in use.call.keywords):
                continue
            given = {k.arg for k in use.call.keywords}
            if given != stated.placeholders or len(use.call.args) != len(stated.texts) - 1:
                wrong.append(f"{use.where}: {use.constant} takes {sorted(stated.placeholders)}, given {sorted(given)}")
    assert not wrong, "\n" + "\n".join(wrong)


def test_names_of_wording_modules_exist():
    missing = [
        f"{use.where}: tablegen.wording.{use.module} has no {use.constant}"
        for path in sources.package_files()
        for use in sources.uses(path)
        if not hasattr(importlib.import_module(f"tablegen.wording.{use.module}"), use.constant)
    ]
    assert not missing, "\n" + "\n".join(missing)


@pytest.mark.parametrize(
    ("text", "is_wrong"),
    [
        ("the least load", True),
        ("at least two sizes", False),
        ("a least-squares fit", False),
        ("working pressure 600 psi", False),
        ("a working of the window", True),
        ("box (room) temperature", False),
        ("the most room", True),
        ("floods", True),
        ("floods back", False),
        ("min_load: least_stable", True),
        ("before it is printed", False),
        ("flashes before the valve", True),
        ("the compressor envelope", False),
        ("two decimal places", False),
        ("the place in the window", True),
        ("plain text", False),
    ],
)
def test_ambiguous_words_are_judged_by_what_they_mean(text, is_wrong):
    assert bool(wrong_words(text)) == is_wrong


@pytest.mark.parametrize(
    ("source", "is_sentence"),
    [
        ("x = 'no valve is offered'", True),
        ("x = f'no valve for {a}'", True),
        ("x = f'{a} {b}'", False),
        ("x = 'Rating point'", False),
        ("x = 'Rating point:'", True),
        ("'''A docstring of words.'''", False),
        ("x = f'{a} of {b}'", False),
        ("x = re.compile('one two three')", False),
        ("raise AssertionError('one two three')", False),
        ("f(source='A Book of Valves, 1970')", False),
        ("raise ValueError('one two three')", True),
        ("x = 'max(p_h, p_1) - p_e'", False),
    ],
)
def test_sentences_are_recognized(source, is_sentence, tmp_path):
    path = tmp_path / "own.py"
    path.write_text(source)
    assert bool(list(sources.sentences(path))) == is_sentence
