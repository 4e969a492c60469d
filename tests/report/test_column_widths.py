"""Columns as wide as their cells are set, labels on as few lines as the width allows, spaces that shrink last."""

import pytest

from tablegen.report.pdf import fonts
from tablegen.report.pdf.column_widths import lay, pad_within
from tablegen.report.pdf.design import COLUMN_PAD as PAD
from tablegen.report.pdf.design import TIGHT_PAD
from tablegen.report.pdf.paragraphs import formula_width

SIZE = 9.0
HEAD = ("Table", "Size range, kBtu/h", "Rows with windows", "Rows with gaps")
ROWS = [HEAD, *((f"alder, R{i}A, walk_in_medium_fixed", f"{i}.5–7{i}.2", "16 of 16", "0") for i in range(9))]


def face(row, column):
    return fonts.REGULAR if row else fonts.SEMIBOLD


def head_lines(width):
    cells, widths = lay(ROWS, face, lambda i, j: i > 0 < j, width, SIZE, fewest_lines=True)
    assert sum(widths) <= width + 0.01
    return max(map(len, cells[0][0])), sum(len(row) for row in cells[1:])


def test_labels_take_fewer_lines_the_wider_the_table_may_be():
    lines = [head_lines(width)[0] for width in range(270, 460, 5)]
    assert lines == sorted(lines, reverse=True)
    assert lines[0] == 3 and lines[-1] == 1 and 2 in lines


def test_labels_do_not_cost_the_rows_a_line():
    for width in range(300, 460, 5):
        assert head_lines(width)[1] == len(ROWS) - 1


def test_space_between_columns_shrinks_only_where_the_table_is_too_wide():
    natural = sum(max(fonts.text_width(row[j], face(i, j), SIZE) for i, row in enumerate(ROWS)) for j in range(4))
    assert pad_within(ROWS, face, natural + 4 * PAD + 1.0, SIZE) == PAD
    assert pad_within(ROWS, face, natural + 4 * 7.0, SIZE) == pytest.approx(7.0, abs=0.1)
    assert pad_within(ROWS, face, natural, SIZE) == TIGHT_PAD


def test_formula_is_measured_with_its_indices_as_they_are_set():
    text = "x = max((h_l − h_bub)/(h_dew − h_bub), 0)"
    symbols = fonts.text_width("x = max((h − h)/(h − h), 0)", fonts.REGULAR, SIZE)
    indices = fonts.text_width("lbubdewbub", fonts.REGULAR, 7.0)
    width = formula_width(text, fonts.REGULAR, SIZE)
    assert width == pytest.approx(symbols + indices)
    rows = [("Equation", "Unit"), (text, "1")]
    for formulas, lines in (((0,), 1), ((), 2)):
        cells, _ = lay(rows, face, lambda i, j: False, width + 40.0, SIZE, formulas=formulas)
        assert len(cells[1][0][0]) == lines
