"""The faces are whole, licensed, registered, and asked before a character is printed."""

import pytest
from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics

from tablegen.report.pdf import fonts

PRINTED = "≤≥≈≠±Δ°−–—×·→←√ηρφθλμσαβπ′″µ½₀₁₂₃₄₅₆₇₈₉⁰¹²³⁴⁵⁶⁷⁸⁹ᵃᵇᶜ†‡\N{NO-BREAK SPACE}"


@pytest.mark.parametrize("face", [fonts.REGULAR, fonts.SEMIBOLD, fonts.BOLD])
def test_upright_faces_draw_what_is_printed(face: str) -> None:
    assert fonts.check_glyphs(PRINTED, face) == PRINTED


def test_a_missing_glyph_is_named() -> None:
    with pytest.raises(fonts.MissingGlyphError, match=r"'a∅b' cannot be printed: .* '∅' \(U\+2205\)"):
        fonts.check_glyphs("a∅b")


def test_the_slanted_face_has_no_greek() -> None:
    with pytest.raises(fonts.MissingGlyphError, match=r"U\+0394"):
        fonts.check_glyphs("Δ", fonts.ITALIC)


@pytest.mark.parametrize("face", list(fonts.FACES))
def test_digits_and_minus_are_equally_wide(face: str) -> None:
    assert len({round(fonts.text_width(c, face, 10), 6) for c in "0123456789−"}) == 1


def test_the_base_font_is_ours() -> None:
    assert rl_config.canvas_basefontname == fonts.REGULAR
    assert set(fonts.FACES) <= set(pdfmetrics.getRegisteredFontNames())


def test_the_license_ships_with_the_fonts() -> None:
    license = (fonts.FONT_DIR / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in license
    assert license.startswith("Copyright 2010, 2012, 2014") and "Reserved Font Name" in license
