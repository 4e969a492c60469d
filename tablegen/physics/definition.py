"""What a refrigerant is made of, as the equation of state needs it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PairParameters:
    """Reducing parameters of one binary pair, where they differ from those of the property library.

    `beta_t` and `gamma_t` belong to the reducing temperature, `beta_v` and `gamma_v` to the reducing volume,
    in the order `first`, `second` (a beta inverts when the two are swapped).  None means what the library
    has for the pair, and where it has none the linear rule (mean of the critical temperatures
    and volumes).

    References
    ----------
    O. Kunz, W. Wagner, "The GERG-2008 Wide-Range Equation of State for Natural Gases and Other Mixtures",
    J. Chem. Eng. Data 57 (2012), the reducing functions (not checked against the source).
    """

    first: str
    second: str
    beta_t: float | None = None
    gamma_t: float | None = None
    beta_v: float | None = None
    gamma_v: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RefrigerantDefinition:
    """A refrigerant by its components and their mass fractions (names as the property library spells them).

    `critical_temperature_k` and `critical_pressure_pa` are given for blends, where finding them takes
    seconds; left as None they are computed.
    """

    name: str
    components: tuple[str, ...]
    mass_fractions: tuple[float, ...]
    pairs: tuple[PairParameters, ...] = ()
    critical_temperature_k: float | None = None
    critical_pressure_pa: float | None = None
