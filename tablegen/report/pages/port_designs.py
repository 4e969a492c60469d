"""The port designs of a family: what its sizes differ in beside their Kv, a column for each design."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from reportlab.platypus import Flowable, KeepTogether

from tablegen.model.inputs import Family
from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator
from tablegen.report.formatter import Formatter, kv, percent
from tablegen.report.pdf import design
from tablegen.report.pdf.page import paragraph
from tablegen.report.pdf.tables import data_tables
from tablegen.report.rounding import MINUS
from tablegen.report.table_conditions import working_pressure
from tablegen.wording import booklet_pages as wording


def port_designs(formatter: Formatter, family: Family, width: float) -> Sequence[Flowable]:
    """A table of what the sizes differ in; nothing where they differ in Kv alone."""
    first, *others = family.by_design()
    if not others and not family.port_designs and first.characteristic.connection_ratio is None:
        return []
    joined = _joined(family)
    header = [wording.PORT_DESIGN(), *(part.port_design or wording.OF_FAMILY() for part in joined)]
    sizes = [", ".join(size.display_name for size in part.sizes) for part in joined]
    body = [
        [wording.OF_DESIGN(), *sizes],
        *_travel(joined),
        [wording.WORKING_PRESSURE_ROW(), *(working_pressure(formatter, part) for part in joined)],
        [wording.DIFFERENTIAL_ROW(), *(formatter.differential(part.allowed_differential_pa) for part in joined)],
    ]
    if any(size.connection_kv_m3h is not None for size in family.sizes):
        body.append([wording.CONNECTIONS_ROW(), *map(_connections, joined)])
    tables = data_tables(header, body, width, size=design.NOTE)
    notes = []
    if any(own.balance.unbalance for part in joined if isinstance(own := _actuator(part), ThermostaticActuator)):
        notes = [paragraph(wording.ABOUT_UNBALANCE(), "small")]
    return [*(KeepTogether([table]) for table in tables), *notes]


def _joined(family: Family) -> list[Family]:
    """The parts of a family, those of one port design as one, whatever the Kv of their connections."""
    found: dict[str, Family] = {}
    for part in family.by_design():
        found.setdefault(part.port_design, part)
    return [
        replace(part, sizes=tuple(size for size in family.sizes if size.port_design == name))
        for name, part in found.items()
    ]


def _actuator(part: Family) -> ThermostaticActuator | ElectronicActuator:
    actuator = part.elements[0].actuator
    assert isinstance(actuator, (ThermostaticActuator, ElectronicActuator))
    return actuator


def _travel(parts: Sequence[Family]) -> list[list[str]]:
    """Openings, unbalance and characteristic, as far as the kind of valve has them."""
    rows: list[list[str]] = []
    actuators = [_actuator(part) for part in parts]
    first = actuators[0]
    if isinstance(first, ThermostaticActuator):
        own = [actuator for actuator in actuators if isinstance(actuator, ThermostaticActuator)]
        rows += [
            [wording.STOP_ROW(), *(percent(actuator.stop) for actuator in own)],
            [wording.RESERVE_ROW(), *(_reserve(actuator) for actuator in own)],
            [wording.STABLE_ROW(), *(percent(actuator.min_stable, None) for actuator in own)],
            [wording.UNBALANCE_ROW(), *(_signed(actuator.balance.unbalance) for actuator in own)],
        ]
    else:
        is_pulse = parts[0].kind == "pulse_modulated"
        electronic = [actuator for actuator in actuators if isinstance(actuator, ElectronicActuator)]
        maximum, minimum = (
            (wording.MAXIMUM_DUTY_ROW, wording.MINIMUM_DUTY_ROW)
            if is_pulse
            else (wording.MAXIMUM_ROW, wording.MINIMUM_ROW)
        )
        rows += [
            [maximum(), *(percent(actuator.maximum, None) for actuator in electronic)],
            [minimum(), *(percent(actuator.minimum, None) for actuator in electronic)],
        ]
    if any(part.characteristic.points for part in parts):
        shapes = [wording.BY_POINTS() if part.characteristic.points else wording.LINEAR() for part in parts]
        rows.append([wording.CHARACTERISTIC_ROW(), *shapes])
    return rows


def _reserve(actuator: ThermostaticActuator) -> str:
    """The share of the reserve that maximum loads use; none where the stop is at rated stroke."""
    return percent(actuator.reserve_in_limits) if actuator.stop > 1.0 else wording.NO_RESERVE()


def _signed(share: float) -> str:
    return percent(share, None).replace("-", MINUS)


def _connections(part: Family) -> str:
    """The Kv of the connections, size by size where they differ."""
    found = [size.connection_kv_m3h for size in part.sizes]
    texts = [wording.NO_LOSS() if own is None else kv(own) for own in found]
    return texts[0] if len(set(texts)) == 1 else ", ".join(texts)
