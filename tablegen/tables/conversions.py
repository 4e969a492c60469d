"""Factors that restate a capacity at the rating point, for the booklet: one table a group and application.

A capacity Q' stated at another condensing and liquid temperature, SST the same, is Q = factor Q' at the
rating point, with factor = 1 / (M (h_g - h_l') / (h_g - h_l,rated)) from the application's own compressor.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue
from tablegen.model.solving import Solved
from tablegen.physics.conditions import solve_condition
from tablegen.physics.system import Head, HeadCondition, LiquidSupply, OperatingCondition, SuctionResponse

# Condensing temperatures around the rating's, and subcooling below them.
CONDENSING_STEPS_K = tuple(5.0 / 9.0 * 5.0 * i for i in range(-6, 5))
SUBCOOLING_K = (0.0, 5.0, 10.0)


def conversion_frame(catalogue: Catalogue, solved_by: Mapping[tuple[str, str], Solved]) -> pd.DataFrame:
    """One row per refrigerant, application, condensing temperature and subcooling, at the application's example SST.

    Only applications whose rating is a condensing temperature; a condition outside a compressor's map, or at which
    the refrigerant has no state, has a blank factor.
    """
    parts = []
    for (name, application_name), solved in solved_by.items():
        application = catalogue.applications[application_name]
        system = application.systems[name]
        rating = system.rating.head
        if rating.condensing_temperature_k is None:
            continue
        row = np.flatnonzero(application.sst_k == application.example_sst_k)
        rated = solved.rated.at(np.array(row))
        for step in CONDENSING_STEPS_K:
            condensing = rating.condensing_temperature_k + step
            for subcooling in SUBCOOLING_K:
                head = Head(condensing_temperature_k=condensing, basis=rating.basis)
                liquid = LiquidSupply(head.bubble_temperature(solved.refrigerant) - subcooling)
                condition = HeadCondition(OperatingCondition.RATING, head, liquid)
                item = solve_condition(solved.refrigerant, system, condition, rated, SuctionResponse.CONSTANT)[0]
                parts.append(
                    {
                        "refrigerant": name,
                        "application": application_name,
                        "sst_k": application.example_sst_k,
                        "condensing_temperature_k": condensing,
                        "basis": rating.basis.value,
                        "subcooling_k": subcooling,
                        "capacity_factor": 1.0 / float(item.state.capacity_ratio[0]),
                    }
                )
    return pd.DataFrame(parts)
