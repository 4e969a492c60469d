"""A booklet for each family contains what it prints, and the index leads to each."""

import dataclasses
import io
import shutil
from pathlib import Path

import pandas as pd
import pytest
from pypdf import PdfReader

from tablegen.config.loader import load_catalogue
from tablegen.dataset.csv_files import frame_of
from tablegen.errors import ConfigError
from tablegen.model.publications import Booklet, Combination
from tablegen.report.publications.documents import documents
from tests.config.test_company import edit
from tests.demo import demo_data, page_texts, with_inputs
from tests.small import DEMO

PARTS = {
    "rowan": Combination("rowan", "R448A-family", "walk_in_medium_fixed"),
    "larch": Combination("larch", "R448A-family", "walk_in_medium"),
}


@pytest.fixture(scope="module")
def printed(tmp_path_factory) -> dict[str, bytes]:
    """An index and the booklets of two families with one table each, by name."""
    folder: Path = tmp_path_factory.mktemp("series")
    first = demo_data().catalogue.booklets[0].printed
    named = {"guide": "", **{f"guide-{family}": family for family in PARTS}}
    booklets = tuple(
        Booklet(
            printed=dataclasses.replace(first, name=name, publication=name, graph_files=False),
            combinations=(PARTS[family],) if family else tuple(PARTS.values()),
            series="guide",
            family=family,
        )
        for name, family in named.items()
    )
    printing = demo_data().catalogue.printing
    company = dataclasses.replace(printing.company, documents={"guide": "QB-10", "guide-rowan": "QB-11"})
    printing = dataclasses.replace(printing, company=company)
    data = with_inputs(demo_data(), booklets=booklets, charts=(), handouts=(), printing=printing)
    data.write(folder)
    found = {}
    for document in documents(data, folder, None):
        if document.name in named:
            target = io.BytesIO()
            document.writer(target=target)
            found[document.name] = target.getvalue()
    return found


@pytest.mark.parametrize("family", PARTS)
def test_the_booklet_of_a_family_prints_its_tables_and_no_other_family(printed, family):
    text = " ".join(page_texts(printed[f"guide-{family}"]))
    catalogue = demo_data().catalogue
    own = catalogue.families[family]
    assert own.title in text and catalogue.applications[PARTS[family].application].title in text
    others = {other.display_name for other in catalogue.families.values()} - {own.display_name}
    assert not [name for name in others if name in text]
    assert ("QB-11" in text) is (family == "rowan")


@pytest.mark.parametrize("family", PARTS)
def test_the_booklet_of_a_family_contains_its_part_of_the_data(printed, family):
    attached = PdfReader(io.BytesIO(printed[f"guide-{family}"])).attachments
    part = PARTS[family]
    for name in ("group_windows", "selection_maps", "balance"):
        whole = getattr(demo_data(), name)
        own = whole[
            (whole["family"] == part.family)
            & (whole["group"] == part.group)
            & (whole["application"] == part.application)
        ]
        [content] = attached[f"{name}.csv"]
        # A whole number is written without a point.
        read = frame_of(content).astype({column: kind for column, kind in own.dtypes.items() if kind.kind == "f"})
        pd.testing.assert_frame_equal(read.astype(str), own.astype(str).reset_index(drop=True), check_dtype=False)
    assert {"manifest.json", "columns.csv"} <= set(attached)


def test_the_index_leads_to_every_booklet_and_prints_no_table(printed):
    text = " ".join(" ".join(page_texts(printed["guide"])).split())
    assert "QB-11 (guide-rowan.pdf)" in text and "guide-larch.pdf" in text
    assert set(PdfReader(io.BytesIO(printed["guide"])).attachments) == {"columns.csv", "manifest.json"}
    assert "Size for the load" not in text


def test_a_series_is_expanded_and_numbered_from_the_config(tmp_path):
    configs = _series(tmp_path)
    edit(configs, "company.yaml", "documents: {", "documents: {booklet-hazel: QB-13, ")
    catalogue = load_catalogue(configs / "catalogue.yaml")
    first = [own for own in catalogue.booklets if own.printed.is_like(catalogue.booklets[0].printed)]
    assert [own.printed.name for own in first] == ["booklet", *(f"booklet-{name}" for name in catalogue.families)]
    index, *others = first
    assert index.is_index and not any(own.is_index for own in others)
    assert sorted(map(str, index.combinations)) == sorted(str(part) for own in others for part in own.combinations)
    assert catalogue.printing.company.documents["booklet-hazel"] == "QB-13"


def test_what_has_no_booklet_has_no_number_and_no_file_is_written_twice(tmp_path):
    configs = _series(tmp_path)
    edit(configs, "company.yaml", "documents: {", "documents: {booklet-elder: QB-13, ")
    with pytest.raises(ConfigError, match=r"a publication must be one of .*booklet-hazel"):
        load_catalogue(configs / "catalogue.yaml")
    edit(configs, "company.yaml", "booklet-elder: QB-13, ", "")
    text = (configs / "families" / "hazel.yaml").read_text(encoding="utf-8")
    other = text.replace("family: hazel", "family: a4-si").replace("name: Hazel", "name: Elder")
    (configs / "families" / "a4-si.yaml").write_text(other, encoding="utf-8")
    edit(configs, "catalogue.yaml", "[alder, ", "[alder, a4-si, ")
    with pytest.raises(ConfigError, match=r"the publication booklet writes a file booklet-a4-si\.pdf too"):
        load_catalogue(configs / "catalogue.yaml")


def _series(tmp_path: Path) -> Path:
    """The demo's configs with a booklet for each family."""
    configs = tmp_path / "configs"
    shutil.copytree(DEMO, configs)
    edit(configs, "publications/booklet.yaml", "kind: booklet", "kind: booklet\none_for_each: family")
    return configs
