"""Questions as Moodle XML: categories with numerical and multiple-choice questions.

References
----------
Moodle documentation, "Moodle XML format" (not checked against the source).
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Sequence

from tablegen.report.asked import AskedFigure
from tablegen.report.quiz import QuizCategory, QuizQuestion, figure_text, marked_up, tolerance_text
from tablegen.report.xlsx_parts import clean

# Units are optional: a figure without one is in the unit asked for.
_OPTIONAL, _AS_INPUT, _NO_UNITS = "0", "0", "3"
# As far as a keyboard has them.
_TYPED = str.maketrans({"\N{SUPERSCRIPT TWO}": "2", "\N{SUPERSCRIPT THREE}": "3", "\N{DEGREE SIGN}": ""})


def moodle_xml(categories: Sequence[QuizCategory]) -> bytes:
    """Categories with their questions as a file that a course imports."""
    root = ET.Element("quiz")
    for own in categories:
        category = _question(root, "category")
        # A slash in a name is doubled: one parts the names.
        path = "/".join(name.replace("/", "//") for name in own.path)
        _text(category, "category", f"$course$/{path}")
        for question in own.questions:
            _add(root, question)
    ET.indent(root, " ")
    text: bytes = ET.tostring(root, encoding="utf-8", xml_declaration=True)
    return text + b"\n"


def _add(root: ET.Element, question: QuizQuestion) -> None:
    asked = question.asked
    is_figure = isinstance(asked, AskedFigure)
    own = _question(root, "numerical" if is_figure else "multichoice")
    _text(own, "name", question.name)
    _text(own, "questiontext", question.as_html(), format="html")
    _text(own, "generalfeedback", "", format="html")
    for name, value in (("defaultgrade", "1"), ("penalty", "0.3333333"), ("hidden", "0")):
        _value(own, name, value)
    if isinstance(asked, AskedFigure):
        answer = _answer(own, figure_text(asked), is_right=True, form="moodle_auto_format")
        _value(answer, "tolerance", tolerance_text(asked))
        _units(own, asked.unit)
    else:
        for name, value in (("single", "true"), ("shuffleanswers", "true"), ("answernumbering", "abc")):
            _value(own, name, value)
        for feedback in ("correctfeedback", "partiallycorrectfeedback", "incorrectfeedback"):
            _text(own, feedback, "", format="html")
        _answer(own, marked_up(asked.right), is_right=True, form="html")
        for wrong in asked.wrong:
            _answer(own, marked_up(wrong), is_right=False, form="html")


def _units(own: ET.Element, unit: str) -> None:
    """The unit, also as it is typed."""
    if unit:
        units = ET.SubElement(own, "units")
        for name in dict.fromkeys((unit, unit.translate(_TYPED))):
            _pairs(ET.SubElement(units, "unit"), (("multiplier", "1"), ("unit_name", clean(name))))
    shown = _AS_INPUT if unit else _NO_UNITS
    _pairs(
        own, (("unitgradingtype", _OPTIONAL), ("unitpenalty", "0.1"), ("showunits", shown), ("unitsleft", _OPTIONAL))
    )


def _question(root: ET.Element, kind: str) -> ET.Element:
    return ET.SubElement(root, "question", type=kind)


def _answer(own: ET.Element, text: str, *, is_right: bool, form: str) -> ET.Element:
    answer = ET.SubElement(own, "answer", fraction="100" if is_right else "0", format=form)
    _value(answer, "text", text)
    _text(answer, "feedback", "", format="html")
    return answer


def _text(parent: ET.Element, name: str, text: str, **attributes: str) -> None:
    _value(ET.SubElement(parent, name, attributes), "text", text)


def _pairs(parent: ET.Element, pairs: Iterable[tuple[str, str]]) -> None:
    for name, value in pairs:
        _value(parent, name, value)


def _value(parent: ET.Element, name: str, text: str) -> None:
    ET.SubElement(parent, name).text = clean(text)
