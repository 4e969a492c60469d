"""Config models to the frozen inputs of the physics."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from tablegen.config.application_model import (
    ApplicationModel,
    ClearanceModel,
    ConditionModel,
    HeadModel,
    PolynomialModel,
    SuperheatModel,
    TableModel,
)
from tablegen.config.catalogue_model import CatalogueModel, GroupModel
from tablegen.config.charge_model import ChargeModel
from tablegen.config.family_model import (
    FamilyModel,
    PulseModel,
    SizeModel,
    StepperModel,
    ThermostaticModel,
    ValveRatingModel,
)
from tablegen.config.tolerance_model import tolerance_of
from tablegen.model.inputs import (
    Application,
    Approval,
    Confidence,
    Family,
    Group,
    InstallationScatter,
    Offered,
    PowerElement,
    PrintSettings,
    ProductionScatter,
    Revision,
    Size,
)
from tablegen.model.names import key_of
from tablegen.physics.arrays import Floats
from tablegen.physics.bulb import AntoineCurve, ChargeCurve, PointsCurve, SaturationCurve
from tablegen.physics.compressor import ClearanceCompressor, Compressor, PolynomialCompressor, TableCompressor
from tablegen.physics.flow import FlowLaw
from tablegen.physics.rating import ValveRating
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import (
    Basis,
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
from tablegen.physics.valve import FactorySetting, OpeningCharacteristic, set_at_factory
from tablegen.physics.windows import ElectronicActuator, ThermostaticActuator


def suction_grid(model: ApplicationModel) -> Floats:
    """Suction temperatures [K], ascending."""
    grid = model.suction.saturated_temperatures
    steps = round((grid.warmest - grid.coldest) / grid.step)
    return np.linspace(grid.coldest, grid.warmest, steps + 1)


def system_inputs(model: ApplicationModel) -> SystemInputs:
    """The physics' application for one refrigerant."""
    site = model.site_pressure.value_pa
    rated_k = model.rating.liquid_temperature
    if rated_k is None:
        # Checked by the model: subcooling stands only beside a condensing temperature on bubble basis.
        rated_k = (model.rating.condensing_temperature or np.nan) - (model.rating.subcooling or np.nan)
    losses = model.losses
    return SystemInputs(
        name=model.application,
        sst_at_compressor=model.suction.sst_at == "compressor",
        suction_loss_k=model.suction.line_loss,
        response=SuctionResponse(model.suction.response),
        box_difference_k=model.suction.box_difference,
        capacity_step=model.compressor.minimum_capacity,
        rating=HeadCondition(OperatingCondition.RATING, _head(model.rating, site), LiquidSupply(rated_k)),
        low_head=HeadCondition(OperatingCondition.LOW_HEAD, _head(model.low_head, site), _liquid(model.low_head)),
        high_head=HeadCondition(OperatingCondition.HIGH_HEAD, _head(model.high_head, site), _liquid(model.high_head)),
        losses=Losses(
            losses.liquid_line,
            losses.lift,
            losses.evaporator,
            losses.distributor,
            DistributorScaling(losses.distributor_scaling),
        ),
        superheat=_superheat(model.superheat),
        compressor=_compressor(model.compressor),
        return_superheat_k=model.compressor.return_superheat,
        discharge_loss_pa=model.compressor.discharge_loss,
    )


def _sources(model: ApplicationModel) -> dict[str, str]:
    """Where each part of an application comes from."""
    return {
        "rating": model.rating.source,
        "low_head": model.low_head.source,
        "high_head": model.high_head.source,
        "losses": model.losses.source,
        "superheat": model.superheat.source,
        "compressor": model.compressor.source,
    }


def application(
    model: ApplicationModel,
    own: dict[str, ApplicationModel],
    own_heads: tuple[tuple[str, OperatingCondition], ...] = (),
) -> Application:
    """An application config with the inputs of every refrigerant; `own` holds each one's model."""
    systems = {refrigerant: system_inputs(one) for refrigerant, one in own.items()}
    sources = _sources(model)
    for refrigerant, one in own.items():
        for part, text in _sources(one).items():
            if text != _sources(model)[part]:
                sources[part] += f". {refrigerant}: {text}"
    sst_k = suction_grid(model)
    # The grid's own number, not the config's, so that rows compare equal.
    example = float(sst_k[np.argmin(np.abs(sst_k - model.suction.printed_example))])
    return Application(
        name=model.application,
        title=model.title,
        note=model.note,
        temperature_range=model.temperature_range,
        site_pressure_pa=model.site_pressure.value_pa,
        sst_k=sst_k,
        example_sst_k=example,
        systems=systems,
        sources=sources,
        own_heads=own_heads,
        scatter={name: _installation(one) for name, one in own.items() if one.scatter},
    )


def _installation(model: ApplicationModel) -> InstallationScatter:
    """What installations differ by: a loss or a subcooling by half of itself at most, so that it stays positive two
    standard deviations down; one that is zero does not scatter."""
    assert model.scatter is not None
    stated, losses = model.scatter.scatter(), model.losses
    supplies = [_liquid(condition) for condition in (model.low_head, model.high_head)]
    subcooling = min((s.min_subcooling_k for s in supplies if s.temperature_k is None), default=0.0)
    return replace(
        stated,
        inlet_subcooling_k=min(stated.inlet_subcooling_k, 0.5 * subcooling),
        liquid_line_pa=min(stated.liquid_line_pa, 0.5 * losses.liquid_line),
        distributor_pa=min(stated.distributor_pa, 0.5 * losses.distributor),
    )


def family(model: FamilyModel, elements: tuple[PowerElement, ...], refrigerants: Mapping[str, Refrigerant]) -> Family:
    """A family with its power elements (made by `power element` for a thermostatic one, by `drive` for an electronic one)."""
    rating = valve_rating(model.rating, refrigerants) if model.rating else None
    recovery = model.pressure_recovery if model.pressure_recovery is not None else np.nan
    return Family(
        name=model.family,
        display_name=model.name,
        title=model.title,
        note=model.note,
        kind=model.kind,
        flow_law=FlowLaw(model.flow_law),
        flow_law_reason=model.flow_law_reason,
        pressure_recovery=recovery,
        working_pressure_gauge_pa=model.working_pressure.value_pa,
        allowed_differential_pa=model.allowed_differential,
        rating=rating,
        rating_source=model.rating.source if model.rating else "",
        sizes=tuple(_size(s, rating, FlowLaw(model.flow_law), recovery) for s in model.sizes),
        characteristic=_characteristic(model),
        elements=elements,
        approved=approval(model),
        offered=_offered(model),
        pressure_recovery_tolerance=tolerance_of(model.pressure_recovery_tolerance),
        unbalance_tolerance=tolerance_of(model.port.unbalance_tolerance)
        if isinstance(model, ThermostaticModel)
        else None,
        scatter=model.scatter.scatter() if model.scatter else ProductionScatter(),
    )


def approval(model: FamilyModel) -> Approval:
    """What a family is approved for."""
    return Approval(tuple(model.approved.refrigerants), tuple(model.approved.safety_groups))


def _offered(model: FamilyModel) -> Offered:
    rules = model.offered.connections if model.offered else []
    names = model.size_names
    return Offered(
        tuple((tuple(key_of("a size", own, names) for own in rule.sizes or ()), tuple(rule.choose)) for rule in rules),
        tuple(model.offered.capillary_lengths) if model.offered else (),
        model.equalizer if isinstance(model, ThermostaticModel) else "",
        "" if isinstance(model, ThermostaticModel) else model.driver or "",
    )


def _characteristic(model: FamilyModel) -> OpeningCharacteristic:
    if isinstance(model, ThermostaticModel):
        return OpeningCharacteristic(model.opening.stop, tuple((p[0], p[1]) for p in model.opening.points or ()))
    if isinstance(model, StepperModel):
        return OpeningCharacteristic(1.0, tuple((p[0], p[1]) for p in model.characteristic or ()))
    # Open or shut: the mean flow follows the share of time that the valve is open.
    return OpeningCharacteristic(1.0)


def _size(model: SizeModel, rating: ValveRating | None, law: FlowLaw, recovery: float) -> Size:
    """A size by either figure, with the other worked out where the family has a rating."""
    tolerance = tolerance_of(model.kv_tolerance)
    if rating is None:
        return Size(
            name=model.size,
            kv_rated_m3h=model.kv or np.nan,
            nominal_capacity_w=np.nan,
            kv_tolerance=tolerance,
            display_name=model.display or "",
        )
    if model.kv is not None:
        capacity, kv = float(rating.capacity(np.asarray(model.kv), law, recovery)), model.kv
    else:
        capacity = model.capacity or np.nan
        kv = float(rating.flow_coefficient(np.asarray(capacity), law, recovery))
    return Size(
        name=model.size,
        kv_rated_m3h=kv,
        nominal_capacity_w=capacity,
        kv_tolerance=tolerance,
        display_name=model.display or "",
    )


def valve_rating(model: ValveRatingModel, refrigerants: Mapping[str, Refrigerant]) -> ValveRating:
    """The condition of a family's nominal capacities."""
    return ValveRating(
        refrigerants[model.refrigerant],
        model.liquid_temperature,
        model.subcooling,
        model.evaporating_temperature,
        model.useful_superheat,
        model.pressure_drop,
    )


def drive(model: StepperModel | PulseModel) -> PowerElement:
    """The drive of an electronic family, which serves every refrigerant and application."""
    if isinstance(model, StepperModel):
        steps = ElectronicActuator(1.0 - model.control_reserve, model.minimum_steps / model.full_steps)
        reserve = 100 * model.control_reserve
        used = f"{100 - reserve:g} percent of travel, {reserve:g} percent in reserve" if reserve else "full travel"
        title = f"stepper of {model.full_steps} steps, from {model.minimum_steps} steps up; sized to {used}"
        return PowerElement(name="stepper", title=title, temperature_ranges=(), refrigerants=(), actuator=steps)
    pulse = ElectronicActuator(model.maximum_duty, model.minimum_duty, Reason.MAX_DUTY, Reason.MIN_DUTY)
    minimum, maximum = 100 * model.minimum_duty, 100 * model.maximum_duty
    title = f"pulse modulation, open for {minimum:g} to {maximum:g} percent of the cycle"
    return PowerElement(name="pulse", title=title, temperature_ranges=(), refrigerants=(), actuator=pulse)


def charge_curve(model: ChargeModel, refrigerants: Mapping[str, Refrigerant]) -> ChargeCurve:
    """The curve of a bulb charge."""
    if model.points is not None:
        return PointsCurve(tuple(p[0] for p in model.points), tuple(p[1].value_pa for p in model.points))
    if model.antoine is not None:
        a = model.antoine
        return AntoineCurve(a.a, a.b, a.c, (a.range.minimum, a.range.maximum))
    return SaturationCurve(refrigerants[model.fluid or ""])


def element(model: ThermostaticModel, charge: ChargeModel, refrigerants: Mapping[str, Refrigerant]) -> PowerElement:
    """One bulb charge, set at the factory.

    Raises
    ------
    ValueError
        If the setting cannot be made; see `set_at_factory`.
    """
    s = charge.setting
    setting = FactorySetting(s.bulb_temperature, s.static_superheat, s.opening_superheat, s.pressure_drop)
    mop = charge.maximum_operating_pressure
    balance = set_at_factory(
        charge_curve(charge, refrigerants),
        setting,
        refrigerants[s.refrigerant],
        model.port.unbalance,
        mop.value_pa if mop else None,
    )
    actuator = ThermostaticActuator(
        balance,
        model.opening.stop,
        model.opening.minimum_stable,
        (charge.evaporating_range.minimum, charge.evaporating_range.maximum),
        model.equalizer == "internal",
    )
    return PowerElement(
        name=charge.charge,
        title=charge.title,
        temperature_ranges=tuple(charge.temperature_ranges),
        refrigerants=tuple(charge.refrigerants),
        actuator=actuator,
        setting=setting,
        setting_refrigerant=s.refrigerant,
        maximum_operating_pressure_pa=mop.value_pa if mop else None,
        min_static_superheat_k=charge.minimum_static_superheat,
        static_superheat_tolerance=tolerance_of(s.static_superheat_tolerance),
        opening_superheat_tolerance=tolerance_of(s.opening_superheat_tolerance),
        charge_pressure_tolerance=tolerance_of(charge.pressure_tolerance),
    )


def group(name: str, model: GroupModel) -> Group:
    """A refrigerant group."""
    return Group(name, model.title, tuple(model.members))


def printing(model: CatalogueModel) -> PrintSettings:
    """Cover words, and the workbook's units."""
    revisions = tuple(Revision(r.revision, r.date, r.change) for r in model.revisions)
    return PrintSettings(
        title=model.title,
        company=model.company,
        notice=model.notice,
        revision=model.revision,
        date=model.date,
        units=model.units,
        load_unit=model.load_unit,
        revisions=revisions,
    )


def confidence(model: CatalogueModel) -> Confidence | None:
    """How scatter is carried into limits; None where the catalogue does not say."""
    c = model.confidence
    if c is None:
        return None
    return Confidence(
        share=c.level if c.share is None else c.share,
        level=c.level,
        samples=c.samples,
        seed=c.seed,
        is_printed=c.tables == "confident",
    )


def _head(model: HeadModel, site_pressure_pa: float) -> Head:
    if model.head_pressure is not None:
        return Head(pressure_pa=model.head_pressure.absolute(site_pressure_pa))
    return Head(condensing_temperature_k=model.condensing_temperature, basis=Basis(model.basis or "dew"))


def _liquid(model: ConditionModel) -> LiquidSupply:
    if model.liquid_temperature is not None:
        return LiquidSupply(model.liquid_temperature)
    if model.inlet_subcooling_range is not None:
        return LiquidSupply(None, model.inlet_subcooling_range.minimum, model.inlet_subcooling_range.maximum)
    subcooling = model.inlet_subcooling or 0.0
    return LiquidSupply(None, subcooling, subcooling)


def _superheat(model: SuperheatModel) -> SuperheatLimits:
    line = model.minimum_stable_line
    minimum = (line.constant, line.linear, line.quadratic) if line else (model.minimum_stable or 0.0, 0.0, 0.0)
    return SuperheatLimits(model.useful, model.maximum, minimum)


def _compressor(model: ClearanceModel | PolynomialModel | TableModel) -> Compressor:
    if isinstance(model, ClearanceModel):
        return ClearanceCompressor(model.clearance, model.exponent)
    if isinstance(model, TableModel):
        return TableCompressor(tuple(model.suction), tuple(model.discharge), tuple(tuple(row) for row in model.flows))
    bounds = (model.map.suction[0], model.map.suction[1]), (model.map.discharge[0], model.map.discharge[1])
    is_refused = model.extrapolate == "refused"
    return PolynomialCompressor(
        tuple(model.coefficients), model.temperatures_in == "degF", *(bounds if is_refused else (None, None))
    )
