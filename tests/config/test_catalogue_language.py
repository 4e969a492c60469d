"""The language of a catalogue and of a publication, and the catalogue's own texts in it."""

import shutil

import pytest

from tablegen.config.loader import load_catalogue
from tablegen.errors import ConfigError
from tests.config.test_company import edit
from tests.small import DEMO


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


def test_a_file_of_another_language_is_refused(configs):
    edit(configs, "languages/es.yaml", "language: es\ntexts", "language: fr\ntexts")
    with pytest.raises(ConfigError, match=r"es\.yaml:2: language: "):
        load_catalogue(configs / "catalogue.yaml")
