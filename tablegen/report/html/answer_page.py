"""An answer as HTML: a fragment for a notebook or a page of one's own, or a whole document that needs nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from typing import TYPE_CHECKING

from tablegen.report.answer import WIDE, ColumnStyle, TableLayout, visible, with_indices
from tablegen.wording import company as company_wording

if TYPE_CHECKING:
    from tablegen.model.company import Wholesaler
    from tablegen.report.answer import Answer, AnswerFigure, AnswerTable, Fact, Imprint, Reference

_LOWEST_HEADING = 6
# Of an answer, in a page of its own or another's.
ANSWER_STYLE = """
.answer h1 { font-size: 1.5rem; line-height: 1.25; }
.answer h2 { font-size: 1.2rem; margin: 1.6rem 0 .5rem; }
.answer h3, .answer h4, .answer h5, .answer h6 { font-size: 1.05rem; margin: 1.2rem 0 .4rem; }
.answer dl { display: grid; grid-template-columns: fit-content(45%) minmax(0, 1fr); gap: .2rem 1rem; }
@media (max-width: 30rem) { .answer dl { grid-template-columns: fit-content(34%) minmax(0, 1fr); } }
.answer dt { font-weight: 600; }
.answer dd { margin: 0; }
.answer .entries { gap: .1rem; list-style: none; padding: 0; }
.answer .entries li { padding-left: 2rem; text-indent: -2rem; margin-top: .2rem; }
.answer .entries dt { font-weight: 400; grid-column: 1 / -1; margin-top: .3rem; }
.answer .entries dd { grid-column: 1 / -1; padding-left: 1rem; font-size: .9rem; }
.answer .entries sub { line-height: 0; }
/* A shadow at an edge beyond which there is more. */
.answer .scroll {
  overflow-x: auto;
  background:
    linear-gradient(to right, var(--paper, Canvas) 50%, transparent) left / 2.5rem 100% no-repeat local,
    linear-gradient(to left, var(--paper, Canvas) 50%, transparent) right / 2.5rem 100% no-repeat local,
    linear-gradient(to right, #8889, transparent) left / 1rem 100% no-repeat,
    linear-gradient(to left, #8889, transparent) right / 1rem 100% no-repeat;
}
.answer table { border-collapse: collapse; margin: .9rem 0; overflow-wrap: normal; }
.answer caption { text-align: left; font-weight: 600; max-width: min(60rem, 100vw - 2rem); padding-bottom: .2rem; }
.answer th, .answer td { text-align: left; vertical-align: top; padding: .15rem .9rem .15rem 0; }
.answer td { min-width: 9rem; }
.answer tbody th { min-width: 7rem; font-weight: 400; }
.answer tbody .short, .answer tbody .figures { white-space: nowrap; min-width: 0; }
.answer td.long { min-width: 17rem; }
.answer thead th { vertical-align: bottom; border-bottom: 1px solid; }
.answer .figures { text-align: right; font-variant-numeric: tabular-nums; }
.answer tr.break > * { border-top: 1px solid #8886; }
.answer .drawings { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 16rem), 1fr)); gap: 1rem 1.5rem; }
.answer .drawings { margin: 1rem 0; align-items: start; }
.answer figure { margin: 0; min-width: 0; }
.answer .wide { grid-column: 1 / -1; }
.answer figure .scroll { padding-right: 1rem; }
.answer .paper { fill: var(--paper, Canvas); }
.answer .accent { fill: var(--accent, currentColor); }
.answer .accent-line { stroke: var(--accent, currentColor); }
.answer figcaption { font-size: .9rem; }
.answer svg { display: block; width: 100%; max-width: 26rem; height: auto; overflow: visible; }
.answer .wide svg { min-width: 34rem; max-width: 50rem; }
.answer .summary { font-weight: 600; }
/* White as paper is, for a logo may be black. */
.answer .logo { height: 2.5rem; max-width: 7.5rem; padding: .15rem; margin-right: .6rem; background: #fff; vertical-align: middle; }
.answer footer { border-top: 1px solid #8886; margin-top: 1rem; font-size: .85rem; }
@media print {
  .answer .scroll { overflow: visible; background: none; }
  .answer td, .answer td.long, .answer .wide svg { min-width: 0; }
  .answer h1, .answer h2, .answer h3, .answer caption { break-after: avoid; }
  .answer tr, .answer figure, .answer dd { break-inside: avoid; }
}
"""
_STYLE = """
:root { color-scheme: light dark; --accent: #00566b; }
@media (prefers-color-scheme: dark) { :root { --accent: #6fc3d8; } }
html { background: Canvas; color: CanvasText; }
body { font: 1rem/1.45 system-ui, sans-serif; max-width: 60rem; margin: 1.5rem auto; padding: 0 1rem; }
body { overflow-wrap: anywhere; }
@media print { body { max-width: none; margin: 0; padding: 0; font-size: 10pt; } }
"""
# Letters up to which the cells of a column stay on one line, and from which they need a wide one.
_SHORT, _LONG = 22, 45


def fragment(answer: Answer, level: int = 2, prefix: str = "") -> str:
    """The answer as one `section` element; headings begin at a level (1 to 6), ids of drawings with a prefix.

    Answers on one page need different prefixes, or different keys.
    """
    return "".join(_section(answer, level, prefix))


def page(answer: Answer, language: str = "en") -> str:
    """A whole document that loads nothing and runs no script."""
    allowed = {"default-src": "'none'", "style-src": "'unsafe-inline'", "img-src": "data:"}
    policy = "; ".join(f"{kind} {source}" for kind, source in allowed.items())
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(language)}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_text(answer.heading)}</title>\n<style>{_STYLE}{ANSWER_STYLE}</style>\n</head>\n"
        f"<body>\n<main>{fragment(answer, 1)}</main>\n</body>\n</html>\n"
    )


def _section(answer: Answer, level: int, prefix: str) -> Iterator[str]:
    path = f"{prefix}{answer.key}"
    yield f'<section class="answer" data-key="{answer.key}">'
    heading = f"h{min(level, _LOWEST_HEADING)}"
    yield f"<{heading}>{_text(answer.heading)}</{heading}>"
    for number, sentence in enumerate(answer.summary):
        # The answer itself; other sentences, and those of sections, say more of it.
        is_first = answer.imprint is not None and not number
        yield f'<p class="summary">{_text(sentence)}</p>' if is_first else f"<p>{_text(sentence)}</p>"
    yield from _facts(answer.facts)
    yield from (f"<p>{_reference(own)}</p>" for own in answer.references)
    if answer.figures:
        yield '<div class="drawings">'
        yield from (part for number, own in enumerate(answer.figures) for part in _figure(own, f"{path}-{number}"))
        yield "</div>"
    for table in answer.tables:
        if table.is_printed:
            yield from _entries(table) if table.layout is TableLayout.ENTRIES else _grid(table)
            yield f"<p>{_text(table.more)}</p>" if table.more else ""
    for section in answer.sections:
        yield from _section(section, level + 1, f"{path}-")
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


def _reference(reference: Reference) -> str:
    text = _text(reference.text)
    return f'<a href="{escape(reference.target)}">{text}</a>' if reference.target else text


def _figure(figure: AnswerFigure, key: str) -> Iterator[str]:
    """The drawing with its description in place of its parts, and the caption; a wide one scrolls."""
    from tablegen.report.graphs.svg import screen_svg

    width = figure.width
    lowest, highest = figure.heights(width)
    drawing = screen_svg(figure.draw(width, 0.5 * (lowest + highest)), visible(figure.alt), key)
    if width < WIDE:
        yield f"<figure>{drawing}"
    else:
        yield f'<figure class="wide"><div class="scroll" tabindex="0">{drawing}</div>'
    yield f"<figcaption>{_text(figure.caption)}</figcaption>" if figure.caption else ""
    yield "</figure>"


def _grid(table: AnswerTable) -> Iterator[str]:
    """A table whose first column names the rows; a wide one scrolls, which a keyboard can do too."""
    name = f' aria-label="{_text(table.title)}"' if table.title else ""
    yield f'<div class="scroll" tabindex="0" role="group"{name}><table>'
    yield f"<caption>{_text(table.title)}</caption>" if table.title else ""
    styles, cells = table.styles(), table.cells()
    classes = [_class(style, [row[i] for row in cells]) for i, style in enumerate(styles)]
    yield "<thead><tr>"
    for label, own in zip(table.labels(), classes, strict=True):
        yield f'<th scope="col"{own}>{_text(label)}</th>'
    yield "</tr></thead><tbody>"
    for number, row in enumerate(cells):
        yield '<tr class="break">' if number and number in table.breaks else "<tr>"
        for i, (cell, style, own) in enumerate(zip(row, styles, classes, strict=True)):
            element, scope = ("td", "") if i else ("th", ' scope="row"')
            yield f"<{element}{scope}{own}>{_cell(cell, style)}</{element}>"
        yield "</tr>"
    yield "</tbody></table></div>"


def _entries(table: AnswerTable) -> Iterator[str]:
    """Each row as a term, of its first two cells, and a line for each other cell; a list where there are only two."""
    yield f"<p><strong>{_text(table.title)}</strong></p>" if table.title else ""
    styles = table.styles()
    whole, entry = ("dl", "dt") if len(styles) > 2 else ("ul", "li")
    yield f'<{whole} class="entries">'
    for row in table.cells():
        first, second, *others = (_cell(cell, style) for cell, style in zip(row, styles, strict=True))
        yield f"<{entry}>{first} {second}</{entry}>"
        yield from (f"<dd>{other}</dd>" for other in others if other)
    yield f"</{whole}>"


def _footer(imprint: Imprint) -> Iterator[str]:
    yield "<footer>"
    if imprint.wholesaler:
        yield f"<p>{_seller(imprint.wholesaler)}</p>"
    texts = (imprint.notice, *imprint.cautions, imprint.origin)
    yield from (f"<p>{_text(text)}</p>" for text in texts if text)
    yield "</footer>"


def _seller(own: Wholesaler) -> str:
    """The wholesaler, beside its logo if it has one, and the number to call."""
    from tablegen.report.company_texts import whom_to_call
    from tablegen.report.logo_image import data_uri

    text = _text(whom_to_call(own))
    if own.logo is None:
        return text
    alt = _text(company_wording.LOGO_ALT(company=own.name))
    return f'<img class="logo" src="{data_uri(own.logo)}" alt="{alt}">{text}'


def _class(style: ColumnStyle, cells: Sequence[str]) -> str:
    """Class of the cells of a column: figures, words that are too short to be wrapped, or sentences."""
    if style is ColumnStyle.FIGURES:
        return ' class="figures"'
    longest = max(map(len, cells), default=0)
    return ' class="short"' if longest <= _SHORT else ' class="long"' if longest >= _LONG else ""


def _cell(text: str, style: ColumnStyle) -> str:
    escaped = _text(text)
    return with_indices(escaped, "<sub>", "</sub>") if style is ColumnStyle.FORMULA else escaped


def _text(text: str) -> str:
    return escape(visible(text))
