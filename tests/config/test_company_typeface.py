"""A company's typeface: what is wrong with its files is named with file, line and key, and what is sound is printed with."""

import dataclasses
import io
import struct
from collections.abc import Callable
from pathlib import Path

import pytest
import reportlab
from fontTools.ttLib import TTFont
from pypdf import PdfReader

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.config.truetype import CAP_HEIGHT, read_truetype
from tablegen.config.typeface_file import WIDTHS
from tablegen.dataset.dataset import DataSet
from tablegen.dataset.shown import shown_by
from tablegen.errors import BadValue
from tablegen.model.company import Typeface
from tablegen.report.graphs.sketch import Sketch
from tablegen.report.graphs.svg import svg
from tablegen.report.pdf import fonts
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.report.publications.handout import print_handout
from tablegen.wording.characters import printed_characters
from tests.demo import (
    demo_booklet,
    demo_chart,
    demo_data,
    demo_handout,
    page_texts,
    part_of_booklet,
    with_inputs,
)
from tests.small import small_catalogue

VERA = Path(reportlab.__file__).with_name("fonts") / "Vera.ttf"
OURS = {name: path.read_bytes() for name, path in fonts.FACES.items()}


def catalogue(tmp_path: Path, faces: dict[str, bytes], title: str = "Expansion valves") -> Path:
    """A small catalogue whose company has these faces, in files of other names."""
    listed = ", ".join(f"{face}: {face}.ttf" for face in faces)
    path = small_catalogue(
        tmp_path / "own",
        ["alder"],
        {"A": ["R134a"]},
        ["walk_in_medium"],
        [
            ("company.yaml", "region: us", f"region: us\ntypeface: {{{listed}}}"),
            ("catalogue.yaml", "title: Expansion valves", f"title: {title}"),
        ],
        more="publications: []\n",
    )
    for face, content in faces.items():
        (path.parent / f"{face}.ttf").write_bytes(content)
    return path


def messages(path: Path, capsys: pytest.CaptureFixture[str]) -> list[str]:
    assert main(["check", "--catalogue", str(path)]) == 2
    return capsys.readouterr().err.splitlines()


def line_of(path: Path, file: str, text: str) -> int:
    lines = (path.parent / file).read_text(encoding="utf-8").splitlines()
    return next(i for i, line in enumerate(lines, 1) if line.startswith(text))


def test_whole_faces_of_other_names_are_taken(tmp_path: Path):
    path = catalogue(tmp_path, {"regular": OURS[fonts.SEMIBOLD], "italic": OURS[fonts.ITALIC]})
    loaded = load_catalogue(path)
    own = loaded.printing.company.typeface
    assert own is not None and own.regular and own.italic and not own.bold
    # What a document is made from changes with a file of the face.
    assert {"regular.ttf", "italic.ttf"} <= set(loaded.files)


def test_characters_that_a_face_lacks_are_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    # Vera has neither indices nor Greek, nor Cyrillic.
    path = catalogue(tmp_path, {"regular": OURS[fonts.REGULAR], "bold": VERA.read_bytes()}, title="Дew valves")
    lines = messages(path, capsys)
    own = line_of(path, "company.yaml", "typeface:")
    [wording] = [line for line in lines if f"company.yaml:{own}: typeface.bold: " in line]
    assert "bold.ttf lacks" in wording and "(U+0394)" in wording and "which the pages print" in wording
    title = line_of(path, "catalogue.yaml", "title:")
    [text] = [line for line in lines if f"catalogue.yaml:{title}: title: " in line]
    assert "bold.ttf" in text and "'Д' (U+0414)" in text


def test_texts_in_other_languages_are_asked_for_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    path = catalogue(tmp_path, {"regular": OURS[fonts.REGULAR], "bold": OURS[fonts.ITALIC]})
    file = next((path.parent / "languages").glob("*.yaml"))
    text = file.read_text(encoding="utf-8")
    assert "Ж" not in text
    file.write_text(text.replace("texts:", 'texts:\n  "A text of its own": "Ж"', 1), encoding="utf-8")
    line = line_of(path, f"languages/{file.name}", '  "A text of its own"')
    assert any(f"languages/{file.name}:{line}: " in own and "(U+0416)" in own for own in messages(path, capsys))


def with_word(content: bytes, table: bytes, offset: int, word: int) -> bytes:
    """A file with a word of a table otherwise."""
    for number in range(struct.unpack_from(">H", content, 4)[0]):
        name, _, place, _ = struct.unpack_from(">4sIII", content, 12 + 16 * number)
        if name == table:
            return content[: place + offset] + struct.pack(">H", word) + content[place + offset + 2 :]
    raise AssertionError(table)


def wider(content: bytes) -> bytes:
    face, target = TTFont(io.BytesIO(content)), io.BytesIO()
    for name, (advance, side) in list(face["hmtx"].metrics.items()):
        face["hmtx"].metrics[name] = (round(1.3 * advance), side)
    face.save(target)
    return target.getvalue()


BROKEN: list[tuple[str, Callable[[bytes], bytes], str]] = [
    ("another kind", lambda content: b"OTTO" + content[4:], "it must be a TrueType file"),
    ("cut off", lambda content: content[: len(content) // 2], "the file is damaged"),
    ("empty", lambda content: b"", "it must be a TrueType file"),
    ("no embedding", lambda content: with_word(content, b"OS/2", 8, 0x0002), "does not allow it to be embedded"),
    ("no parts", lambda content: with_word(content, b"OS/2", 8, 0x0104), "does not allow it to be embedded"),
    ("no places", lambda content: with_word(content, b"loca", 8, 0xFFFF), "the file is damaged"),
    ("another magic number", lambda content: with_word(content, b"head", 12, 0x5F0E), "the file is damaged"),
    ("outlines of another kind", lambda content: with_word(content, b"head", 52, 1), "the file is damaged"),
    ("widths of another kind", lambda content: with_word(content, b"hhea", 32, 0x00FF), "the file is damaged"),
    ("another version", lambda content: with_word(content, b"maxp", 0, 0x87D2), "the file is damaged"),
    ("a table without a name", lambda content: content[:13] + b"\xff" + content[14:], "the file is damaged"),
    ("wide", wider, "1.30 times as wide"),
    ("large", lambda content: content + bytes(2_000_000), "is small"),
]


@pytest.mark.parametrize(("make", "said"), [own[1:] for own in BROKEN], ids=[own[0] for own in BROKEN])
def test_a_file_that_pages_cannot_be_set_with_is_refused(make, said, tmp_path, capsys):
    path = catalogue(tmp_path, {"regular": make(OURS[fonts.REGULAR])})
    [line] = [text for text in messages(path, capsys) if "regular" in text]
    assert said in line
    # A file that is too large is not read; the message has its name.
    assert (
        "is small" in said or f"company.yaml:{line_of(path, 'company.yaml', 'typeface:')}: typeface.regular: " in line
    )


def test_a_file_elsewhere_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    path = catalogue(tmp_path, {"regular": OURS[fonts.REGULAR]})
    text = (path.parent / "company.yaml").read_text(encoding="utf-8")
    (path.parent / "company.yaml").write_text(text.replace("regular.ttf", "../regular.ttf"), encoding="utf-8")
    assert any("typeface.regular: " in line for line in messages(path, capsys))


@pytest.mark.parametrize("length", range(0, 3000, 211))
def test_no_beginning_of_a_file_is_an_unexpected_error(length: int):
    with pytest.raises(BadValue):
        read_truetype(VERA.read_bytes()[:length], "own.ttf")


@pytest.mark.parametrize("content", [*OURS.values(), VERA.read_bytes()])
def test_characters_and_capitals_are_those_of_the_file(content: bytes):
    read, face = read_truetype(content, "own.ttf"), TTFont(io.BytesIO(content))
    assert read.characters == {chr(code) for code, name in face.getBestCmap().items() if face.getGlyphID(name)}
    scaled = TTFont(io.BytesIO(read.content))
    high = scaled["glyf"]["H"].yMax / scaled["head"].unitsPerEm
    assert high == pytest.approx(CAP_HEIGHT, rel=2e-3) and CAP_HEIGHT == fonts.CAP_HEIGHT


def test_widths_are_those_of_the_built_in_faces():
    for face, name in (("regular", fonts.REGULAR), ("bold", fonts.BOLD)):
        assert read_truetype(OURS[name], "own.ttf").width == pytest.approx(WIDTHS[face], abs=5e-4)


def in_typeface(data: DataSet, typeface: Typeface | None) -> DataSet:
    company = dataclasses.replace(data.catalogue.printing.company, typeface=typeface)
    return with_inputs(data, printing=dataclasses.replace(data.catalogue.printing, company=company))


def own_typeface() -> Typeface:
    return Typeface(
        *(read_truetype(OURS[name], "own.ttf").content for name in (fonts.SEMIBOLD, fonts.BOLD, fonts.ITALIC))
    )


def faces_of(pdf: bytes) -> set[str]:
    pages = PdfReader(io.BytesIO(pdf)).pages
    return {str(font.get_object()["/BaseFont"]) for page in pages for font in page["/Resources"]["/Font"].values()}


@pytest.mark.parametrize(
    "printer", [print_booklet, print_counter_chart, pytest.param(print_handout, marks=pytest.mark.slow)]
)
def test_publications_are_set_in_it_and_nothing_else_is(printer):
    data, names = demo_data(), {print_booklet: "booklet", print_counter_chart: "counter", print_handout: "handout"}
    if printer is print_booklet:
        data = part_of_booklet(data, "rowan")

    def printed(typeface: Typeface | None) -> bytes:
        target = io.BytesIO()
        printer(in_typeface(data, typeface), names[printer], target)
        return target.getvalue()

    before, own = printed(None), printed(own_typeface())
    assert all(name.count("-") == 2 for name in faces_of(own)) and faces_of(own).isdisjoint(faces_of(before))
    assert "Bold" in " ".join(faces_of(own)) and printed(own_typeface()) == own
    # Nothing of it is left behind, and the words are the same.
    assert printed(None) == before
    assert "".join("".join(page_texts(own)).split())[:300] == "".join("".join(page_texts(before)).split())[:300]


def test_one_file_for_two_faces_and_one_of_ours_beside_its_copy():
    regular = read_truetype(OURS[fonts.BOLD], "own.ttf").content
    for typeface in (Typeface(regular, regular), Typeface(regular)):
        target = io.BytesIO()
        print_counter_chart(in_typeface(demo_data(), typeface), "counter", target)
        assert page_texts(target.getvalue())


def test_a_graph_as_a_file_has_its_outlines():
    sketch = Sketch(100.0, 20.0)
    sketch.text(5.0, 5.0, "Hg", side="left")
    before = svg(sketch.drawing())
    with fonts.set_in(own_typeface()):
        assert svg(sketch.drawing()) != before
    assert svg(sketch.drawing()) == before


def test_another_typeface_makes_every_document_anew():
    data = demo_data()
    for publication in ("counter", "handout"):
        codes = {shown_by(in_typeface(data, own), publication).fingerprint for own in (None, own_typeface())}
        assert len(codes) == 2


def test_pages_print_no_character_that_check_does_not_know():
    allowed = printed_characters(("en",))
    catalogue = Path(__file__).resolve().parents[2] / "configs"
    texts = {sign for path in catalogue.rglob("*.yaml") for sign in path.read_text(encoding="utf-8")}
    for pdf in (demo_booklet("IP", "letter")[1], demo_chart("counter"), *demo_handout("handout")):
        printed = {sign for text in page_texts(pdf) for sign in text if not sign.isspace()}
        assert printed - texts <= allowed
