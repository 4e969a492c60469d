"""Config of one size, and of the condition that the capacities of sizes are stated at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Literal, Self

import numpy as np
from pydantic import model_validator

from tablegen.config._port_design_model import ConnectionLossModel
from tablegen.config._scatter_model import CoefficientTolerance, tolerance_of
from tablegen.config.fields import (
    BadKey,
    FlowCoefficient,
    Load,
    Model,
    Name,
    PressureDrop,
    RefrigerantName,
    SizeKey,
    SizeName,
    Step,
    Temperature,
    Text,
)
from tablegen.model.inputs import Size
from tablegen.physics.connection import kv_with_connections
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.flow import FlowLaw
from tablegen.physics.rating import ValveRating
from tablegen.physics.refrigerants import Refrigerant
from tablegen.wording import config_errors as wording


class SizeModel(Model):
    """One size: its key, its flow coefficient at rated stroke or its capacity at the family's rating.

    `display` is its name in print where that is not the key.
    """

    one_of = (("kv", "capacity"),)
    size: SizeKey
    display: SizeName | None = None
    kv: FlowCoefficient | None = None
    kv_tolerance: CoefficientTolerance | None = None
    capacity: Load | None = None
    port_design: Name | None = None
    connection_loss: ConnectionLossModel | None = None

    @model_validator(mode="after")
    def _tolerance(self) -> Self:
        if self.kv is None and self.kv_tolerance is not None:
            raise BadKey(wording.TOLERANCE_WITHOUT(key="kv"), "kv_tolerance")
        return self

    def inputs(
        self,
        rating: ValveRating | None,
        law: FlowLaw,
        recovery: float,
        discharge: DischargeCoefficient | None,
        loss: ConnectionLossModel | None,
    ) -> Size:
        """The size by Kv and capacity, of which one follows from the other where the family has a rating.

        Both are those of the valve with its connections, whatever their `loss`.
        """
        kv, capacity = self.kv or np.nan, self.capacity or np.nan
        if rating is not None and self.kv is None:
            kv = float(rating.flow_coefficient(np.asarray(capacity), law, recovery, discharge))
        tolerance = tolerance_of(self.kv_tolerance)
        is_of_port = loss is not None and loss.size_kv == "without_connections"
        if loss is not None and is_of_port:
            of_port, kv = kv, float(kv_with_connections(kv, loss.kv))
            if tolerance is not None:
                # d Kv / d Kv_p = (Kv / Kv_p)^3
                own = tolerance.standard_deviation * (kv / of_port) ** 3
                tolerance = replace(tolerance, standard_deviation=own)
        if rating is not None and self.kv is not None:
            capacity = float(rating.capacity(np.asarray(kv), law, recovery, discharge))
        return Size(
            name=self.size,
            kv_rated_m3h=kv,
            nominal_capacity_w=capacity,
            kv_tolerance=tolerance,
            display_name=self.display or "",
            port_design=self.port_design or "",
            connection_kv_m3h=None if loss is None else loss.kv,
            is_kv_of_port=is_of_port,
        )


class ValveRatingModel(Model):
    """The condition of a family's nominal capacities, in the manner of AHRI 750: its liquid is free of vapor."""

    refrigerant: RefrigerantName
    liquid_temperature: Temperature
    subcooling: Step
    evaporating_temperature: Temperature
    basis: Literal["dew"]
    useful_superheat: Step
    pressure_drop: PressureDrop
    source: Text

    def inputs(self, refrigerants: Mapping[str, Refrigerant]) -> ValveRating:
        """The rating in SI."""
        refrigerant = refrigerants[self.refrigerant]
        return self.into(ValveRating, refrigerant=refrigerant, superheat_k=self.useful_superheat)
