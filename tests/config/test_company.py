"""The company's file: what it gives, and what is refused in it and in the names of files."""

import shutil
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.config._company_model import contrast_with_white
from tablegen.config.input_state import input_state, other_inputs
from tablegen.config.loader import load_catalogue
from tablegen.model.company import Wholesaler

ROOT = Path(__file__).resolve().parents[2]
COMPANY, CATALOGUE = "company.yaml", "catalogue.yaml"


@pytest.fixture
def configs(tmp_path, monkeypatch) -> Path:
    shutil.copytree(ROOT / "configs", tmp_path / "configs")
    monkeypatch.chdir(tmp_path)
    return Path("configs")


def checked(capsys) -> str:
    assert main(["check", "--catalogue", "configs/catalogue.yaml"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    return err


def edit(configs: Path, file: str, old: str, new: str) -> str:
    text = (configs / file).read_text(encoding="utf-8")
    assert old in text
    changed = text.replace(old, new, 1)
    (configs / file).write_text(changed, encoding="utf-8")
    return changed


def test_the_file_gives_what_every_publication_states():
    own = load_catalogue(ROOT / "configs" / CATALOGUE).printing.company
    assert own.name == "Quillmere Valves (invented)"
    assert own.address[0] == "100 Example Street"
    assert own.contact[1] == ("Email", "sizing@example.com")
    assert own.documents == {"booklet": "QB-11", "counter": "QB-21", "counter_low": "QB-22", "handout": "QB-31"}
    assert own.next_review is not None and own.next_review.isoformat() == "2027-11-25"
    assert own.logo is not None and (own.logo.width, own.logo.height, own.logo.is_png) == (1.0, 1.0, False)
    assert (own.accent, own.region, own.cautions) == ("#1F4E79", "us", ())


def test_a_name_alone_is_a_company_too(configs):
    edit(configs, CATALOGUE, "company: company.yaml", "company: Quillmere & Co. (invented)")
    own = load_catalogue(configs / CATALOGUE).printing.company
    assert own.name == "Quillmere & Co. (invented)"
    assert (own.logo, own.documents, own.disclaimer) == (None, {}, "")


# Text in the company's file, what replaces it, text on the line that the message must name, key, the message.
CASES = {
    "pale accent": (
        '"#1F4E79"',
        '"#EE7700"',
        "accent:",
        "accent",
        "'#EE7700' is not allowed; its contrast with white paper is 2.88:1 and must be at least 4.5:1",
    ),
    "color by name": ('"#1F4E79"', "blue", "accent:", "accent", "'blue' is not allowed; a color is '#' and six digits"),
    "misspelled key": ("tagline:", "taglines:", "taglines:", "taglines", "(did you mean tagline?)"),
    "no name": ("name: Quill", "tag_line: Quill", "", "name", "the key is missing; it is required"),
    "unknown publication": (
        "{booklet: QB-11",
        "{bookle: QB-11",
        "documents:",
        "documents.bookle",
        "'bookle' is not allowed; a publication must be one of booklet, counter, counter_low, handout, labels, windows (did you mean booklet?)",
    ),
    "number of two publications": (
        "counter: QB-21",
        "counter: QB-11",
        "documents:",
        "documents.counter",
        "'QB-11' is not allowed; another publication has this number",
    ),
    "long number": (
        "booklet: QB-11",
        f"booklet: {'T' * 17}",
        "documents:",
        "documents.booklet",
        "a document number has at most 16 characters",
    ),
    "review in the past": (
        "2027-11-25",
        "2026-11-25",
        "next_review:",
        "next_review",
        "'2026-11-25' is not allowed; must be after the catalogue's date, 2026-11-25",
    ),
    "region": ("region: us", "region: eu", "region:", "region", "'eu' is not allowed; must be one of"),
    "sign without a glyph": (
        "tagline: Load",
        "tagline: \N{SNOWFLAKE} Load",
        "tagline:",
        "tagline",
        "the pages cannot print '\N{SNOWFLAKE}' (U+2744)",
    ),
    "long disclaimer": ("Ratings are computed", "Ratings " * 60, "disclaimer:", "disclaimer", "at most 400 characters"),
    "logo that is not there": (
        "logo: logo.svg",
        "logo: logo.png",
        "logo:",
        "logo",
        "'logo.png' is not allowed; the file does not exist in the catalogue's folder (did you mean logo.svg?)",
    ),
    "logo of a wholesaler that is not there": (
        "region: us",
        'region: us\nwholesaler: {name: A, telephone: "5", logo: shop.svg}',
        "wholesaler:",
        "wholesaler.logo",
        "'shop.svg' is not allowed; the file does not exist in the catalogue's folder",
    ),
    "logo above": ("logo: logo.svg", "logo: ../logo.svg", "logo:", "logo", "must be a file in the catalogue's folder"),
    "logo by way of above": (
        "logo: logo.svg",
        "logo: families/../logo.svg",
        "logo:",
        "logo",
        "must be a file in the catalogue's folder",
    ),
    "logo elsewhere": (
        "logo: logo.svg",
        "logo: /etc/passwd",
        "logo:",
        "logo",
        "must be a file in the catalogue's folder",
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_what_is_wrong_is_one_line_with_file_and_key(name, configs, capsys):
    old, new, at, key, message = CASES[name]
    changed = edit(configs, COMPANY, old, new)
    number = 1 if not at else 1 + changed[: changed.index(f"\n{at}") + 1].count("\n")
    lines = [
        line for line in checked(capsys).splitlines() if line.startswith(f"configs/company.yaml:{number}: {key}: ")
    ]
    assert len(lines) == 1 and message in lines[0]


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("compny.yaml", "does not exist in the catalogue's folder (did you mean company.yaml?)"),
        ("company.yml", "the company's file must end in .yaml"),
        ("../company.yaml", "must be a file in the catalogue's folder"),
        ("/srv/company.yaml", "must be a file in the catalogue's folder"),
    ],
)
def test_a_file_that_cannot_be_named_is_refused(written, message, configs, capsys):
    (configs.parent / "company.yaml").write_text("name: Outside\n", encoding="utf-8")
    changed = edit(configs, CATALOGUE, "company: company.yaml", f"company: {written}")
    number = 1 + changed[: changed.index("company:")].count("\n")
    shown = checked(capsys)
    assert (
        shown.startswith(f"configs/catalogue.yaml:{number}: company: '{written}' is not allowed;") and message in shown
    )


@pytest.mark.parametrize(("file", "key"), [("company.yaml", "company"), ("logo.svg", "logo")])
def test_a_link_out_of_the_folder_is_refused(file, key, configs, capsys):
    outside = configs.parent / file
    (configs / file).rename(outside)
    (configs / file).symlink_to(outside.resolve())
    assert f"{key}: '{file}' is not allowed; must be a file in the catalogue's folder" in checked(capsys)


@pytest.mark.parametrize("file", ["company.yaml", "logo.svg"])
def test_a_folder_or_a_link_to_itself_is_no_file(file, configs, capsys):
    (configs / file).unlink()
    (configs / file).mkdir()
    assert f"'{file}' is not allowed; it is a folder, a pipe or a device" in checked(capsys)
    (configs / file).rmdir()
    (configs / file).symlink_to(file)
    assert "is not allowed; it is a link to a file that does not exist" in checked(capsys)


@pytest.mark.parametrize("file", ["company.yaml", "logo.svg"])
def test_company_and_logo_are_inputs(file, configs):
    path = configs / CATALOGUE
    files = load_catalogue(path).files
    assert file in files
    others = other_inputs(files)
    before = input_state(path, others)
    (configs / file).write_bytes((configs / file).read_bytes() + b"\n")
    assert input_state(path, others) != before
    assert load_catalogue(path).files[file] != files[file]


def test_a_new_catalogue_has_a_company(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(["init", "own"]) == 0
    schema, own = (tmp_path / "own" / "company.yaml").read_bytes().split(b"\n", 1)
    assert schema == b"# yaml-language-server: $schema=schemas/company.schema.json"
    assert own == (ROOT / "configs" / "company.yaml").read_bytes()
    assert main(["check", "--catalogue", "own"]) == 0


def test_contrast_is_that_of_the_guidelines():
    # Worked examples of WCAG's techniques: black 21:1, gray #767676 the lightest that passes.
    assert contrast_with_white("#000000") == pytest.approx(21.0)
    assert contrast_with_white("#FFFFFF") == pytest.approx(1.0)
    assert contrast_with_white("#767676") == pytest.approx(4.54, abs=0.01)
    assert contrast_with_white("#777777") == pytest.approx(4.48, abs=0.01)


def test_charts_and_labels_that_state_no_wholesaler_have_that_of_the_company(configs):
    for name in ("counter", "counter_low"):
        edit(
            configs, f"publications/{name}.yaml", 'wholesaler: Tarnwick Supply (invented)\ntelephone: "555 0100"\n', ""
        )
    edit(
        configs,
        "publications/labels.yaml",
        "wholesaler: Tarnwick Supply (invented)\n",
        "wholesaler: Own Desk (invented)\n",
    )
    edit(
        configs,
        CATALOGUE,
        "publications: [booklet, counter, counter_low, handout]",
        "publications: [booklet, counter, counter_low, handout, labels]",
    )
    whose = "wholesaler: {name: Fellgate Cooling (invented), telephone: 555 0177}\n"
    edit(configs, COMPANY, "name: Quill", f"{whose}name: Quill")
    own = load_catalogue(configs / CATALOGUE)
    assert {(chart.wholesaler, chart.telephone) for chart in own.charts} == {
        ("Fellgate Cooling (invented)", "555 0177")
    }
    assert {labels.wholesaler for labels in own.labels} == {"Own Desk (invented)"}
    assert own.wholesaler == Wholesaler("Fellgate Cooling (invented)", "555 0177")


def test_whom_to_call_is_the_wholesaler_of_all_charts(configs):
    assert load_catalogue(configs / CATALOGUE).wholesaler == Wholesaler("Tarnwick Supply (invented)", "555 0100")
    # Not one of two.
    text = (configs / "publications/counter.yaml").read_text(encoding="utf-8")
    other = text.replace("publication: counter", "publication: north").replace("555 0100", "555 0199")
    (configs / "publications/north.yaml").write_text(other, encoding="utf-8")
    edit(configs, CATALOGUE, "publications: [booklet, counter,", "publications: [booklet, counter, north,")
    assert load_catalogue(configs / CATALOGUE).wholesaler is None


def test_a_chart_without_any_wholesaler_is_a_problem(configs, capsys):
    edit(configs, "publications/counter.yaml", 'wholesaler: Tarnwick Supply (invented)\ntelephone: "555 0100"\n', "")
    found = checked(capsys)
    assert found.count("the key is missing; state it here, or wholesaler with name and telephone in company.yaml") == 2
    assert "counter.yaml:1: wholesaler: " in found and "counter.yaml:1: telephone: " in found
    edit(configs, COMPANY, "name: Quill", "wholesaler: {name: Fellgate Cooling (invented)}\nname: Quill")
    assert "company.yaml:2: wholesaler.telephone: the key is missing; it is required" in checked(capsys)
