"""Where a charge with a maximum operating pressure begins to limit, as its table says it."""

from __future__ import annotations

import numpy as np
import pytest

from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.valve import static_superheat
from tests.demo import demo_catalogue


def test_at_the_mop_the_bulb_is_as_warm_as_the_valve_needs_to_open():
    catalogue = demo_catalogue()
    limited = [e for f in catalogue.families.values() for e in f.elements if e.maximum_operating_pressure_pa]
    assert limited
    for element in limited:
        assert isinstance(element.actuator, ThermostaticActuator)
        on, balance = catalogue.settings[element.setting_refrigerant], element.actuator.balance
        te = np.array([element.mop_evaporating_k])
        assert float(on.dew(te).pressure_pa[0]) == pytest.approx(element.maximum_operating_pressure_pa, rel=1e-9)
        opens = te + static_superheat(balance, on, te)
        assert float(opens[0]) == pytest.approx(balance.charge.limit_temperature_k, abs=1e-6)
