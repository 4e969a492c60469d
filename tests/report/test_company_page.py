"""What a company states on its publications: logo, document number, contact, cautions of a region."""

import dataclasses
import datetime
import io
import re

import pypdfium2
import pytest
from PIL import Image
from pypdf import PdfReader
from reportlab.platypus import PageBreak, Paragraph

from tablegen.config.logo_file import read_logo
from tablegen.dataset.shown import shown_by
from tablegen.model.company import Company, Logo, Wholesaler
from tablegen.report.answer import Answer
from tablegen.report.answers.cases import imprint_of
from tablegen.report.html import answer_page
from tablegen.report.pdf.answer_sheet import print_answer
from tablegen.report.pdf.logo import SIDE, Letterhead
from tablegen.report.pdf.page import STYLES, Document, Heading, contents, paragraph
from tablegen.report.pdf.page_sides import LeftPage, SparePage
from tablegen.report.phone.phone_page import phone_page
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.report.publications.handout import print_answer_key, print_handout
from tests.demo import demo_data, page_texts, part_of_booklet, short_booklet, with_inputs

NAME = "Quillmere Valves (invented)"


def stated(company: Company, region: str = "") -> list[str]:
    """The pages of a short booklet with another company, without ends of lines."""
    return [" ".join(text.split()) for text in page_texts(printed(company, region))]


def printed(company: Company, region: str = "") -> bytes:
    data = part_of_booklet(demo_data(), "rowan")
    [own] = data.catalogue.booklets
    own = dataclasses.replace(own, printed=dataclasses.replace(own.printed, region=region))
    printing = dataclasses.replace(data.catalogue.printing, company=company)
    target = io.BytesIO()
    print_booklet(with_inputs(data, printing=printing, booklets=(own,)), "booklet", target)
    return target.getvalue()


def test_the_cover_names_company_and_document():
    pages = page_texts(short_booklet("IP", "letter"))
    for text in (
        NAME,
        "Load windows for floating head pressure",
        "QB-11 Revision A 2026-11-25",
        f"Data {demo_data().fingerprint}",
    ):
        assert text in " ".join(pages[0].split())
    assert PdfReader(io.BytesIO(short_booklet("IP", "letter"))).metadata.author == NAME


@pytest.mark.slow
def test_the_last_page_says_how_to_reach_the_company_and_what_to_have_ready():
    last = " ".join(page_texts(short_booklet("SI", "a4"))[-1].split())
    fingerprint = demo_data().fingerprint
    for text in (
        "100 Example Street",
        "Email sizing@example.com",
        "Have ready family and size",
        f"Quote QB-11, revision A, data {fingerprint}, and the page",
        "Next review: 2027-11-25.",
        "Nothing here is a warranty",
    ):
        assert text in last


@pytest.mark.parametrize(
    ("make", "name", "number"),
    [
        (print_booklet, "booklet", "QB-11"),
        (print_counter_chart, "counter-a4-si", "QB-21"),
        (print_handout, "handout", "QB-31"),
        (print_answer_key, "handout", "QB-31"),
    ],
)
def test_the_document_number_is_at_the_foot_of_every_page(make, name, number):
    data = part_of_booklet(demo_data(), "rowan") if make is print_booklet else demo_data()
    target = io.BytesIO()
    count = make(data, name, target)
    pages = page_texts(target.getvalue())
    assert len(pages) == count
    for page, text in enumerate(pages, 1):
        # The page number is at the outer edge of a booklet.
        mark, place = f"{number}, revision A", f"Page {page} of {count}"
        assert re.search(rf"{mark}\s+{place}|{place}\s+{mark}", text), page


@pytest.mark.slow
def test_a_company_of_a_name_alone_adds_nothing():
    pages = stated(Company(name="Quillmere Valves"))
    assert "Quillmere Valves" in pages[0]
    assert not [text for text in pages if "revision A" in text and "Page" in text and "TG-" in text]
    assert not any("Have ready" in text or "QB-11" in text for text in pages)
    assert re.search(r"Quote revision A, data \w+, and the page", pages[-1])


@pytest.mark.slow
def test_the_back_cover_is_one_page_and_the_back_however_much_is_stated():
    wordy = dataclasses.replace(
        demo_data().catalogue.printing.company, cautions=("A caution of the company. " * 6,) * 3, address=("A",) * 6
    )
    for company in (Company(name="Quillmere Valves"), wordy):
        pages = stated(company)
        assert len(pages) % 2 == 0
        [last] = [number for number, text in enumerate(pages) if "Before you install the valve Pressure" in text]
        assert last == len(pages) - 1
        assert pages[-1].count("A caution of the company.") == 6 * len(company.cautions)


@pytest.mark.parametrize("before", [1, 2, 3])
def test_what_is_for_a_left_page_waits_for_one(before: int):
    target = io.BytesIO()
    story = [Heading("First"), *(item for _ in range(before - 1) for item in (PageBreak(), paragraph("More")))]
    count = Document(target, "letter", "Title", date=None).build([*story, LeftPage(), paragraph("At the left")])
    pages = page_texts(target.getvalue())
    assert count == len(pages) == {1: 2, 2: 4, 3: 4}[before]
    assert "At the left" in pages[-1] and len(pages) % 2 == 0
    assert [("Notes" in text) for text in pages] == [False] * before + [True] * (before % 2 == 0) + [False]


@pytest.mark.parametrize("before", [1, 2])
def test_a_spare_page_fills_an_empty_right_page_or_comes_in_its_place(before: int):
    target = io.BytesIO()
    spare = SparePage([Heading("Spare"), paragraph("A page of its own"), PageBreak()])
    story = [contents(), *(item for i in range(before) for item in (Heading(f"Chapter {i}"), PageBreak()))]
    story += [LeftPage(spare), Heading("At the left"), PageBreak(), spare, Heading("Last")]
    # In two passes, which set the same pages.
    Document(target, "letter", "Title", date=None).build(story)
    pages = page_texts(target.getvalue())
    found = {
        name: next(i for i, text in enumerate(pages, 1) if f"\n{name}\r" in f"\n{text}") for name in ("Spare", "Last")
    }
    assert found == ({"Spare": 3, "Last": 5} if before == 2 else {"Spare": 3, "Last": 4})
    assert "At the left" in pages[3 if before == 2 else 1]
    assert not any("Notes" in text for text in pages)


@pytest.mark.slow
def test_the_same_company_gives_the_same_bytes():
    company = demo_data().catalogue.printing.company
    logo = Logo(width=1.0, height=0.5, content=_png(40, 20), is_png=True)
    for own in (company, dataclasses.replace(company, logo=logo)):
        assert printed(own) == printed(own)


@pytest.mark.slow
def test_elsewhere_no_law_of_the_united_states_is_cited():
    company = dataclasses.replace(Company(name="Quillmere Valves"), cautions=("Mind the own caution.",))
    here, elsewhere = " ".join(stated(company)), " ".join(stated(company, "other"))
    assert "29 CFR 1910.147" in here and "10 CFR 431.302" in here and "40 CFR 82.161" in here
    assert not re.search(r"CFR|USC|EPA|United States|ASHRAE 15", re.sub(r"Sources?:.*", "", elsewhere))
    assert "lock out every source of energy during work." in elsewhere
    assert "Mind the own caution." in here and "Mind the own caution." in elsewhere
    # The company's region is that of every publication without one.
    assert " ".join(stated(dataclasses.replace(company, region="other"))) == elsewhere


@pytest.mark.slow
def test_a_chart_depends_on_no_more_of_the_company_than_it_shows():
    data = demo_data()
    printing, [chart, *_] = data.catalogue.printing, data.catalogue.charts

    def code(**changed: object) -> str:
        company = dataclasses.replace(printing.company, **changed)
        other = with_inputs(data, printing=dataclasses.replace(printing, company=company))
        return shown_by(other, chart.printed.publication).fingerprint

    assert code() == code(contact=(), address=(), accent="", next_review=datetime.date(2030, 1, 1))
    assert code() == code(logo=None)
    assert code() != code(disclaimer="Another one.")
    assert code() != code(documents={"counter": "QB-99"})


def test_the_logo_of_a_chart_is_the_wholesaler_s_and_larger_than_a_sign_among_cautions():
    data = demo_data()
    [chart, *others] = data.catalogue.charts
    assert chart.logo is None
    seen = []
    for logo in (None, Logo(width=1.0, height=0.5, content=_png(40, 20), is_png=True)):
        target = io.BytesIO()
        charts = (dataclasses.replace(chart, logo=logo), *others)
        print_counter_chart(with_inputs(data, charts=charts), chart.printed.name, target)
        page = pypdfium2.PdfDocument(target.getvalue())[0]
        seen.append([own.get_bounds() for own in page.get_objects() if own.type == pypdfium2.raw.FPDF_PAGEOBJ_IMAGE])
    assert not seen[0]
    [(left, bottom, right, top)] = seen[1]
    assert right - left > 40.0 and top - bottom > 20.0
    words = page.get_textpage()
    found = words.search(chart.telephone)
    at, count = found.get_next()
    _, low, _, high = words.get_rect(words.count_rects(at, count) - 1)
    assert bottom < low < high < top


def test_an_answer_and_the_phone_page_have_the_wholesaler_s_logo_beside_its_name():
    logo = Logo(width=1.0, height=0.5, content=_png(40, 20), is_png=True)
    data = demo_data()
    company = dataclasses.replace(
        data.catalogue.printing.company, wholesaler=Wholesaler("Tarnwick Supply", "555 0100", logo), logo=None
    )
    data = with_inputs(data, printing=dataclasses.replace(data.catalogue.printing, company=company))
    beside = re.compile(
        r'<img class="logo" src="data:image/png;base64,[^"]+" alt="Logo of Tarnwick Supply">\s*Tarnwick'
    )
    assert beside.search(phone_page(data))
    answer = Answer(
        key="pick", heading="A valve", imprint=imprint_of(data.catalogue, "R404A", has_wholesaler=True), units="IP"
    )
    assert beside.search(answer_page.page(answer)) and "img-src data:" in answer_page.page(answer)
    target = io.BytesIO()
    print_answer(answer, "letter", target)
    assert list(PdfReader(target).pages[0].images)


def _png(width: int, height: int) -> bytes:
    target = io.BytesIO()
    Image.new("RGB", (width, height), "black").save(target, "PNG")
    return target.getvalue()


def _svg(width: int, height: int) -> bytes:
    # Larger than its frame on every side, which cuts it off.
    area = f'<rect x="-50" y="-50" width="{width + 100}" height="{height + 100}"/>'
    return f'<svg viewBox="0 0 {width} {height}">{area}</svg>'.encode()


@pytest.mark.parametrize("make", [_png, _svg])
@pytest.mark.parametrize(("width", "height"), [(40, 40), (90, 30), (20, 40)])
def test_a_logo_is_drawn_and_no_larger_than_its_square(make, width, height):
    logo = read_logo(make(width, height), "logo")
    target = io.BytesIO()
    document = Document(target, "letter", "Title", date=datetime.date(2026, 11, 25))
    document.build([Heading("H"), Letterhead([Paragraph(" ", STYLES["body"])], logo, "Logo")])
    scale = 4
    page = pypdfium2.PdfDocument(target.getvalue())[0].render(scale=scale).to_pil().convert("1")
    # Below the heading, without the line at the foot.
    top = 82 * scale
    found = (
        page.crop((0, top, page.width, page.height - 80 * scale))
        .convert("L")
        .point(lambda value: 255 - value)
        .getbbox()
    )
    assert found is not None
    wide, tall = (found[2] - found[0]) / scale, (found[3] - found[1]) / scale
    longer = max(width, height)
    assert wide == pytest.approx(SIDE * width / longer, abs=0.6)
    assert tall == pytest.approx(SIDE * height / longer, abs=0.6)


def test_without_a_logo_the_name_is_at_the_margin():
    def left(logo: Logo | None) -> float:
        target = io.BytesIO()
        document = Document(target, "letter", "Title", date=datetime.date(2026, 11, 25))
        document.build([Heading("H"), Letterhead([Paragraph("Name", STYLES["body"])], logo, "Logo")])
        text = pypdfium2.PdfDocument(target.getvalue())[0].get_textpage()
        at = text.get_text_range().index("Name")
        return text.get_charbox(at)[0]

    logo = read_logo(_svg(40, 40), "logo")
    assert left(logo) - left(None) == pytest.approx(SIDE + 12.0, abs=0.1)
