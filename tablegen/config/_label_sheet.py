"""The sheet that labels are printed on: its grid, and whether the grid fits the paper."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from tablegen.config.fields import BadKey, LabelLength, Model, PaperLength
from tablegen.errors import both_lengths
from tablegen.wording import config_errors as wording

# Width and height [m].
_PAPERS = {"letter": (0.2159, 0.2794), "a4": (0.210, 0.297)}
# Lengths of a sheet are stated no better [m].
_ROUNDED_M = 1e-5


class LabelSheetModel(Model):
    """Labels in columns and rows; margins are those at the left and at the top of the paper."""

    columns: Annotated[int, Field(ge=1, le=20)]
    rows: Annotated[int, Field(ge=1, le=40)]
    label_width: LabelLength
    label_height: LabelLength
    left_margin: PaperLength
    top_margin: PaperLength
    column_gap: PaperLength = 0.0
    row_gap: PaperLength = 0.0
    first: Annotated[int, Field(ge=1)] = 1

    @model_validator(mode="after")
    def _begins_on_sheet(self) -> Self:
        if self.first > self.columns * self.rows:
            raise BadKey(wording.BEYOND_SHEET(count=self.columns * self.rows), "first")
        return self


def beyond_paper(sheet: LabelSheetModel, paper: str) -> BadKey | None:
    """What is wrong with a sheet whose grid is larger than the paper; None where it fits."""
    width_m, height_m = _PAPERS[paper]
    wide_m = sheet.left_margin + sheet.columns * sheet.label_width + (sheet.columns - 1) * sheet.column_gap
    high_m = sheet.top_margin + sheet.rows * sheet.label_height + (sheet.rows - 1) * sheet.row_gap
    for key, count, message, needed_m, room_m in (
        ("columns", sheet.columns, wording.TOO_WIDE, wide_m, width_m),
        ("rows", sheet.rows, wording.TOO_HIGH, high_m, height_m),
    ):
        if needed_m > room_m + _ROUNDED_M:
            needed, room = both_lengths(needed_m), both_lengths(room_m)
            return BadKey(message(count=count, needed=needed, paper=paper, room=room), "sheet", key)
    return None
