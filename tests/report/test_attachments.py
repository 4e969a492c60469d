"""The booklet carries the data set that it was printed from, and a build that fails leaves the last one."""

import dataclasses
import hashlib
import io
from pathlib import Path

import pytest
from pypdf import PdfReader

from tablegen import full_build
from tablegen.building import build
from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.errors import PublishError
from tablegen.report.publications.booklet import print_booklet
from tests.demo import CATALOGUE, demo_data, with_inputs


def small(data: DataSet) -> DataSet:
    """The demo with one family in one application: a short booklet, of the whole demo's example."""
    catalogue = data.catalogue
    few = tuple(c for c in catalogue.combinations if (c.family, c.application) == ("alder", "walk_in_medium"))
    own = {
        name: frame[(frame["family"] == "alder") & (frame["application"] == "walk_in_medium")].reset_index(drop=True)
        for name, frame in (("windows", data.windows), ("group_windows", data.group_windows))
    }
    booklet = dataclasses.replace(catalogue.booklets[0], combinations=few, left_out=())
    own |= {"selection_maps": data.selection_maps[:0]}
    summary = dataclasses.replace(data.summary, suggestions=())
    data = dataclasses.replace(data, summary=summary, **own)
    return with_inputs(data, combinations=few, booklets=(booklet,), charts=(), handouts=())


@pytest.fixture(scope="module")
def built(tmp_path_factory) -> Path:
    output = tmp_path_factory.mktemp("output")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(full_build, "compute", lambda catalogue, means: small(demo_data()))
        return build(CATALOGUE, output).folder


def test_attached_files_are_those_on_disk(built):
    attached = PdfReader(built / "booklet.pdf").attachments
    apart = {"windows", "charts", "exercises", "exercise_tables", "limit_forces"}
    assert set(attached) == {*(f"{name}.csv" for name in {*FRAMES} - apart), "columns.csv", "manifest.json"}
    for name, (content,) in attached.items():
        assert content == (built / name).read_bytes()


def test_each_says_what_it_is(built):
    reader = PdfReader(built / "booklet.pdf")
    associated = [reference.get_object() for reference in reader.root_object["/AF"]]
    assert [file["/UF"] for file in associated] == sorted(file["/UF"] for file in associated)
    for file in associated:
        content = (built / file["/UF"]).read_bytes()
        stream = file["/EF"]["/UF"].get_object()
        assert file["/AFRelationship"] == "/Data"
        assert stream["/Subtype"] == ("/text/csv" if file["/UF"].endswith(".csv") else "/application/json")
        assert stream["/Params"]["/Size"] == len(content)
        digest = hashlib.md5(content, usedforsecurity=False).digest()
        assert stream["/Params"]["/CheckSum"].original_bytes == digest
        assert stream["/Params"]["/ModDate"] == "D:20261125000000+00'00'"
        assert stream["/Filter"] == "/FlateDecode"
    assert (built / "booklet.pdf").stat().st_size < 0.4 * sum(f["/EF"]["/F"]["/Params"]["/Size"] for f in associated)


def test_pages_outline_and_metadata_are_still_there(built):
    reader = PdfReader(built / "booklet.pdf")
    assert reader.metadata is not None
    assert reader.metadata.title == "Expansion valves for floating head pressure"
    assert reader.outline
    assert reader.pdf_header == "%PDF-1.7"
    assert "/FontFile2" in next(
        font.get_object()["/FontDescriptor"].get_object() for font in reader.pages[0]["/Resources"]["/Font"].values()
    )


@pytest.mark.slow
def test_a_booklet_for_itself_carries_nothing():
    target = io.BytesIO()
    print_booklet(small(demo_data()), "booklet", target)
    assert not PdfReader(target).attachments


@pytest.mark.slow
def test_the_same_catalogue_gives_the_same_files(built, tmp_path, monkeypatch):
    monkeypatch.setattr(full_build, "compute", lambda catalogue, advance: small(demo_data()))
    again = build(CATALOGUE, tmp_path).folder
    files = sorted(p.relative_to(built) for p in built.rglob("*") if p.is_file())
    assert files == sorted(p.relative_to(again) for p in again.rglob("*") if p.is_file())
    assert {"windows.xlsx", "booklet.pdf", "graphs/booklet/family-alder-superheat.svg"} <= {str(f) for f in files}
    for file in files:
        assert (built / file).read_bytes() == (again / file).read_bytes(), file


def test_a_failure_leaves_the_last_output(built, monkeypatch):
    before = {p: p.read_bytes() for p in built.rglob("*") if p.is_file()}

    def refused(*arguments: object) -> None:
        raise PublishError("no documents today")

    monkeypatch.setattr(full_build, "compute", lambda *_: small(demo_data()))
    monkeypatch.setattr(full_build, "documents", refused)
    with pytest.raises(PublishError, match="no documents today"):
        build(CATALOGUE, built.parent, rebuild=True)
    assert {p: p.read_bytes() for p in built.rglob("*") if p.is_file()} == before
    assert [p.name for p in built.parent.iterdir()] == [built.name]
