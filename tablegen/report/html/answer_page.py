"""An answer as HTML: a fragment for a notebook or a page of one's own, or a whole document that needs nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from typing import TYPE_CHECKING

from tablegen.report.answer import ColumnStyle, TableLayout, visible, with_indices

if TYPE_CHECKING:
    from tablegen.report.answer import Answer, AnswerFigure, AnswerTable, Fact, Imprint

_LOWEST_HEADING = 6
# Of a drawing [pt].
_FIGURE_WIDTH = 480.0
_STYLE = """
:root { color-scheme: light dark; }
body { font: 1rem/1.45 system-ui, sans-serif; max-width: 60rem; margin: 1.5rem auto; padding: 0 1rem; }
.answer dl { display: grid; grid-template-columns: max-content 1fr; gap: .2rem 1rem; }
.answer dt { font-weight: 600; }
.answer dd { margin: 0; }
.answer .entries dt { font-weight: 400; grid-column: 1 / -1; }
.answer .entries dd { grid-column: 1 / -1; padding-left: 3rem; }
.answer .scroll { overflow-x: auto; }
.answer table { border-collapse: collapse; margin: .7rem 0; }
.answer caption { text-align: left; font-weight: 600; }
.answer th, .answer td { text-align: left; vertical-align: top; padding: .15rem .9rem .15rem 0; }
.answer thead th { vertical-align: bottom; border-bottom: 1px solid; }
.answer tbody th { font-weight: 400; }
.answer .figures { text-align: right; font-variant-numeric: tabular-nums; }
.answer tr.break > * { border-top: 1px solid #8886; }
.answer svg { max-width: 100%; height: auto; background: #fff; }
.answer .summary { font-weight: 600; }
.answer footer { border-top: 1px solid #8886; margin-top: 1rem; font-size: .85rem; }
"""


def fragment(answer: Answer, level: int = 2) -> str:
    """The answer as one `section` element; headings begin at a level (1 to 6)."""
    return "".join(_section(answer, level))


def page(answer: Answer, language: str = "en") -> str:
    """A whole document that loads nothing and runs no script."""
    policy = "; ".join(("default-src 'none'", "style-src 'unsafe-inline'"))
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(language)}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_text(answer.heading)}</title>\n<style>{_STYLE}</style>\n</head>\n"
        f"<body>\n<main>{fragment(answer, 1)}</main>\n</body>\n</html>\n"
    )


def _section(answer: Answer, level: int) -> Iterator[str]:
    yield f'<section class="answer" data-key="{answer.key}">'
    heading = f"h{min(level, _LOWEST_HEADING)}"
    yield f"<{heading}>{_text(answer.heading)}</{heading}>"
    yield from (f'<p class="summary">{_text(sentence)}</p>' for sentence in answer.summary)
    yield from _facts(answer.facts)
    if answer.figure is not None:
        yield from _figure(answer.figure)
    for table in answer.tables:
        if table.is_printed:
            yield from _entries(table) if table.layout is TableLayout.ENTRIES else _grid(table)
            yield f"<p>{_text(table.more)}</p>" if table.more else ""
    for section in answer.sections:
        yield from _section(section, level + 1)
    yield from (f"<p>{_text(note)}</p>" for note in answer.notes)
    if answer.imprint is not None:
        yield from _footer(answer.imprint)
    yield "</section>"


def _facts(facts: Sequence[Fact]) -> Iterator[str]:
    printed = [fact for fact in facts if fact.label]
    if printed:
        yield "<dl>"
        yield from (f"<dt>{_text(fact.label)}</dt><dd>{_text(fact.value.text)}</dd>" for fact in printed)
        yield "</dl>"


def _figure(figure: AnswerFigure) -> Iterator[str]:
    """The drawing with its description in place of its parts, and the caption."""
    from tablegen.report.graphs.svg import svg

    lowest, highest = figure.heights(_FIGURE_WIDTH)
    drawing = svg(figure.draw(_FIGURE_WIDTH, 0.5 * (lowest + highest)))
    yield f'<figure><div role="img" aria-label="{_text(figure.alt)}">{drawing}</div>'
    yield f"<figcaption>{_text(figure.caption)}</figcaption>" if figure.caption else ""
    yield "</figure>"


def _grid(table: AnswerTable) -> Iterator[str]:
    """A table whose first column names the rows; a wide one scrolls, which a keyboard can do too."""
    name = f' aria-label="{_text(table.title)}"' if table.title else ""
    yield f'<div class="scroll" tabindex="0" role="region"{name}><table>'
    yield f"<caption>{_text(table.title)}</caption>" if table.title else ""
    styles = table.styles()
    yield "<thead><tr>"
    for label, style in zip(table.labels(), styles, strict=True):
        yield f'<th scope="col"{_class(style)}>{_text(label)}</th>'
    yield "</tr></thead><tbody>"
    for number, row in enumerate(table.cells()):
        yield '<tr class="break">' if number and number in table.breaks else "<tr>"
        for i, (cell, style) in enumerate(zip(row, styles, strict=True)):
            element, scope = ("td", "") if i else ("th", ' scope="row"')
            yield f"<{element}{scope}{_class(style)}>{_cell(cell, style)}</{element}>"
        yield "</tr>"
    yield "</tbody></table></div>"


def _entries(table: AnswerTable) -> Iterator[str]:
    """Each row as a term, of its first two cells, and a line for each other cell."""
    yield f"<p><strong>{_text(table.title)}</strong></p>" if table.title else ""
    styles = table.styles()
    yield '<dl class="entries">'
    for row in table.cells():
        first, second, *others = (_cell(cell, style) for cell, style in zip(row, styles, strict=True))
        yield f"<dt>{first} {second}</dt>"
        yield from (f"<dd>{other}</dd>" for other in others if other)
    yield "</dl>"


def _footer(imprint: Imprint) -> Iterator[str]:
    yield "<footer>"
    yield from (f"<p>{_text(text)}</p>" for text in (imprint.notice, *imprint.cautions, imprint.origin) if text)
    yield "</footer>"


def _class(style: ColumnStyle) -> str:
    return ' class="figures"' if style is ColumnStyle.FIGURES else ""


def _cell(text: str, style: ColumnStyle) -> str:
    escaped = _text(text)
    return with_indices(escaped, "<sub>", "</sub>") if style is ColumnStyle.FORMULA else escaped


def _text(text: str) -> str:
    return escape(visible(text))
