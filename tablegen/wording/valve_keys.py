"""What each key of a valve family means: one sentence each, which editors show through JSON Schema."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

KEYS: Mapping[str, Message] = {
    "FamilyBase.family": Message("Key of the family, which is the name of this file without .yaml."),
    "FamilyBase.name": Message("Name of the family in print."),
    "FamilyBase.title": Message("Title of the family in print."),
    "FamilyBase.note": Message("A note in print, such as what the number of a size is."),
    "FamilyBase.flow_law": Message("The flow law that the Kv was rated with."),
    "FamilyBase.flow_law_reason": Message("Why this flow law, as the method page prints it."),
    "FamilyBase.pressure_recovery": Message("Pressure recovery factor F_L, which the choked flow law needs."),
    "FamilyBase.pressure_recovery_tolerance": Message("How well the pressure recovery factor was measured."),
    "FamilyBase.discharge_coefficient": Message(
        "How the flow coefficient follows subcooling and pressure drop, which the law of the same name needs."
    ),
    "DischargeCoefficientModel.subcooling_exponent": Message(
        "Exponent a of the subcooling (p1 - pv)/pc; 0 if it has no influence."
    ),
    "DischargeCoefficientModel.drop_exponent": Message(
        "Exponent b of the pressure drop (p1 - p2)/p1: 0 follows the square root of the pressure drop, -0.5 does not "
        "depend on the outlet pressure."
    ),
    "DischargeCoefficientModel.reference": Message("Subcooling and pressure drop that the Kv is rated at."),
    "DischargeCoefficientModel.valid": Message("Where the exponents may be used; outside, no limit is given."),
    "DischargeCoefficientModel.source": Message("Where the exponents come from."),
    "ReferencePointModel.subcooling": Message("Subcooling as a share: (p1 - pv)/pc."),
    "ReferencePointModel.drop": Message("Pressure drop as a share of inlet pressure, absolute: (p1 - p2)/p1."),
    "ValidRangeModel.subcooling": Message("Minimum and maximum of (p1 - pv)/pc."),
    "ValidRangeModel.drop": Message("Minimum and maximum of (p1 - p2)/p1."),
    "FamilyBase.scatter": Message("How one valve differs from the next, as standard deviations."),
    "FamilyBase.working_pressure": Message("Maximum working pressure, which must not be below the high head."),
    "FamilyBase.allowed_differential": Message("Maximum pressure drop that the valve opens and closes against."),
    "FamilyBase.rating": Message("The condition of the nominal capacities."),
    "FamilyBase.sizes": Message("The size range in ascending order, all sizes by kv or all by capacity."),
    "FamilyBase.approved": Message("What the family is approved for; nothing else is offered."),
    "FamilyBase.offered": Message("Choices on an order; if a list has more than one entry, the order must name one."),
    "connection_loss": Message("Loss of body and connections, as their Kv without the port insert."),
    "FamilyBase.port_designs": Message("What sizes with another port insert, body or connections differ in, by name."),
    "FamilyBase.model_code": Message(
        "A number to order by, made of the valve's own names, where no part number is listed."
    ),
    "FamilyBase.stability": Message("What gives the minimum opening; without it the application decides."),
    "controller": Message("What sets the superheat, for the loop with the coil."),
    "ControllerModel.gain": Message("Share of travel or duty for each kelvin of superheat."),
    "ControllerModel.integral_time": Message("Integral time."),
    "ControllerModel.sensor_lag": Message("Time constant of the temperature sensor."),
    "ControllerModel.delay": Message("Delay of the controller, such as half its cycle."),
    "ControllerModel.superheat": Message("Superheat that it is set to."),
    "ControllerModel.schedule": Message("What the gain follows."),
    "ConnectionLossModel.kv": Message("Flow coefficient of body and connections with the port insert taken out."),
    "ConnectionLossModel.size_kv": Message("How the Kv of the sizes was measured."),
    "PortDesignModel.design": Message("Name of the port design, which sizes give as port_design."),
    "PortDesignModel.working_pressure": Message("Maximum working pressure of these sizes."),
    "PortDesignModel.allowed_differential": Message("Maximum pressure drop that these sizes open and close against."),
    "ThermostaticDesignModel.opening": Message("Stop, minimum stable opening and characteristic of these sizes."),
    "ThermostaticDesignModel.port": Message("The part of the port of these sizes that no piston balances."),
    "StepperDesignModel.full_steps": Message("Steps of full travel of these sizes."),
    "StepperDesignModel.minimum_steps": Message("Minimum steps that control uses with these sizes."),
    "StepperDesignModel.control_reserve": Message("Share of travel of these sizes that control leaves."),
    "StepperDesignModel.characteristic": Message("Share of Kv over share of travel of these sizes, as pairs."),
    "PulseDesignModel.minimum_duty": Message("Minimum share of the cycle in which these sizes are open."),
    "PulseDesignModel.maximum_duty": Message("Maximum share of the cycle in which these sizes are open."),
    "ModelCodeModel.pattern": Message(
        "Text with names in braces, of family, size, port_design, charge, equalizer, connections, capillary."
    ),
    "ModelCodeModel.codes": Message("Own codes for what the fields of the pattern mean."),
    "CodesModel.size": Message("Codes by size."),
    "CodesModel.port_design": Message("Codes by port design."),
    "CodesModel.charge": Message("Codes by bulb charge."),
    "CodesModel.equalizer": Message("Codes by equalizer."),
    "CodesModel.connections": Message("Codes by connections; each one offered needs one."),
    "CodesModel.capillary": Message("Codes by length of the capillary tube; each one offered needs one."),
    "ThermostaticModel.kind": Message("A thermostatic expansion valve (TXV)."),
    "StepperModel.kind": Message("A stepper-driven electronic expansion valve."),
    "PulseModel.kind": Message("A pulse-modulated electronic expansion valve, open or closed."),
    "ThermostaticModel.opening": Message("The mechanical stop, the minimum stable opening and the characteristic."),
    "ThermostaticModel.port": Message("The part of the port that no piston balances."),
    "ThermostaticModel.equalizer": Message("Where the pressure under the diaphragm is taken from."),
    "ThermostaticModel.charges": Message(
        "Bulb charges; the valve is fitted with the first for the refrigerant and the application's temperature range."
    ),
    "driver": Message("The driver and what sets the superheat, for the order."),
    "StepperModel.full_steps": Message("Steps of full travel."),
    "StepperModel.minimum_steps": Message("Minimum steps that control uses."),
    "StepperModel.control_reserve": Message("Share of travel that control leaves for load swings and wear."),
    "StepperModel.characteristic": Message("Share of Kv over share of travel, as pairs; without it linear."),
    "PulseModel.minimum_duty": Message("Minimum share of the cycle in which the valve is open."),
    "PulseModel.maximum_duty": Message("Maximum share of the cycle in which the valve is open."),
    "SizeModel.size": Message("Key of the size, which is printed unless it has a display name."),
    "SizeModel.display": Message("Name of the size in print, where the key is another one."),
    "SizeModel.kv": Message("Flow coefficient at rated stroke: Kv in m3/h or L/h, or Cv in US_gal/min."),
    "SizeModel.kv_tolerance": Message("How well the flow coefficient was measured."),
    "SizeModel.port_design": Message("Port design of the size, one of port_designs; without it the family's own data."),
    "SizeModel.capacity": Message("Capacity at the family's rating instead of kv."),
    "ValveRatingModel.refrigerant": Message("Refrigerant of the rating."),
    "ValveRatingModel.liquid_temperature": Message("Liquid temperature of the rating."),
    "ValveRatingModel.subcooling": Message("Subcooling of the rating."),
    "ValveRatingModel.evaporating_temperature": Message("Evaporating temperature of the rating."),
    "ValveRatingModel.basis": Message("Basis of the evaporating temperature."),
    "ValveRatingModel.useful_superheat": Message("Superheat that the nominal capacity includes."),
    "ValveRatingModel.pressure_drop": Message("Pressure drop across the valve at the rating."),
    "OpeningModel.stop": Message("The mechanical stop, as a share of rated stroke."),
    "OpeningModel.minimum_stable": Message(
        "The minimum stable opening, as a share of rated stroke: below it the valve hunts."
    ),
    "OpeningModel.reserve_in_limits": Message(
        "Share of the reserve between rated stroke and the stop that maximum loads may use: 0 percent keeps the reserve for "
        "pull-down, 100 percent sells all of it."
    ),
    "OpeningModel.smallest_controlled": Message(
        "The smallest opening that port and seat still control, as a share of rated stroke; 5 percent without it."
    ),
    "OpeningModel.characteristic": Message("Share of Kv over share of rated stroke."),
    "OpeningModel.points": Message("Pairs of opening and share of Kv, from 0 through rated stroke to the stop."),
    "PortModel.unbalance": Message(
        "Net unbalanced port area over diaphragm area: positive where inlet pressure closes the valve, 0 percent if balanced."
    ),
    "PortModel.unbalance_tolerance": Message("How well the unbalance was measured."),
    "ConnectionsModel.sizes": Message("Sizes that these connections are for; without it all."),
    "ConnectionsModel.choose": Message("Connections to choose from."),
    "OfferedModel.connections": Message("Connections of all sizes, or of some sizes each."),
    "OfferedModel.capillary_lengths": Message("Lengths of the capillary tube of a thermostatic valve."),
    "ApprovedModel.refrigerants": Message("Refrigerants that the family is approved for, by name."),
    "ApprovedModel.safety_groups": Message("Safety groups whose refrigerants the family is approved for (ASHRAE 34)."),
    "ChargeModel.charge": Message("Key of the charge."),
    "ChargeModel.title": Message("Title of the charge in print."),
    "ChargeModel.kind": Message("Kind of the charge."),
    "ChargeModel.temperature_ranges": Message("Temperature ranges of the applications that the charge is for."),
    "ChargeModel.refrigerants": Message("Refrigerants that the charge is for, with this one setting."),
    "ChargeModel.evaporating_range": Message("Evaporating temperatures that the charge is for."),
    "ChargeModel.minimum_static_superheat": Message(
        "Minimum static superheat of every refrigerant over the evaporating range."
    ),
    "ChargeModel.fluid": Message("Refrigerant whose saturation curve the bulb has."),
    "ChargeModel.points": Message("Pairs of bulb temperature and absolute pressure, both ascending."),
    "ChargeModel.antoine": Message("Constants of the Antoine equation, log10(p / 1 kPa) = a - b / (c + T in degC)."),
    "ChargeModel.curve_of": Message("Another charge of the family whose curve this one has, with its own setting."),
    "ChargeModel.maximum_operating_pressure": Message(
        "Maximum operating pressure (MOP) of the bulb: above it the valve opens no further."
    ),
    "ChargeModel.pressure_tolerance": Message("How well the pressure of the charge was measured."),
    "ChargeModel.bulb_time_constant": Message(
        "Time in which the bulb makes 63 percent of a step of temperature, fitted as in use."
    ),
    "ChargeModel.setting": Message("The factory setting of the spring."),
    "RangeModel.minimum": Message("Lowest temperature."),
    "RangeModel.maximum": Message("Highest temperature."),
    "AntoineModel.a": Message("Constant a."),
    "AntoineModel.b": Message("Constant b."),
    "AntoineModel.c": Message("Constant c."),
    "AntoineModel.range": Message("Bulb temperatures that the constants are for."),
    "SettingModel.refrigerant": Message("Refrigerant that the valve is set with."),
    "SettingModel.bulb_temperature": Message("Bulb temperature at the setting."),
    "SettingModel.static_superheat": Message("Superheat at which the valve just opens."),
    "SettingModel.static_superheat_tolerance": Message("How well the static superheat was measured."),
    "SettingModel.opening_superheat": Message("Superheat beyond it that opens the valve to rated stroke."),
    "SettingModel.opening_superheat_tolerance": Message("How well the opening superheat was measured."),
    "SettingModel.stem": Message("The adjusting stem, for another setting of the spring."),
    "StemModel.superheat_per_turn": Message(
        "Static superheat that the first turn clockwise adds at the factory setting."
    ),
    "StemModel.turns": Message("How far the stem turns from the factory setting."),
    "TurnsModel.minimum": Message("Turns counterclockwise, below zero."),
    "TurnsModel.maximum": Message("Turns clockwise."),
    "SettingModel.pressure_drop": Message("Pressure drop across the valve at the setting."),
    "ToleranceModel.plus_minus": Message("A two-sided bound; it needs its confidence."),
    "ToleranceModel.standard_deviation": Message("A standard deviation instead of a bound."),
    "ToleranceModel.confidence": Message("Confidence of the bound."),
    "NearbyPartModel.part": Message("Key of the part, which is the name of this file without .yaml."),
    "NearbyPartModel.name": Message("Name of the part in print."),
    "NearbyPartModel.approved": Message("What the part is approved for; nothing else is offered."),
    "NearbyPartModel.sizes": Message("The size range in ascending Kv."),
    "DistributorNozzleModel.kind": Message(
        "Nozzles of a refrigerant distributor; the flow through them is flashed refrigerant."
    ),
    "SolenoidValveModel.kind": Message("A solenoid valve in the liquid line."),
    "SolenoidValveModel.working_pressure": Message("Maximum working pressure, which must not be below the high head."),
    "SolenoidValveModel.allowed_differential": Message("Maximum opening pressure differential (MOPD)."),
    "SolenoidValveModel.maximum_pressure_drop": Message(
        "Maximum pressure drop of the size that is chosen, at full flow; 3 psi without it."
    ),
    "PartSizeModel.size": Message("Key of the size."),
    "PartSizeModel.display": Message("Name of the size in print, if it is not the key."),
    "PartSizeModel.kv": Message("Kv; for a nozzle, Kv with flashed refrigerant (homogeneous mixture)."),
    "SolenoidSizeModel.minimum_pressure_drop": Message(
        "Pressure drop that a pilot-operated valve needs to stay open; left out for a direct-acting one."
    ),
    "ScatterModel.kv": Message("Deviation of the flow coefficient, as a share of it."),
    "ScatterModel.pressure_recovery": Message("Deviation of the pressure recovery factor, as a share of it."),
    "ThermostaticScatterModel.static_superheat": Message("Deviation of the static superheat."),
    "ThermostaticScatterModel.hysteresis": Message(
        "Half the superheat between opening and closing strokes, +-h; it counts as a standard deviation of h / sqrt(3) of "
        "the static superheat."
    ),
    "ThermostaticScatterModel.opening_superheat": Message("Deviation of the opening superheat."),
    "ThermostaticScatterModel.unbalance": Message("Deviation of the unbalance."),
    "ThermostaticScatterModel.charge_pressure": Message("Deviation of the pressure of the charge, as a share of it."),
}
VALUES: Mapping[str, Mapping[str, Message]] = {
    "flow_law": {
        "orifice": Message("the whole pressure drop drives the flow"),
        "choked": Message("at most F_L^2 (p1 - F_F pv) drives it (IEC 60534-2-1)"),
        "discharge_coefficient": Message("the flow coefficient follows subcooling and pressure drop, within a range"),
    },
    "FamilyBase.stability": {
        "constant": Message("a stated minimum opening, an assumption"),
        "loop": Message("the loop with the coil of the application"),
    },
    "ControllerModel.schedule": {
        "none": Message("nothing: it is constant"),
        "proportional": Message("the opening or duty, in proportion"),
    },
    "equalizer": {
        "external": Message("from the evaporator outlet, through a line"),
        "internal": Message("from the valve outlet, for an evaporator without distributor"),
    },
    "ConnectionLossModel.size_kv": {
        "with_connections": Message("Kv of the whole valve"),
        "without_connections": Message("Kv of the port by itself"),
    },
    "ValveRatingModel.basis": {"dew": Message("dew point, the only one")},
    "OpeningModel.characteristic": {
        "linear": Message("in proportion"),
        "points": Message("by points, which are then required"),
    },
    "ChargeModel.kind": {
        "liquid": Message("liquid in the bulb at every temperature, of a fluid"),
        "gas": Message("a limited charge with a maximum operating pressure"),
        "cross": Message("a charge whose curve is flatter than that of the refrigerant"),
        "adsorption": Message("gas on a solid adsorbent"),
    },
}
