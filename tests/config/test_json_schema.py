"""Schemas for editors: valid themselves, say yes to every sound file and no where the loader does, and explain each key."""

from __future__ import annotations

import errno
import functools
import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from pydantic import TypeAdapter

import tablegen
from tablegen.cli.main import main
from tablegen.config import packaged_configs
from tablegen.config.document import read_document
from tablegen.config.fields import Model
from tablegen.config.json_schema import _KEYS, _VALUES, MODELS, schema_of, schema_text
from tablegen.config.loader import load_catalogue
from tablegen.config.starter import KIND_OF_FOLDER, start_catalogue
from tablegen.config.written_forms import pressure_form, quantity_form
from tablegen.errors import BadValue, ConfigError
from tablegen.unit_table import KINDS
from tablegen.units import read_pressure, to_si
from tablegen.wording import schema as wording
from tests.small import DEMO, HARD

# The mapping of an old table is no part of a catalogue.
FILES = [path for folder in (DEMO, HARD) for path in sorted(folder.rglob("*.yaml")) if path.parent.name != "legacy"]
NEVER_IN_A_CONFIG = ("mass flow", "density", "enthalpy", "entropy")
QUANTITIES = [kind for kind in KINDS if kind not in ("pressure", *NEVER_IN_A_CONFIG)]
# Every spelling of every unit, and spellings that people make of them.
SPELLINGS = sorted(
    {spelled for kind in KINDS.values() for unit in kind.units for spelled in (unit.name, *unit.also)}
    | {"°F", "deg F", "DEGF", "Δ deg C", "PSIG", "psi (g)", "bar(abs)", "psi gauge", "lb/in² g", "KBTU/H", "m³/h"}
    | {"Percent", "kpa", "mPa", "MPA", "Mbh", "degree", "candela", "hp", "", "delta_degF/h"}
)


@functools.cache
def validator(kind: str) -> Draft202012Validator:
    return Draft202012Validator(schema_of(kind))


def kind_of(path: Path) -> str:
    return KIND_OF_FOLDER.get(path.parent.name, path.stem)


def properties(schema: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every key that a schema describes, at any depth."""
    if isinstance(schema, dict):
        yield from schema.get("properties", {}).items()
        for own in schema.values():
            yield from properties(own)
    elif isinstance(schema, list):
        for own in schema:
            yield from properties(own)


def models(model: type[Model] = Model) -> Iterator[type[Model]]:
    for own in model.__subclasses__():
        yield own
        yield from models(own)


@pytest.mark.parametrize("kind", MODELS)
def test_a_schema_is_one_by_the_metaschema(kind):
    Draft202012Validator.check_schema(schema_of(kind))
    assert json.loads(schema_text(kind)) == schema_of(kind)
    # In the dialect of editors too: ECMA 262 has no lookbehind and no flags within a pattern.
    assert "(?<" not in schema_text(kind) and "(?i" not in schema_text(kind)


@pytest.mark.parametrize("kind", MODELS)
def test_an_unknown_key_is_answered_with_every_key_of_the_schema(kind, tmp_path):
    """One file of each kind of the demo, with a key at its end that is nearly one of them."""
    shutil.copytree(DEMO, tmp_path / "c")
    path = next(p for p in sorted((tmp_path / "c").rglob("*.yaml")) if kind_of(p) == kind)
    schema = schema_of(kind)
    of_kind = [schema, *(schema["$defs"][own["$ref"].split("/")[-1]] for own in schema.get("oneOf", ()))]
    # Of a family, a publication or a part those of its kind.
    stated = read_document(path).data.get("kind")
    known = next(
        own["properties"]
        for own in of_kind
        if "properties" in own and own["properties"].get("kind", {}).get("const") in (None, stated)
    )
    near = [*known][-1]
    with path.open("a", encoding="utf-8") as file:
        file.write(f"\n{near}z: 1\n")
    with pytest.raises(ConfigError) as caught:
        load_catalogue(tmp_path / "c" / "catalogue.yaml")
    (line,) = (own for own in str(caught.value).splitlines() if f": {near}z: " in own)
    listed = line.split("allowed are ")[1].split(" (")[0]
    assert {*listed.split(", ")} == {*known}
    assert f"did you mean {near}?" in line


def test_a_near_miss_of_by_refrigerant_and_of_a_key_below_it(tmp_path):
    shutil.copytree(DEMO, tmp_path / "c")
    path = tmp_path / "c" / "applications" / "walk_in_medium.yaml"
    text = path.read_text(encoding="utf-8")
    for was, now, hint in (
        ("by_refrigerant:\n", "by_refrigerants:\n", "did you mean by_refrigerant?"),
        ("  R134a:\n    low_head:\n", "  R134a:\n    low_haed:\n", "did you mean low_head?"),
    ):
        path.write_text(text.replace(was, now, 1), encoding="utf-8")
        with pytest.raises(ConfigError) as caught:
            load_catalogue(tmp_path / "c" / "catalogue.yaml")
        assert hint in str(caught.value)
    # A refrigerant has no keys of the table itself.
    assert "site_pressure" not in str(caught.value) and "by_refrigerant," not in str(caught.value)


@pytest.mark.parametrize("path", FILES, ids=lambda path: "/".join(path.parts[-2:]))
def test_sound_files_are_sound_by_their_schema(path):
    assert [error.message for error in validator(kind_of(path)).iter_errors(read_document(path).data)] == []


@pytest.mark.parametrize("kind", MODELS)
def test_every_key_has_a_sentence_and_every_value_of_a_closed_list_a_meaning(kind):
    described = list(properties(schema_of(kind)))
    assert len(described) > 1
    for key, own in described:
        assert own["description"].endswith("."), key
        closed = own.get("items", own).get("enum", [])
        for value in closed if key not in ("samples",) else ():
            assert f"{value}: " in own["description"], (key, value)


def test_no_sentence_is_of_a_key_that_there_is_not():
    named = {f"{own.__name__}.{key}" for own in models() for key in own.model_fields} | {
        "ApplicationModel.by_refrigerant"
    }
    plain = {name.partition(".")[2] for name in named}
    for texts in (_KEYS, _VALUES):
        assert [name for name in texts if name not in (named if "." in name else plain)] == []


# File, what is in it, what is written instead.
WRONG = [
    ("catalogue.yaml", "revision: A\ndate", "revison: A\ndate"),
    ("catalogue.yaml", "units: IP", "units: US"),
    ("catalogue.yaml", "samples: 1024", "samples: 1000"),
    ("catalogue.yaml", "date: 2026-11-25\n#", "date: 25.11.2026\n#"),
    ("catalogue.yaml", "share: 95 percent", "share: 0.95"),
    ("groups.yaml", "members: [R407C]", "members: []"),
    ("company.yaml", 'accent: "#1F4E79"', "accent: navy"),
    ("company.yaml", "region: us", "region: eu"),
    ("company.yaml", "{label: Email,", "{labl: Email,"),
    ("families/alder.yaml", "kv: 11.2 L/h", "kv: 11.2"),
    ("families/alder.yaml", "kv: 11.2 L/h", "kv: 11.2 L"),
    ("families/alder.yaml", "kv: 11.2 L/h", "kv: 11.2 L/h, capacity: 1 kW"),
    ("families/alder.yaml", "working_pressure: 450 psi_gauge", "working_pressure: 450 psi"),
    ("families/alder.yaml", "working_pressure: 450 psi_gauge", "working_pressure: 450 psia"),
    ("families/alder.yaml", "subcooling: 1 delta_degF", "subcooling: 1 degF"),
    ("families/alder.yaml", "equalizer: external", "equalizer: outside"),
    ("families/alder.yaml", "kind: thermostatic", "kind: thermostat"),
    ("families/alder.yaml", "[A1, A2L]", "[A1, A2l]"),
    ("families/alder.yaml", "bulb_temperature: 32 degF", "bulb_temperature: 32 delta_degF"),
    ("families/alder.yaml", "[-10 degF, 43.1 psi_absolute]", "[-10 degF]"),
    ("families/hazel.yaml", "full_steps: 500", "full_steps: 5"),
    ("families/hazel.yaml", "minimum_steps: 60", "least_steps: 60"),
    ("applications/walk_in_medium.yaml", "response: constant", "response: fixed"),
    ("applications/walk_in_medium.yaml", "  lift: 0 ft", "  lift: 0 psi"),
    ("applications/walk_in_medium.yaml", "head_pressure: 135 psi_gauge", "head_pressure: 135 psi"),
    ("applications/walk_in_medium.yaml", "basis: bubble\n  subcooling", "basis: boiling\n  subcooling"),
    ("applications/walk_in_medium.yaml", "kind: polynomial", "kind: polinomial"),
    ("applications/walk_in_medium.yaml", "head_pressure: 75 psi_gauge", "head_presure: 75 psi_gauge"),
    ("applications/walk_in_medium.yaml", "distributor: 15 psi", "distributor: 15 psi_gauge"),
    ("applications/walk_in_medium.yaml", "site_pressure: 14.696 psi_absolute", "site_pressure: 0 psi_gauge"),
    ("publications/booklet.yaml", "paper: letter", "paper: legal"),
    ("publications/booklet.yaml", "IP, graph_files: true", "IP, graph_files: SVG"),
    ("publications/handout.yaml", "seed: 2026", "seed: spring"),
    ("publications/labels.yaml", "sst: [14 degF, 24 degF]", "sst: [14 degF]"),
    ("refrigerants/R448A.yaml", "R32: 26 percent", "R32: 26"),
    ("refrigerants/R448A.yaml", "report: AR4", "report: AR3"),
    ("refrigerants/R448A.yaml", "4605.181 kPa_absolute", "4605.181 kPa_gauge"),
    ("languages/de.yaml", "\nlanguage: de\n", "\nlanguage: dee\n"),
]


@pytest.mark.parametrize(("file", "old", "new"), WRONG, ids=lambda text: text.strip().replace("\n", " ")[:40])
def test_what_the_schema_refuses_the_loader_refuses_too(file, old, new, tmp_path):
    folder = shutil.copytree(DEMO, tmp_path / "own")
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    if file.endswith("labels.yaml"):
        catalogue = folder / "catalogue.yaml"
        catalogue.write_text(catalogue.read_text(encoding="utf-8").replace("counter, handout]", "labels]"))
    assert not validator(kind_of(path)).is_valid(read_document(path).data)
    with pytest.raises(ConfigError, match=re.escape(path.name)):
        load_catalogue(folder / "catalogue.yaml")


@pytest.mark.parametrize("kind", QUANTITIES)
def test_the_units_of_a_schema_are_those_that_are_read(kind):
    pattern = str(quantity_form((kind,))["pattern"])
    for spelling in SPELLINGS:
        assert (re.search(pattern, f"12 {spelling}") is not None) == reads(lambda text: to_si(text, kind), spelling), (
            spelling
        )


@pytest.mark.parametrize("reference", ["", "gauge", "absolute"])
def test_the_units_of_a_pressure_are_those_that_are_read(reference):
    pattern = str(pressure_form(reference)["pattern"])

    def read(text: str) -> object:
        reading = read_pressure(text)
        if reference and reading.is_gauge != (reference == "gauge"):
            raise BadValue(text, "")
        return reading

    for spelling in SPELLINGS:
        assert (re.search(pattern, f"12 {spelling}") is not None) == reads(read, spelling), spelling


def reads(read: Any, spelling: str) -> bool:
    try:
        read(f"12 {spelling}")
    except BadValue:
        return False
    return True


@pytest.mark.parametrize(
    ("text", "is_number"),
    [
        *((number, True) for number in ("12", "-4.5", "\N{MINUS SIGN}4.5", ".5", "1.", "1e3", "1,200,000", " 7 ")),
        *((number, False) for number in ("", "1,5", "1 2", "twelve", "1,200", "- 3", "--1", "0x1")),
    ],
)
def test_the_numbers_of_a_schema_are_those_that_are_read(text, is_number):
    pattern = str(quantity_form(("temperature difference",))["pattern"])
    assert (re.search(pattern, f"{text} K") is not None) == is_number
    try:
        assert is_number == (to_si(f"{text} K", "temperature difference") is not None)
    except BadValue:
        assert not is_number


def test_the_examples_of_a_schema_are_read():
    count = 0
    for model in models():
        for field in model.model_fields.values():
            own: TypeAdapter[object] = TypeAdapter(field.rebuild_annotation())
            for example in own.json_schema().get("examples", ()):
                own.validate_python(example)
                count += 1
    assert count > 60


@pytest.mark.slow
def test_a_new_catalogue_names_the_schema_of_each_file_beside_it(tmp_path):
    start_catalogue(tmp_path / "own")
    written = sorted((tmp_path / "own").rglob("*.yaml"))
    assert len(written) == len(sorted(packaged_configs().rglob("*.yaml")))
    for path in written:
        if path.parent.name == "legacy":
            continue
        first = path.read_text(encoding="utf-8").partition("\n")[0]
        named = path.parent / first.removeprefix("# yaml-language-server: $schema=")
        assert named.read_text(encoding="utf-8") == schema_text(kind_of(path))
    assert main(["check", "--catalogue", str(tmp_path / "own")]) == 0


def test_the_command_prints_one_and_writes_all(tmp_path, capsys, monkeypatch):
    assert main(["schema", "family"]) == 0
    assert json.loads(capsys.readouterr().out) == tablegen.schema("family") == schema_of("family")
    assert main(["schema", str(tmp_path / "a" / "schemas")]) == 0
    assert {path.name for path in (tmp_path / "a" / "schemas").iterdir()} == {f"{k}.schema.json" for k in MODELS}
    assert tablegen.schema(tmp_path / "a" / "schemas").keys() == {f"{k}.schema.json" for k in MODELS}
    monkeypatch.chdir(tmp_path)
    capsys.readouterr()
    assert main(["schema", "famly"]) == 2
    assert "did you mean family?" in capsys.readouterr().err and not Path("famly").exists()
    Path("taken").write_text("mine", encoding="utf-8")
    assert main(["schema", "taken"]) == 2
    assert capsys.readouterr().err.startswith("taken: cannot be written: ")


def test_every_kind_has_a_sentence():
    assert tuple(wording.FILES) == tuple(MODELS)


def test_a_full_disk_leaves_no_schema_without_the_others(tmp_path, monkeypatch, capsys):
    written = []

    def write(self: Path, content: bytes) -> int:
        written.append(self)
        if len(written) == 3:
            raise OSError(errno.ENOSPC, "No space left on device")
        with self.open("wb") as file:
            return file.write(content)

    monkeypatch.setattr(Path, "write_bytes", write)
    assert main(["schema", str(tmp_path / "schemas")]) == 2
    assert "No space left on device; nothing was replaced" in capsys.readouterr().err
    assert not list((tmp_path / "schemas").iterdir())
