"""Config of one application, and the inputs of the physics that it gives for one refrigerant."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, ClassVar, Literal, Self

import numpy as np
from pydantic import Field, model_validator

from tablegen.config._loop_checks import missing_for_loop
from tablegen.config._scatter_model import InstallationScatterModel
from tablegen.config._superheat_model import OF_CIRCUIT, CoilModel, StabilityModel, SuperheatModel
from tablegen.config.fields import (
    BadKey,
    Choice,
    HeatPerLength,
    Length,
    Load,
    Loss,
    Model,
    Name,
    Number,
    OneOf,
    PositiveStep,
    Pressure,
    Share,
    SitePressure,
    Step,
    SuctionTemperature,
    Temperature,
    Text,
    Title,
    ascends,
    must,
    quantity,
    within,
)
from tablegen.model.scatter import InstallationScatter
from tablegen.physics.arrays import Floats
from tablegen.physics.compressor import ClearanceCompressor, ConstantCapacity, PolynomialCompressor, TableCompressor
from tablegen.physics.system import (
    Basis,
    DistributorScaling,
    Head,
    HeadCondition,
    LineHeat,
    LiquidFeed,
    LiquidSupply,
    Losses,
    OperatingCondition,
    Stability,
    StabilityRule,
    SuctionResponse,
    Supply,
    SystemInputs,
)
from tablegen.wording import config_errors as wording
from tablegen.wording.message import listed

_MAX_ROWS = 400
# The sections that say where they come from.
_SOURCED = ("rating", "low_head", "high_head", "losses", "superheat", "coil", "compressor", "liquid")


class SstRangeModel(Model):
    """Saturated suction temperatures from the minimum to the maximum, in steps."""

    minimum: SuctionTemperature
    maximum: SuctionTemperature
    step: PositiveStep

    @model_validator(mode="after")
    def _whole_steps(self) -> Self:
        span = self.maximum - self.minimum
        steps = round(span / self.step)
        if span <= 0.0 or abs(span - steps * self.step) > 1e-6:
            shown = {"span": f"{span * 1.8:.6g}", "step": f"{self.step * 1.8:.6g}"}
            raise BadKey(wording.NOT_WHOLE_STEPS(**shown))
        if steps >= _MAX_ROWS:
            raise BadKey(wording.TOO_MANY_SST_ROWS(count=steps + 1, most=_MAX_ROWS))
        return self

    def grid(self) -> Floats:
        """Suction temperatures [K], ascending."""
        return np.linspace(self.minimum, self.maximum, round((self.maximum - self.minimum) / self.step) + 1)


class SuctionModel(Model):
    """The suction side: where the SST is stated, the line's loss, and what it does when the head pressure changes."""

    sst_at: Literal["evaporator", "compressor"]
    # The only one that superheat and compressor ratings know; the key is there so that the file says so.
    basis: Literal["dew"]
    line_loss: Step
    sst_range: SstRangeModel
    example_sst: SuctionTemperature
    response: Annotated[SuctionResponse, Choice]
    box_difference: PositiveStep | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if np.min(np.abs(self.sst_range.grid() - self.example_sst)) > 1e-6 * self.sst_range.step:
            raise BadKey(wording.EXAMPLE_OFF_RANGE(), "example_sst")
        return self


class HeadModel(Model):
    """Head pressure: a gauge or absolute setting, or a condensing temperature with its basis."""

    one_of: ClassVar[OneOf] = (("head_pressure", "condensing_temperature"),)
    head_pressure: Pressure | None = None
    condensing_temperature: Temperature | None = None
    basis: Annotated[Basis, Choice] | None = None

    @model_validator(mode="after")
    def _basis(self) -> Self:
        if (self.basis is None) != (self.condensing_temperature is None):
            raise BadKey(wording.BASIS_OF_CONDENSING())
        return self

    def inputs(self, condition: OperatingCondition, site_pressure_pa: float) -> HeadCondition:
        """The operating condition; a gauge setting counts from the site's pressure [Pa]."""
        if self.head_pressure is not None:
            head = Head(pressure_pa=self.head_pressure.absolute(site_pressure_pa))
        else:
            head = Head(condensing_temperature_k=self.condensing_temperature, basis=self.basis or Basis.DEW)
        return HeadCondition(condition, head, self.liquid())

    def liquid(self) -> LiquidSupply:
        """The liquid at the valve inlet."""
        raise NotImplementedError


class RatingModel(HeadModel):
    """The rating point: its liquid by temperature, or by subcooling from the stated saturated liquid temperature."""

    one_of = (*HeadModel.one_of, ("liquid_temperature", "subcooling"))
    liquid_temperature: Temperature | None = None
    subcooling: PositiveStep | None = None
    source: Text

    @model_validator(mode="after")
    def _bubble(self) -> Self:
        if self.subcooling is not None and self.basis is not Basis.BUBBLE:
            raise BadKey(wording.SUBCOOLING_NEEDS_BUBBLE())
        return self

    def liquid(self) -> LiquidSupply:
        """Liquid at its temperature."""
        if self.liquid_temperature is not None:
            return LiquidSupply(self.liquid_temperature)
        # Subcooling is given only beside a condensing temperature on bubble basis.
        return LiquidSupply((self.condensing_temperature or np.nan) - (self.subcooling or np.nan))


class SubcoolingRange(Model):
    """A range of subcooling at the valve inlet."""

    minimum: PositiveStep
    maximum: PositiveStep

    @model_validator(mode="after")
    def _ascending(self) -> Self:
        if self.minimum > self.maximum:
            raise BadKey(wording.MINIMUM_ABOVE_MAXIMUM())
        return self


class CondenserSubcoolingRange(Model):
    """A range of subcooling at the outlet of condenser or receiver."""

    minimum: Step
    maximum: Step

    @model_validator(mode="after")
    def _ascending(self) -> Self:
        if self.minimum > self.maximum:
            raise BadKey(wording.MINIMUM_ABOVE_MAXIMUM())
        return self


class ConditionModel(HeadModel):
    """A head operating condition: its liquid by temperature or subcooling at the valve inlet, or by subcooling upstream."""

    one_of = (
        *HeadModel.one_of,
        (
            "inlet_subcooling",
            "inlet_subcooling_range",
            "liquid_temperature",
            "condenser_subcooling",
            "condenser_subcooling_range",
        ),
    )
    inlet_subcooling: PositiveStep | None = None
    inlet_subcooling_range: SubcoolingRange | None = None
    liquid_temperature: Temperature | None = None
    condenser_subcooling: Step | None = None
    condenser_subcooling_range: CondenserSubcoolingRange | None = None
    source: Text

    def liquid(self) -> LiquidSupply:
        """The liquid at the valve inlet, or at the outlet of condenser or receiver."""
        if self.liquid_temperature is not None:
            return LiquidSupply(self.liquid_temperature)
        for given, is_at_condenser in (
            (self.inlet_subcooling_range, False),
            (self.condenser_subcooling_range, True),
        ):
            if given is not None:
                return LiquidSupply(None, given.minimum, given.maximum, is_at_condenser)
        is_at_condenser = self.condenser_subcooling is not None
        subcooling = self.condenser_subcooling if is_at_condenser else self.inlet_subcooling
        return LiquidSupply(None, subcooling or 0.0, subcooling or 0.0, is_at_condenser)


class LossesModel(Model):
    """Losses at rated flow."""

    liquid_line: Loss
    lift: Length
    evaporator: Loss
    distributor: Loss
    distributor_scaling: Annotated[DistributorScaling, Choice] = DistributorScaling.FLASHED_MIXTURE
    source: Text


class HeatGainModel(Model):
    """Heat that the liquid line takes up, and the capacity that it is a share of."""

    per_length: HeatPerLength
    length: Annotated[float, quantity("length", "0 m", "1000 m")]
    capacity: Load


class LiquidModel(Model):
    """How liquid reaches the valve: vapor allowed at its inlet, heat gain of the line, and where it comes from."""

    inlet_vapor: Annotated[float, quantity("share", "0 percent", "20 percent")] = 0.0
    heat_gain: HeatGainModel | None = None
    supply: Annotated[Supply, Choice] = Supply.CONDENSER
    source: Text

    def inputs(self) -> LiquidFeed:
        """The feed of the physics."""
        gain = self.heat_gain
        heat = None
        if gain is not None:
            heat = LineHeat(per_length_w_m=gain.per_length, length_m=gain.length, capacity_w=gain.capacity)
        return LiquidFeed(inlet_vapor=self.inlet_vapor, heat=heat, supply=self.supply)


class _CompressorBase(Model):
    """What every compressor states: only ratios of its mass flow are used."""

    minimum_capacity: Annotated[Share, must(lambda share: share > 0.0, wording.ABOVE_ZERO_PERCENT)] = 1.0
    return_gas_superheat: Step
    discharge_line_loss: Loss = 0.0
    source: Text


class ClearanceModel(_CompressorBase):
    """A compressor by its clearance volumetric efficiency."""

    kind: Literal["clearance"]
    clearance: Share
    re_expansion_exponent: Annotated[Number, must(lambda n: 1.0 <= n <= 2.0, lambda: within("1", "2"))]

    def inputs(self) -> ClearanceCompressor:
        """The compressor of the physics."""
        return ClearanceCompressor(self.clearance, self.re_expansion_exponent)


class MapModel(Model):
    """The dew temperatures that a polynomial was fitted over."""

    suction: list[Temperature]
    discharge: list[Temperature]

    @model_validator(mode="after")
    def _pairs(self) -> Self:
        if any(len(pair) != 2 or not ascends(pair) for pair in (self.suction, self.discharge)):
            raise BadKey(wording.MAP_PAIRS())
        return self


class PolynomialModel(_CompressorBase):
    """The ten mass-flow coefficients of AHRI 540, in the published order."""

    kind: Literal["polynomial"]
    coefficients: Annotated[list[Number], Field(min_length=10, max_length=10)]
    temperatures_in: Literal["degF", "degC"]
    map: MapModel
    extrapolate: Literal["refused", "allowed"] = "refused"

    def inputs(self) -> PolynomialCompressor:
        """The compressor of the physics; without bounds where extrapolation is allowed."""
        (suction_low, suction_high), (discharge_low, discharge_high) = self.map.suction, self.map.discharge
        bounds = ((suction_low, suction_high), (discharge_low, discharge_high))
        return PolynomialCompressor(
            tuple(self.coefficients),
            self.temperatures_in == "degF",
            *(bounds if self.extrapolate == "refused" else (None, None)),
        )


class TableModel(_CompressorBase):
    """Relative mass flows over suction and discharge dew temperatures."""

    kind: Literal["table"]
    suction: Annotated[list[Temperature], Field(min_length=2)]
    discharge: Annotated[list[Temperature], Field(min_length=2)]
    flows: list[list[Number]]

    @model_validator(mode="after")
    def _grid(self) -> Self:
        if not (ascends(self.suction) and ascends(self.discharge)):
            raise BadKey(wording.TABLE_ASCENDS())
        if len(self.flows) != len(self.suction) or any(len(row) != len(self.discharge) for row in self.flows):
            raise BadKey(wording.TABLE_SHAPE())
        if any(flow <= 0.0 for row in self.flows for flow in row):
            raise BadKey(wording.TABLE_POSITIVE())
        return self

    def inputs(self) -> TableCompressor:
        """The compressor of the physics."""
        return TableCompressor(tuple(self.suction), tuple(self.discharge), tuple(tuple(row) for row in self.flows))


class ConstantCapacityModel(Model):
    """A rack that holds the SST while the evaporator keeps its capacity at every head."""

    kind: Literal["constant_capacity"]
    minimum_capacity: Annotated[Share, must(lambda share: share > 0.0, wording.ABOVE_ZERO_PERCENT)] = 1.0
    source: Text
    # Not keys: the refrigerant drawn in changes nothing here.
    return_gas_superheat: ClassVar[float] = 0.0
    discharge_line_loss: ClassVar[float] = 0.0

    def inputs(self) -> ConstantCapacity:
        """The compressor of the physics."""
        return ConstantCapacity()


CompressorModel = Annotated[
    ClearanceModel | PolynomialModel | TableModel | ConstantCapacityModel, Field(discriminator="kind")
]


class ApplicationModel(Model):
    """One application."""

    application: Name
    title: Title
    temperature_range: Name
    note: Text
    site_pressure: SitePressure
    coil_temperature_difference: Annotated[float, quantity("temperature difference", "0.5 K", "40 K")] | None = None
    suction: SuctionModel
    rating: RatingModel
    low_head: ConditionModel
    high_head: ConditionModel
    losses: LossesModel
    superheat: SuperheatModel
    coil: CoilModel | None = None
    stability: StabilityModel | None = None
    compressor: CompressorModel
    liquid: LiquidModel | None = None
    scatter: InstallationScatterModel | None = None

    @model_validator(mode="after")
    def _one_difference(self) -> Self:
        printed, balanced = self.coil_temperature_difference, self.suction.box_difference
        if printed is not None and balanced is not None and abs(printed - balanced) > 1e-9:
            raise BadKey(wording.TWO_COIL_DIFFERENCES(), "coil_temperature_difference")
        if self.suction.response is not SuctionResponse.CONSTANT and self.box_difference_k is None:
            raise BadKey(wording.BOX_DIFFERENCE_MISSING(), "suction")
        self.superheat.check_coil(self.box_difference_k, self.coil)
        if self.stability is not None and self.stability.method is Stability.LOOP:
            missing = missing_for_loop(self.inputs(), self.coil.missing_of_circuit if self.coil else OF_CIRCUIT)
            if missing:
                raise BadKey(wording.LOOP_NEEDS(missing=listed(missing)), "stability", "method")
        return self

    @model_validator(mode="after")
    def _supplied(self) -> Self:
        keeps_capacity = isinstance(self.compressor, ConstantCapacityModel)
        if keeps_capacity and self.suction.response is not SuctionResponse.CONSTANT:
            raise BadKey(wording.CONSTANT_CAPACITY_RESPONSE(), "suction", "response")
        if keeps_capacity and self.scatter is not None and self.scatter.compressor_flow:
            raise BadKey(wording.CONSTANT_CAPACITY_FLOW(), "scatter", "compressor_flow")
        supply = self.liquid.supply if self.liquid is not None else Supply.CONDENSER
        if supply is Supply.INTERMEDIATE_RECEIVER and not keeps_capacity:
            raise BadKey(wording.RECEIVER_COMPRESSOR(), "liquid", "supply")
        return self

    @property
    def box_difference_k(self) -> float | None:
        """Box temperature minus SST at the rating point [K], under either key."""
        return self.suction.box_difference or self.coil_temperature_difference

    def inputs(self) -> SystemInputs:
        """The inputs of the physics for one refrigerant."""
        site = self.site_pressure.value_pa
        return SystemInputs(
            name=self.application,
            sst_at_compressor=self.suction.sst_at == "compressor",
            suction_loss_k=self.suction.line_loss,
            response=self.suction.response,
            box_difference_k=self.box_difference_k,
            capacity_step=self.compressor.minimum_capacity,
            rating=self.rating.inputs(OperatingCondition.RATING, site),
            low_head=self.low_head.inputs(OperatingCondition.LOW_HEAD, site),
            high_head=self.high_head.inputs(OperatingCondition.HIGH_HEAD, site),
            losses=self.losses.into(Losses),
            superheat=replace(self.superheat.inputs(), stability=self._stability()),
            coil=self.coil.inputs() if self.coil is not None else None,
            circuit=self.coil.circuit() if self.coil is not None else None,
            compressor=self.compressor.inputs(),
            return_superheat_k=self.compressor.return_gas_superheat,
            discharge_loss_pa=self.compressor.discharge_line_loss,
            feed=self.liquid.inputs() if self.liquid is not None else LiquidFeed(),
        )

    def _stability(self) -> StabilityRule:
        """What gives minimum openings."""
        own = self.stability or StabilityModel()
        return StabilityRule(own.method, own.gain_margin, 1.0 if self.coil is None else self.coil.calibration)

    def sources(self) -> dict[str, str]:
        """Where each part comes from."""
        return {part: own.source for part in _SOURCED if (own := getattr(self, part)) is not None}

    def installation_scatter(self) -> InstallationScatter | None:
        """How installations differ: a loss or a subcooling by half of itself at most, so that it stays positive two
        standard deviations down; one that is zero does not scatter."""
        if self.scatter is None:
            return None
        stated = self.scatter.scatter()
        supplies = [condition.liquid() for condition in (self.low_head, self.high_head)]
        subcooling = min((s.min_subcooling_k for s in supplies if s.temperature_k is None), default=0.0)
        return replace(
            stated,
            inlet_subcooling_k=min(stated.inlet_subcooling_k, 0.5 * subcooling),
            liquid_line_pa=min(stated.liquid_line_pa, 0.5 * self.losses.liquid_line),
            distributor_pa=min(stated.distributor_pa, 0.5 * self.losses.distributor),
        )
