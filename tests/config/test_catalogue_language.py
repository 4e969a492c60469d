"""The language of a catalogue and of a publication, and the catalogue's own texts in it."""

import json
import shutil

import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.config.document import read_document
from tablegen.config.loader import load_catalogue
from tablegen.errors import ConfigError
from tablegen.model.own_texts import untranslated, without_translations
from tests.config.test_company import edit
from tests.small import DEMO, small_catalogue


@pytest.fixture
def configs(tmp_path):
    shutil.copytree(DEMO, tmp_path / "configs")
    return tmp_path / "configs"


def test_a_publication_has_the_language_of_the_catalogue_or_its_own_and_a_handout_is_in_english(configs):
    edit(configs, "catalogue.yaml", "units: IP\n", "units: IP\nlanguage: fr\n")
    for name in ("counter", "counter_low"):
        edit(configs, f"publications/{name}.yaml", "kind: counter_chart\n", "kind: counter_chart\nlanguage: es\n")
    catalogue = load_catalogue(configs / "catalogue.yaml")
    of = [{own.printed.language for own in kind} for kind in (catalogue.booklets, catalogue.charts, catalogue.handouts)]
    assert (catalogue.printing.language, *of) == ("fr", {"fr"}, {"es"}, {"en"})
    assert catalogue.translations["es"]["Which valve size"] == "Qué tamaño de válvula"


def test_a_note_says_that_a_handout_stays_in_english(configs):
    assert not [note for note in without_translations(load_catalogue(configs / "catalogue.yaml")) if "English" in note]
    edit(configs, "catalogue.yaml", "units: IP\n", "units: IP\nlanguage: fr\n")
    notes = list(without_translations(load_catalogue(configs / "catalogue.yaml")))
    assert "handout: a handout is printed in English; language fr of the catalogue does not change it" in notes


def test_a_language_that_there_is_not_is_refused_with_those_that_there_are(configs):
    edit(configs, "publications/counter.yaml", "kind: counter_chart\n", "kind: counter_chart\nlanguage: pt\n")
    with pytest.raises(ConfigError, match=r"counter\.yaml:4: language: .*one of en, de, es, fr"):
        load_catalogue(configs / "catalogue.yaml")


def test_a_text_without_translation_is_a_problem_once_something_is_printed_in_the_language(configs):
    edit(configs, "languages/es.yaml", "  First issue.: Primera edición.\n", "")
    load_catalogue(configs / "catalogue.yaml")
    edit(configs, "publications/counter.yaml", "kind: counter_chart\n", "kind: counter_chart\nlanguage: es\n")
    with pytest.raises(ConfigError, match=r"es\.yaml:3: texts: 1 text .* has no translation: 'First issue\.'"):
        load_catalogue(configs / "catalogue.yaml")


def test_a_title_is_as_short_in_every_language(configs):
    edit(configs, "languages/es.yaml", "Válvulas de expansión para presión de condensación flotante", "é" * 91)
    load_catalogue(configs / "catalogue.yaml")
    edit(configs, "publications/counter.yaml", "kind: counter_chart\n", "kind: counter_chart\nlanguage: es\n")
    with pytest.raises(ConfigError, match=r"es\.yaml:9: texts\.Expansion valves .*at most 90 characters, has 91"):
        load_catalogue(configs / "catalogue.yaml")


def test_a_file_of_another_language_is_refused(configs):
    edit(configs, "languages/es.yaml", "language: es\ntexts", "language: fr\ntexts")
    with pytest.raises(ConfigError, match=r"es\.yaml:2: language: "):
        load_catalogue(configs / "catalogue.yaml")


def notes(capsys) -> list[str]:
    return [line for line in capsys.readouterr().err.splitlines() if "of your own texts" in line]


def test_check_and_build_say_that_texts_have_no_translation_and_how_to_begin(configs, tmp_path, capsys):
    (configs / "languages" / "es.yaml").unlink()
    assert main(["check", "--catalogue", str(configs)]) == 0 and notes(capsys) == []
    edit(configs, "publications/counter.yaml", "kind: counter_chart\n", "kind: counter_chart\nlanguage: es\n")
    assert main(["check", "--catalogue", str(configs)]) == 0
    count = len(untranslated(load_catalogue(configs / "catalogue.yaml"), {}))
    [note] = notes(capsys)
    assert note == (
        f"note: es: {count} of your own texts have no translation and print as they are written; "
        "'tablegen check --draft es' writes languages/es.yaml for you to fill in"
    )


@pytest.mark.slow
def test_a_build_says_it_too(tmp_path, capsys):
    edits = [("catalogue.yaml", "units: IP\n", "units: IP\nlanguage: es\n")]
    catalogue = small_catalogue(tmp_path / "own", ["alder"], {"R404A": ["R404A"]}, ["walk_in_medium"], edits)
    shutil.rmtree(catalogue.parent / "languages", ignore_errors=True)
    report = tablegen.build(catalogue, tmp_path / "output", only=["windows"])
    assert [text[:3] for text in report.warnings if "of your own texts" in text] == ["es:"]


def test_a_draft_has_every_text_and_the_demo_s_translations(configs, capsys):
    file = configs / "languages" / "es.yaml"
    translated = read_document(file).data["texts"]
    file.unlink()
    edit(configs, "publications/counter.yaml", "kind: counter_chart\n", "kind: counter_chart\nlanguage: es\n")
    edit(configs, "catalogue.yaml", "title: ", "title: Our own ")
    assert main(["check", "--catalogue", str(configs), "--draft", "es"]) == 0
    texts = read_document(file).data["texts"]
    [own] = [text for text, said in texts.items() if not said]
    assert own.startswith("Our own ") and len(texts) > 30
    assert all(said == translated[text] for text, said in texts.items() if text != own)
    said = f"{file}: written; enter a translation for 1 text ({len(texts) - 1} texts are the demo's, with their"
    assert said in capsys.readouterr().out
    # One that is still empty is reported by its line.
    assert main(["check", "--catalogue", str(configs)]) == 2
    assert capsys.readouterr().err.count("es.yaml:") == 1
    translated[own] = "Propias"
    first, *others = texts
    lines = [f"  {json.dumps(own)}: {json.dumps(translated[own])}" for own in others]
    file.write_text("\n".join(["# Ours.", "language: es", "texts:", *lines, ""]), encoding="utf-8")
    tablegen.check(configs, draft="es")
    assert read_document(file).data["texts"] == {**{own: translated[own] for own in others}, first: translated[first]}
    assert file.read_text(encoding="utf-8").startswith("# Ours.\n")


@pytest.mark.parametrize(
    ("code", "message"),
    [("pt", "'pt' is not allowed; a language must be one of de, es, fr"), ("en", "'en' is not allowed; a language")],
)
def test_a_draft_of_a_language_that_there_is_not_is_refused(configs, code, message, capsys):
    assert main(["check", "--catalogue", str(configs), "--draft", code]) == 2
    assert message in capsys.readouterr().err
    assert main(["check", "--demo", "--draft", "es"]) == 2
    assert "--draft: not for the demo" in capsys.readouterr().err
