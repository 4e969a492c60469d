"""Which of the valves that fit is recommended where there is a stock sheet: the one rule of every answer."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.errors import RequestError
from tablegen.model.inputs import Catalogue
from tablegen.model.stock import Stock
from tablegen.physics.arrays import Floats
from tablegen.wording import stock as wording

# Margins that are the same to so many decimals are equal: the last digits depend on how many cases are solved at once.
_PLACES = 9


@dataclass(frozen=True, slots=True)
class StockRule:
    """What is in stock, how many are wanted, and whether stock does not matter; without a stock sheet it never does.

    Of the valves that fit the one with the largest margin comes first, among those of which any is in stock.
    """

    stock: Stock | None = None
    quantity: int = 1
    all_sizes: bool = False

    @classmethod
    def of(cls, catalogue: Catalogue, quantity: int | None = None, all_sizes: bool = False) -> StockRule:
        """The rule for one question.

        Raises
        ------
        RequestError
            If all sizes are asked for and there is no stock sheet.
        """
        if all_sizes and catalogue.stock is None:
            raise RequestError(wording.ALL_SIZES_WITHOUT_STOCK())
        return cls(catalogue.stock, quantity or 1, all_sizes)

    def is_there(self, family: str, size: str, charge: str) -> bool:
        """Whether any of a valve is in stock; without a stock sheet every one is."""
        return self.stock is None or self.stock.has(family, size, charge)

    def recommends(self, family: str, size: str, charge: str) -> bool:
        """Whether a valve that fits may be the first choice: how many are wanted changes no valve."""
        return self.all_sizes or self.is_there(family, size, charge)

    def counted(self, family: str, size: str, charge: str) -> int | None:
        """How many of a valve there are; None where nobody counted, or without a stock sheet."""
        return None if self.stock is None else self.stock.quantity_of(family, size, charge)


def recommended_order(
    ranks: np.ndarray[tuple[int, ...], np.dtype[np.intp]], margins: Floats
) -> np.ndarray[tuple[int, ...], np.dtype[np.intp]]:
    """The valves, by index along the first axis, in the order in which they are recommended.

    The best rank comes first, of equal ranks the largest margin, and of equal margins the first valve. Further axes are
    cases of their own.
    """
    return np.lexsort((-np.round(margins, _PLACES), ranks), axis=0)
