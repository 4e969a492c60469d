"""A system for tests of the physics: nothing lost, nothing unusual, but for what a test states."""

from __future__ import annotations

from dataclasses import replace

from tablegen.physics.compressor import ClearanceCompressor
from tablegen.physics.system import (
    DistributorScaling,
    Head,
    HeadCondition,
    LiquidSupply,
    Losses,
    OperatingCondition,
    SuctionResponse,
    SuperheatLimits,
    SystemInputs,
)

Stated = tuple[Head, LiquidSupply]


def system_inputs(rating: Stated, low_head: Stated, high_head: Stated, **stated: object) -> SystemInputs:
    """A system of three operating conditions, at constant SST and without losses where nothing else is stated."""
    lossless = SystemInputs(
        name="test",
        sst_at_compressor=False,
        suction_loss_k=0.0,
        response=SuctionResponse.CONSTANT,
        box_difference_k=None,
        capacity_step=1.0,
        rating=HeadCondition(OperatingCondition.RATING, *rating),
        low_head=HeadCondition(OperatingCondition.LOW_HEAD, *low_head),
        high_head=HeadCondition(OperatingCondition.HIGH_HEAD, *high_head),
        losses=Losses(
            liquid_line_pa=0.0,
            lift_m=0.0,
            evaporator_pa=0.0,
            distributor_pa=0.0,
            distributor_scaling=DistributorScaling.FLASHED_MIXTURE,
        ),
        superheat=SuperheatLimits(useful_k=0.0, max_k=6.0, min_k=(2.0, 0.0, 0.0)),
        compressor=ClearanceCompressor(0.04, 1.1),
        return_superheat_k=0.0,
        discharge_loss_pa=0.0,
    )
    return replace(lossless, **stated)
