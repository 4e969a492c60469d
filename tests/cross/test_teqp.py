"""Refrigerant states against teqp, another implementation of the same mixture model.

Shared with the package: the numbers.  The equations of the pure fluids, the reducing parameters of the pairs
and their weights and names of departure functions are read from CoolProp, and the pairs of a definition are
put over them.  Not shared: everything that is done with the numbers.  The Helmholtz energies, their
derivatives by automatic differentiation, the linear rule, the departure functions (teqp's own, and the later
ones written out below), the phase equilibrium, its first compositions (Wilson's K-values) and the critical
point are teqp's or this file's.  So a
error of marching, of a wrong root, of the order of a pair, of a pair left over from another blend or of the
Chebyshev tables would show here; a wrong parameter would not.

Pairs that the library lacks get the linear rule here from the critical points that teqp finds, which is
what CoolProp means by it.  Enthalpies are compared as differences, with the ideal-gas parts of CoolProp's
fluids as teqp converts them.

References
----------
I. H. Bell, U. K. Deiters, A. M. M. Leal, "Implementing an Equation of State without Derivatives: teqp",
Ind. Eng. Chem. Res. 61 (2022).
G. M. Wilson, "A modified Redlich-Kwong equation of state", 65th AIChE National Meeting (1968), the K-values
(not checked against the source).
"""

from __future__ import annotations

import functools
import itertools
import json
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest
import teqp
from CoolProp import CoolProp as coolprop
from scipy.optimize import root

from tablegen.physics.arrays import Floats
from tablegen.physics.definition import RefrigerantDefinition
from tablegen.physics.equation_of_state import library_pair
from tablegen.physics.refrigerants import Phase, Refrigerant
from tests.registry import refrigerant, registry

# What the tables claim; the equations themselves agree within 2e-8.
RELATIVE = 1e-6
# In blends CoolProp 8.0.0 evaluates the ideal-gas part of a component over its critical temperature, not over
# the reducing temperature of its paper as for the pure fluid.  For R134a these are 374.21 K and 374.18 K,
# which makes the ideal-gas heat capacity 5e-5 low; teqp takes the paper's.
# At most 5.1e-5 of a refrigerating effect (R417A).
RELATIVE_ENTHALPY = 1e-4
CONVERGED = 1e-8
COLDEST_K = 222.0
WARMEST_K = 338.7
BELOW_CRITICAL_K = 5.0
TEMPERATURES = 5
LONGEST_STEP = 0.5
# The solver starts off the package's state by these factors, and must come to the same state from both.
STARTS = (1.01, 0.985)
SUPERHEATS_K = (2.0, 10.0, 30.0, 60.0)
SUBCOOLINGS_K = (-1.0, -5.0, -20.0)

BLENDS = sorted(name for name, r in registry().records.items() if len(r.definition.components) > 1)
PURE = sorted(name for name, r in registry().records.items() if len(r.definition.components) == 1)

# Departure functions that CoolProp 8.0.0 has and the data of teqp 0.23 lack: n, t, d, l of the terms
# n tau^t delta^d exp(-delta^l).  Bell, J. Phys. Chem. Ref. Data 51 (2022) and 52 (2023), as CoolProp carries them.
LATER_DEPARTURES = {
    "R1234yf-R134a": ([0.0519, -0.011472], [2.477314, 0.070541], [1, 2], [1, 2]),
    "R1234yf-R1234ze(E)": ([0.07264, -0.024746], [0.012645, 3.992829], [1, 2], [1, 2]),
    "R134a-R1234ze(E)": ([0.068889, -0.004831], [3.184446, 2.034344], [1, 2], [1, 2]),
    "R32-R1234yf": ([0.449487, -0.099708, 0.098897], [2.538296, 3.208604, 0.456509], [1, 2, 3], [1, 1, 1]),
    "R32-R1234ze(E)": (
        [0.295192, -0.737904, 0.542962, -0.201951],
        [0.500457, 3.104735, 3.20172, 2.567118],
        [1, 2, 3, 4],
        [1, 1, 1, 1],
    ),
    "R1234yf-R152a": ([0.009165, 0.014392, -0.014246], [3.221227, 1.007082, 3.790953], [1, 2, 3], [1, 1, 1]),
    "R125-R1234yf": ([-0.032013], [0.00803], [1], [1]),
    "R1234ze(E)-R227ea": ([-0.057178, 0.031318, -0.027496], [1.290298, 0.038796, 2.640532], [1, 2, 3], [1, 1, 1]),
}


KEYS = ("betaT", "gammaT", "betaV", "gammaV")


class Equilibrium(NamedTuple):
    """Pressure [Pa], density [mol/m3], partial densities of the incipient phase, maximum residual of the solver."""

    pressure: float
    molar_density: float
    incipient: Floats
    residual: float


class Model(NamedTuple):
    """A composition in teqp: residual and ideal-gas parts, mole fractions, molar mass [kg/mol], Wilson's constants."""

    residual: Any
    ideal: Any
    mole_fractions: Floats
    molar_mass: float
    critical_k: Floats
    critical_pa: Floats
    acentric: Floats

    def phase(self, temperature: float, rho: Floats) -> tuple[Floats, Floats, float]:
        """Chemical potentials and their derivatives [J/mol], less what phases share, and the pressure [Pa]."""
        gas = self.residual.get_R(rho / rho.sum()) * temperature
        potential = gas * np.log(rho) + self.residual.build_Psir_gradient_autodiff(temperature, rho)
        slope = np.diag(gas / rho) + self.residual.build_Psir_Hessian_autodiff(temperature, rho)
        return potential, slope, float(rho.sum() * gas + self.residual.get_pr(temperature, rho))

    def saturated(self, temperature: float, main: float, incipient: Floats) -> Equilibrium:
        """The composition, as the phase whose molar density is near `main`, in equilibrium with another.

        Newton's method on the logarithms of the densities [mol/m3]: equal potentials and equal pressures.
        """
        x, rho, other = self.mole_fractions, main, incipient
        gas = self.residual.get_R(x) * temperature
        for _ in range(60):
            here, there = self.phase(temperature, rho * x), self.phase(temperature, other)
            scale = gas * min(rho, float(other.sum()))
            potentials, pressures = (here[0] - there[0]) / gas, (here[2] - there[2]) / scale
            residuals = np.append(potentials, pressures)
            jacobian = np.empty((len(x) + 1, len(x) + 1))
            jacobian[:-1, 0] = here[1] @ (rho * x) / gas
            jacobian[:-1, 1:] = -there[1] * other / gas
            # Gibbs-Duhem: dp = sum of rho_i dmu_i.
            jacobian[-1, 0] = (rho * x) @ here[1] @ (rho * x) / scale
            jacobian[-1, 1:] = -(other @ there[1]) * other / scale
            step = np.linalg.solve(jacobian, -residuals)
            step *= min(1.0, LONGEST_STEP / np.abs(step).max())
            rho, other = rho * np.exp(step[0]), other * np.exp(step[1:])
            if np.abs(step).max() < 1e-12:
                break
        return Equilibrium(self.phase(temperature, rho * x)[2], float(rho), other, float(np.abs(residuals).max()))

    def enthalpy(self, temperature: float, molar_density: float) -> float:
        """Enthalpy [J/kg] of the composition, from an origin of teqp's own."""
        x = self.mole_fractions
        reduced = (
            1.0
            + self.ideal.get_Ar10(temperature, molar_density, x)
            + self.residual.get_Ar10(temperature, molar_density, x)
            + self.residual.get_Ar01(temperature, molar_density, x)
        )
        return float(self.residual.get_R(x) * temperature * reduced / self.molar_mass)

    def molar_density(self, temperature: float, pressure: float, start: float) -> float:
        """Newton's method for the density [mol/m3] of a phase, from one that is near by."""
        x, rho = self.mole_fractions, start
        gas = self.residual.get_R(x) * temperature
        for _ in range(50):
            a01, a02 = (f(temperature, rho, x) for f in (self.residual.get_Ar01, self.residual.get_Ar02))
            step = (pressure - rho * gas * (1.0 + a01)) / (gas * (1.0 + 2.0 * a01 + a02))
            rho += step
            if abs(step) < 1e-11 * rho:
                return float(rho)
        raise AssertionError(f"no density at {temperature} K and {pressure} Pa")


def pair_data(first: str, second: str, key: str) -> str | None:
    """What the library says of a pair of CAS numbers, asked in either order; None for a pair that it lacks."""
    for order in ((first, second), (second, first)):
        try:
            return str(coolprop.get_mixture_binary_pair_data(*order, key))
        except ValueError:
            continue
    return None


def is_in_library(first: str, second: str) -> bool:
    """Whether the library came with a pair; one that the package gave the linear rule has no source."""
    source = pair_data(first, second, "BibTeX")
    return source is not None and not source.startswith("N/A")


def numerical_critical(fluid: Any) -> tuple[float, float]:
    """Critical temperature [K] and molar volume [m3/mol] at which teqp finds the isotherm flat."""
    alone = teqp.make_model({"kind": "multifluid", "model": {"components": [json.dumps(fluid)], "root": ""}})
    reducing = fluid["EOS"][0]["STATES"]["reducing"]
    temperature, density = alone.solve_pure_critical(reducing["T"], reducing["rhomolar"])
    return temperature, 1.0 / density


def pair(definition: RefrigerantDefinition, names: tuple[str, str], fluids: tuple[Any, Any]) -> dict[str, Any]:
    """One row of teqp's table of pairs: the library's parameters, then the definition's over them."""
    first, second = (fluid["INFO"]["CAS"] for fluid in fluids)
    if is_in_library(first, second):
        known = library_pair(*names)
        row = dict(zip(KEYS, (known.beta_t, known.gamma_t, known.beta_v, known.gamma_v), strict=True))
    else:
        # The library lacks the pair; its linear rule means the critical points of the equations themselves.
        t, v = np.transpose([numerical_critical(fluid) for fluid in fluids])
        linear_v = 4.0 * v.sum() / np.cbrt(v).sum() ** 3
        row = dict(zip(KEYS, (1.0, 0.5 * t.sum() / np.sqrt(t.prod()), 1.0, linear_v), strict=True))
    for own in definition.pairs:
        if {own.first, own.second} == set(names):
            is_swapped = own.first != names[0]
            for key, value in zip(KEYS, (own.beta_t, own.gamma_t, own.beta_v, own.gamma_v), strict=True):
                if value is not None:
                    row[key] = 1.0 / value if is_swapped and key.startswith("beta") else value
    weight = float(pair_data(first, second, "F") or 0.0)
    function = {"function": pair_data(first, second, "function")} if weight else {}
    return {**row, "Name1": names[0], "Name2": names[1], "CAS1": first, "CAS2": second, "F": weight, **function}


@functools.cache
def departures() -> list[dict[str, Any]]:
    shipped = json.loads((Path(teqp.get_datapath()) / "dev/mixtures/mixture_departure_functions.json").read_text())
    names = {f["Name"] for f in shipped}
    later = [
        {"Name": name, "aliases": [], "type": "Exponential", "n": n, "t": t, "d": d, "l": l_}
        for name, (n, t, d, l_) in LATER_DEPARTURES.items()
        if name not in names
    ]
    return shipped + later


@functools.cache
def model(name: str) -> Model:
    definition = registry().records[name].definition
    fluids = [json.loads(coolprop.get_fluid_param_string(c, "JSON"))[0] for c in definition.components]
    order = range(len(fluids))
    rows = [
        pair(definition, (definition.components[i], definition.components[j]), (fluids[i], fluids[j]))
        for i, j in itertools.combinations(order, 2)
    ]
    specification = {
        "components": [json.dumps(fluid) for fluid in fluids],
        "root": "",
        "BIP": rows,
        "departure": departures(),
        # CoolProp gives blends the gas constant of today, and pure fluids the one of their paper.
        "flags": {"Rmodel": "CODATA"} if len(fluids) > 1 else {},
    }
    if not rows:
        del specification["BIP"], specification["departure"]
    states = [fluid["EOS"][0] for fluid in fluids]
    masses = np.array([eos["molar_mass"] for eos in states])
    moles = np.array(definition.mass_fractions) / masses
    x = moles / moles.sum()
    return Model(
        teqp.make_model({"kind": "multifluid", "model": specification}),
        teqp.IdealHelmholtz([teqp.convert_CoolProp_idealgas(json.dumps(fluid), 0) for fluid in fluids]),
        x,
        float(x @ masses),
        *(np.array([fluid["STATES"]["critical"][key] for fluid in fluids]) for key in ("T", "p")),
        np.array([eos["acentric"] for eos in states]),
    )


def temperatures(fluid: Refrigerant) -> Floats:
    warmest = min(WARMEST_K, fluid.critical_temperature_k - BELOW_CRITICAL_K)
    return np.linspace(max(COLDEST_K, fluid.coldest_k), warmest, TEMPERATURES)


def equilibria(name: str, side: str, factor: float) -> list[Equilibrium]:
    """Saturated states at the temperatures of the test, from densities off the package's by a factor.

    The incipient phase starts from Wilson's K-values where it is cold, then from its last composition.
    """
    fluid, there = refrigerant(name), model(name)
    t = temperatures(fluid)
    bubble, dew = fluid.bubble(t), fluid.dew(t)
    main, other = (bubble, dew) if side == "bubble" else (dew, bubble)
    pressure = np.sqrt(bubble.pressure_pa[0] * dew.pressure_pa[0])
    k = there.critical_pa / pressure * np.exp(5.373 * (1.0 + there.acentric) * (1.0 - there.critical_k / t[0]))
    incipient = there.mole_fractions * (k if side == "bubble" else 1.0 / k)
    found = []
    for i, temperature in enumerate(t):
        start = factor * main.density_kg_m3[i] / there.molar_mass
        total = factor * other.density_kg_m3[i] / there.molar_mass
        found.append(there.saturated(temperature, start, total * incipient / incipient.sum()))
        incipient = found[-1].incipient
    return found


@pytest.mark.parametrize("side", ["bubble", "dew"])
@pytest.mark.parametrize("name", BLENDS + PURE)
def test_saturation(name: str, side: str) -> None:
    fluid, there = refrigerant(name), model(name)
    t = temperatures(fluid)
    package = fluid.bubble(t) if side == "bubble" else fluid.dew(t)
    starts = [equilibria(name, side, factor) for factor in STARTS]
    for equilibrium in itertools.chain(*starts):
        assert equilibrium.residual < CONVERGED
        # The two phases differ: the solver did not fall on the trivial solution.
        assert abs(np.log(equilibrium.incipient.sum() / equilibrium.molar_density)) > 0.3
    one, two = (np.array([[e.pressure, e.molar_density * there.molar_mass] for e in found]).T for found in starts)
    np.testing.assert_allclose(one, two, rtol=CONVERGED)
    np.testing.assert_allclose(one, [package.pressure_pa, package.density_kg_m3], rtol=RELATIVE)


@pytest.mark.parametrize("name", ["R410A", "R454C", "R513A"])
def test_solver_against_that_of_teqp(name: str) -> None:
    """Its own routine for blends, which takes two components."""
    there, fluid = model(name), refrigerant(name)
    for temperature, mine in zip(temperatures(fluid), equilibria(name, "bubble", STARTS[0]), strict=True):
        start = 1.01 * mine.molar_density * there.mole_fractions, 0.99 * mine.incipient
        _, liquid, vapor = there.residual.mix_VLE_Tx(
            temperature, *start, there.mole_fractions, 1e-12, 1e-12, 1e-12, 1e-12, 50
        )
        assert liquid.sum() == pytest.approx(mine.molar_density, rel=CONVERGED)
        np.testing.assert_allclose(vapor, mine.incipient, rtol=CONVERGED)


def single_phase(name: str, phase: str, offsets_k: tuple[float, ...]) -> tuple[Phase, Phase]:
    """The package's and teqp's states at every saturated pressure, some kelvins off saturation."""
    fluid, there = refrigerant(name), model(name)
    # The vapor table ends sooner below the critical point; the liquid one does not go below its coldest state.
    saturated_k = (temperatures(fluid)[:-1] if phase == "vapor" else temperatures(fluid)[1:])[:, None]
    saturated = (fluid.dew if phase == "vapor" else fluid.bubble)(saturated_k)
    t, p = np.broadcast_arrays(saturated_k + np.array(offsets_k), saturated.pressure_pa)
    package = (fluid.vapor if phase == "vapor" else fluid.liquid)(t, p)
    start = STARTS[0] * package.density_kg_m3 / there.molar_mass
    found = np.vectorize(there.molar_density)(t, p, start)
    return package, Phase(found * there.molar_mass, np.vectorize(there.enthalpy)(t, found))


@pytest.mark.parametrize(("phase", "offsets_k"), [("vapor", SUPERHEATS_K), ("liquid", SUBCOOLINGS_K)])
@pytest.mark.parametrize("name", BLENDS + PURE)
def test_density_of_one_phase(name: str, phase: str, offsets_k: tuple[float, ...]) -> None:
    package, found = single_phase(name, phase, offsets_k)
    np.testing.assert_allclose(found.density_kg_m3, package.density_kg_m3, rtol=RELATIVE)


@pytest.mark.parametrize("name", BLENDS + PURE)
def test_refrigerating_effect(name: str) -> None:
    """Vapor of every superheat less liquid of every subcooling, whatever their pressures."""
    (vapor, vapor_there), (liquid, liquid_there) = (
        single_phase(name, "vapor", SUPERHEATS_K),
        single_phase(name, "liquid", SUBCOOLINGS_K),
    )
    package = vapor.enthalpy_j_kg.ravel()[:, None] - liquid.enthalpy_j_kg.ravel()
    found = vapor_there.enthalpy_j_kg.ravel()[:, None] - liquid_there.enthalpy_j_kg.ravel()
    np.testing.assert_allclose(found, package, rtol=RELATIVE_ENTHALPY)


@pytest.mark.parametrize("name", BLENDS)
def test_packaged_critical_point(name: str) -> None:
    """Where the first two conditions of criticality are met, found from 0.05 K above the packaged temperature.

    Not from farther away: the model of R452A has two more such points, 0.85 K and 0.88 K colder.
    """
    fluid, there = refrigerant(name), model(name)
    x, near = there.mole_fractions, np.array(fluid.critical_temperature_k - BELOW_CRITICAL_K)
    t = fluid.critical_temperature_k + 0.05
    # A little below the mean density of the phases, which leans to the liquid.
    rho = 0.49 * float(fluid.bubble(near).density_kg_m3 + fluid.dew(near).density_kg_m3) / there.molar_mass

    def conditions(scaled: Floats) -> Floats:
        return np.asarray(there.residual.get_criticality_conditions(scaled[0] * t, scaled[1] * rho * x))

    found = root(conditions, np.ones(2), tol=1e-12).x
    np.testing.assert_allclose(conditions(found), 0.0, atol=1e-11)
    temperature, pressure = found[0] * t, there.phase(found[0] * t, found[1] * rho * x)[2]
    assert fluid.critical_temperature_k == pytest.approx(temperature, abs=0.001 + 0.00005)
    assert fluid.critical_pressure_pa == pytest.approx(pressure, rel=1e-5)


def test_names_of_departure_functions_are_all_known() -> None:
    """And that what teqp ships is not silently replaced by what is written out here."""
    names = [function["Name"] for function in departures()]
    assert len(names) == len(set(names))
    for record in registry().records.values():
        for first, second in itertools.combinations(record.definition.components, 2):
            cas = [coolprop.get_fluid_param_string(name, "CAS") for name in (first, second)]
            if float(pair_data(cas[0], cas[1], "F") or 0.0):
                assert pair_data(cas[0], cas[1], "function") in names
