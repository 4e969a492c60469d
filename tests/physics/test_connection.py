"""The loss of connections: against the standard's piping factor, worked by hand, and as part of a window."""

from __future__ import annotations

import numpy as np
import pytest
from fluids.control_valve import loss_coefficient_piping, size_control_valve_l

from tablegen.physics.connection import kv_of_port, kv_with_connections, share_of_port, share_with_connections
from tablegen.physics.valve import OpeningCharacteristic

# IEC 60534-2-1, Kv with bores in mm; the constant as the program below has it.
N_2 = 0.0016


@pytest.mark.parametrize(("bore", "inlet", "outlet", "port"), [(15, 25, 40, 4.0), (10, 12, 16, 2.5), (8, 20, 20, 1.0)])
def test_it_is_the_piping_factor_of_the_standard(bore, inlet, outlet, port):
    # Another program's loss coefficients of the reducers, and its sizing with them.
    loss = loss_coefficient_piping(bore / 1e3, inlet / 1e3, outlet / 1e3)
    body = (N_2 / loss) ** 0.5 * bore**2
    with_body = float(kv_with_connections(port, body))
    factor = (1.0 + loss / N_2 * (port / bore**2) ** 2) ** -0.5
    assert with_body == pytest.approx(factor * port, rel=1e-12)
    drop_bar = 2.0
    sized = size_control_valve_l(
        rho=999.1026,
        Psat=1e3,
        Pc=22e6,
        mu=1e-6,
        P1=10e5,
        P2=10e5 - drop_bar * 1e5,
        Q=with_body * drop_bar**0.5 / 3600.0,
        D1=inlet / 1e3,
        D2=outlet / 1e3,
        d=bore / 1e3,
        full_output=True,
    )
    # The iteration of the standard ends within one percent.
    assert sized["Kv"] == pytest.approx(port, rel=5e-3)
    assert not sized["choked"]


def test_worked_by_hand():
    # A port of 3 m3/h in a body of 4 m3/h: 1/9 + 1/16 = 25/144, so 12/5.  Open to 120 percent it is 3.6 m3/h:
    # 1/12.96 + 1/16 = 0.1396605, so 2.675859, and 2.675859 / 2.4 = 1.114941.
    assert kv_with_connections(3.0, 4.0) == pytest.approx(2.4, rel=1e-15)
    assert kv_of_port(2.4, 4.0) == pytest.approx(3.0, rel=1e-14)
    curve = OpeningCharacteristic(1.2, connection_ratio=0.75)
    assert curve.share(np.array([1.0, 1.2, 0.0])) == pytest.approx([1.0, 1.114941, 0.0], rel=1e-6)


@pytest.mark.parametrize("points", [(), ((0.0, 0.0), (0.5, 0.3), (1.0, 1.0), (1.3, 1.2))])
def test_the_opening_for_a_share_is_the_inverse(points):
    curve = OpeningCharacteristic(1.2, points, connection_ratio=1.4)
    opening = np.linspace(0.0, 1.2, 25)
    share = curve.share(opening)
    assert (np.diff(share) > 0.0).all()
    assert curve.opening(share) == pytest.approx(opening, abs=1e-12)
    # Connections flatten the curve: they take from a wide opening more than from a narrow one.
    bare = OpeningCharacteristic(1.2, points)
    assert (share[1:20] > bare.share(opening)[1:20]).all()
    assert share[-1] < bare.share(opening)[-1]


def test_no_port_passes_more_than_its_connections():
    # At a ratio of 1 the body by itself passes sqrt(2) of the rated Kv.
    assert np.isnan(share_of_port(np.array([1.5]), 1.0)).all()
    assert share_with_connections(np.array([1e9]), 1.0) == pytest.approx(2.0**0.5)
    assert np.isnan(OpeningCharacteristic(1.2, connection_ratio=1.0).opening(np.array([1.5]))).all()
