"""Units of the US trade from their definitions, for tests: nothing of the package's own table of units."""

PSI_PA = 0.45359237 * 9.80665 / 0.0254**2
DELTA_F = 5.0 / 9.0
W_PER_KBTU = 1055.05585262 / 3.6
# Thousands of Btu/h, or kW: what loads are printed in.
W_PER = {"IP": W_PER_KBTU, "SI": 1000.0}


def kelvin(degf: float) -> float:
    """A temperature in degF, in K."""
    return (degf + 459.67) / 1.8
