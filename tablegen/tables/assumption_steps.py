"""The step of each assumption that is weighed: sizes that are often met, as they are printed in IP units."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.physics.system import OperatingCondition
from tablegen.tables import assumed_systems as systems
from tablegen.tables import assumed_valves as valves
from tablegen.tables.assumed_inputs import AssumedInput, AssumptionStep, StatedIn, StepKind

# A Fahrenheit degree, a psi, a foot.
_DEGF, _PSI, _FOOT = 1.0 / 1.8, 6894.757, 0.3048

STEPS: Mapping[AssumedInput, AssumptionStep] = {
    AssumedInput.COIL_DIFFERENCE: AssumptionStep(StepKind.STEP, 2.0 * _DEGF, StatedIn.COIL, systems.coil_difference),
    AssumedInput.MAXIMUM_SUPERHEAT: AssumptionStep(StepKind.STEP, _DEGF, StatedIn.SUPERHEAT, systems.maximum_superheat),
    AssumedInput.MINIMUM_STABLE_SUPERHEAT: AssumptionStep(
        StepKind.STEP, _DEGF, StatedIn.SUPERHEAT, systems.minimum_stable_superheat
    ),
    AssumedInput.USEFUL_SUPERHEAT: AssumptionStep(StepKind.STEP, _DEGF, StatedIn.SUPERHEAT, systems.useful),
    AssumedInput.LOW_HEAD: AssumptionStep(
        StepKind.STEP, 5.0 * _DEGF, StatedIn.LOW_HEAD, systems.head(OperatingCondition.LOW_HEAD)
    ),
    AssumedInput.HIGH_HEAD: AssumptionStep(
        StepKind.STEP, 5.0 * _DEGF, StatedIn.HIGH_HEAD, systems.head(OperatingCondition.HIGH_HEAD)
    ),
    AssumedInput.LOW_HEAD_SUBCOOLING: AssumptionStep(
        StepKind.STEP, 2.0 * _DEGF, StatedIn.LOW_HEAD, systems.liquid(OperatingCondition.LOW_HEAD)
    ),
    AssumedInput.HIGH_HEAD_SUBCOOLING: AssumptionStep(
        StepKind.STEP, 2.0 * _DEGF, StatedIn.HIGH_HEAD, systems.liquid(OperatingCondition.HIGH_HEAD)
    ),
    AssumedInput.RATED_LIQUID: AssumptionStep(
        StepKind.STEP, 2.0 * _DEGF, StatedIn.RATING, systems.liquid(OperatingCondition.RATING)
    ),
    AssumedInput.LIQUID_LINE: AssumptionStep(
        StepKind.LOSS, 2.0 * _PSI, StatedIn.LOSSES, systems.loss("liquid_line_pa")
    ),
    AssumedInput.LIFT: AssumptionStep(StepKind.LENGTH, 10.0 * _FOOT, StatedIn.LOSSES, systems.loss("lift_m")),
    AssumedInput.EVAPORATOR: AssumptionStep(StepKind.LOSS, 1.0 * _PSI, StatedIn.LOSSES, systems.loss("evaporator_pa")),
    AssumedInput.DISTRIBUTOR: AssumptionStep(
        StepKind.LOSS, 5.0 * _PSI, StatedIn.LOSSES, systems.loss("distributor_pa")
    ),
    AssumedInput.SUCTION_LINE: AssumptionStep(StepKind.STEP, _DEGF, StatedIn.SUCTION, systems.suction_line),
    AssumedInput.SUCTION_RESPONSE: AssumptionStep(StepKind.OTHER_CHOICE, 1.0, StatedIn.SUCTION, systems.response),
    AssumedInput.COMPRESSOR_FLOW: AssumptionStep(StepKind.SHARE, 0.25, StatedIn.COMPRESSOR, systems.compressor),
    AssumedInput.MINIMUM_OPENING: AssumptionStep(StepKind.POINTS, 0.05, StatedIn.FAMILY, valves.minimum_opening),
    AssumedInput.MAXIMUM_OPENING: AssumptionStep(StepKind.POINTS, 0.05, StatedIn.FAMILY, valves.maximum_opening),
    AssumedInput.RESERVE: AssumptionStep(StepKind.POINTS, 0.25, StatedIn.FAMILY, valves.reserve),
    AssumedInput.STABILITY: AssumptionStep(StepKind.OTHER_CHOICE, 1.0, StatedIn.COIL, valves.stability),
    AssumedInput.CONDUCTANCE_RATIO: AssumptionStep(StepKind.SHARE, 0.3, StatedIn.COIL, systems.conductance_ratio),
    AssumedInput.BULB_TIME_CONSTANT: AssumptionStep(StepKind.SHARE, 0.3, StatedIn.FAMILY, valves.bulb_time_constant),
    AssumedInput.STATIC_SUPERHEAT: AssumptionStep(StepKind.STEP, 0.5 * _DEGF, StatedIn.FAMILY, valves.static),
    AssumedInput.OPENING_SUPERHEAT: AssumptionStep(StepKind.STEP, 0.5 * _DEGF, StatedIn.FAMILY, valves.opening),
    AssumedInput.UNBALANCE: AssumptionStep(StepKind.POINTS, 0.005, StatedIn.FAMILY, valves.unbalance),
    AssumedInput.FLOW_LAW: AssumptionStep(StepKind.OTHER_CHOICE, 1.0, StatedIn.FLOW_LAW, valves.flow_law),
    AssumedInput.KV: AssumptionStep(StepKind.SHARE, 0.02, StatedIn.FAMILY, valves.kv),
    AssumedInput.SATURATION_PRESSURE: AssumptionStep(
        StepKind.SHARE, 0.005, StatedIn.REFRIGERANT, valves.of_refrigerants("pressure")
    ),
    AssumedInput.LIQUID_DENSITY: AssumptionStep(
        StepKind.SHARE, 0.005, StatedIn.REFRIGERANT, valves.of_refrigerants("density")
    ),
    AssumedInput.ENTHALPY: AssumptionStep(
        StepKind.SHARE, 0.01, StatedIn.REFRIGERANT, valves.of_refrigerants("enthalpy")
    ),
}
