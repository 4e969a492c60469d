"""Pages say of valves, sizes and heads what the catalogue says, nothing that is true of the demo alone."""

import dataclasses
import io
from pathlib import Path

import pypdf
import pytest

from tablegen.report import phone
from tablegen.report.phone.phone_data import phone_data
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.handout import print_answer_key, print_handout
from tablegen.report.publications.publication import Publication
from tests.demo import demo_data, page_texts, part_of_booklet, reprinted, short_booklet, with_inputs

NOTICE = "For licensed technicians; the maker's data sheet comes first."


def of_a_maker():
    """The demo as a maker would print it: other words on the cover, no company and no compressor that is called invented."""
    data = reprinted(demo_data(), notice=NOTICE, company="Quillmere Valves")
    handouts = tuple(dataclasses.replace(own, school="Harbor Street Evening School") for own in data.catalogue.handouts)
    applications = {
        name: dataclasses.replace(own, sources={**own.sources, "compressor": "Map of the maker."})
        for name, own in data.catalogue.applications.items()
    }
    return with_inputs(data, handouts=handouts, applications=applications)


def test_a_handout_calls_valves_invented_where_the_notice_does():
    for printer in (print_handout, print_answer_key):
        target = io.BytesIO()
        printer(of_a_maker(), "handout", target)
        text = " ".join(" ".join(page_texts(target.getvalue())).split())
        assert NOTICE in text
        assert "nvented" not in text


def test_the_phone_page_says_of_sizes_what_the_family_says():
    record = phone_data(demo_data())
    families = demo_data().catalogue.families
    assert {name: own["note"] for name, own in record["families"].items()} == {
        name: own.note for name, own in families.items()
    }
    # Rowan's sizes are capacities, so a page may not say of all that they are none.
    assert "nominal capacity" in record["families"]["rowan"]["note"]
    scripts = "".join(p.read_text(encoding="utf-8") for p in Path(str(phone.__path__[0]), "page").glob("*.js"))
    assert "no capacity" not in scripts
    assert "family.note" in scripts


def subject_and_first_pages(pdf: bytes) -> tuple[str | None, str]:
    metadata = pypdf.PdfReader(io.BytesIO(pdf)).metadata
    return metadata and metadata.subject, " ".join(" ".join(page_texts(pdf)[:4]).split())


def test_heads_float_where_they_are_low():
    publication = Publication.of(demo_data())
    assert publication.is_floated("walk_in_medium", "R404A")
    assert publication.is_floated("walk_in_medium", "R134a")
    assert not publication.is_floated("walk_in_medium_fixed", "R404A")


@pytest.mark.slow
def test_a_booklet_of_fixed_heads_does_not_speak_of_floating():
    subject, text = subject_and_first_pages(short_booklet("IP", "letter"))
    assert "under floating head pressure" in str(subject)
    target = io.BytesIO()
    print_booklet(part_of_booklet(demo_data(), "alder", application="walk_in_medium_fixed"), "booklet", target)
    subject, text = subject_and_first_pages(target.getvalue())
    assert subject == "Load windows of expansion valves"
    assert "floating head pressure" in subject_and_first_pages(short_booklet("IP", "letter"))[1]
    assert "with floating head pressure" not in text
