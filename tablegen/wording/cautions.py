"""Cautions of every publication, each under a keyword, and those that name the law of a region."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

DISCLAIMER = Message("Disclaimer")

# A keyword and the sentences under it.
Caution = tuple[Message, tuple[Message, ...]]

_PRESSURE = Message("Pressure")
_COLD = Message("Cold")
_AIR = Message("Air")
_FIRE = Message("Fire")
_WHO = Message("Who")
_LIMITS = Message("Limits")
_AFTER = Message("After")
# What a company adds of its own.
ALSO = Message("Also")

_UNDER_PRESSURE = Message("Refrigerants are under pressure.")
_BURSTS = Message("Liquid trapped between closed valves can burst a line as it warms: provide pressure relief.")
_FREEZES = Message(
    "Liquid refrigerant freezes skin and eyes: wear goggles and gloves; flush eyes with water for fifteen minutes and "
    "see a physician."
)
_DISPLACES = Message(
    "Most refrigerant vapors are heavier than air (ammonia is lighter); any of them can displace the oxygen in a pit or "
    "closed space: ventilate."
)
_FLAME = Message("Refrigerant in a flame can give off toxic fumes. Never pressure-test with oxygen.")
_NEVER_MORE = Message("Never expose a valve to more than its working pressure or its allowed differential.")
_FIRST = Message(
    "Local codes, the equipment manufacturer's instructions and a licensed technician's judgment come before these tables."
)
_CONDITIONS = Message(
    "A table is valid only for the conditions stated on its page. It does not replace measuring superheat on the "
    "running system."
)
_SAME = ((_COLD, (_FREEZES,)), (_AIR, (_DISPLACES,)))
_SAME_AT_LAST = (_LIMITS, (_NEVER_MORE,)), (_AFTER, (_CONDITIONS,))
# By region: the United States, and any other.
CAUTIONS: Mapping[str, tuple[Caution, ...]] = {
    "us": (
        (
            _PRESSURE,
            (
                _UNDER_PRESSURE,
                Message(
                    "Isolate, recover the refrigerant and relieve the pressure before opening any part of a circuit; lock "
                    "out every source of energy during work (29 CFR 1910.147 in the United States)."
                ),
                _BURSTS,
            ),
        ),
        *_SAME,
        (
            _FIRE,
            (
                Message(
                    "Refrigerants of safety groups A2L, A2, A3, B2L, B2 and B3 are flammable; those of the B groups have "
                    "higher toxicity (ASHRAE 34): charge limits, ventilation and detection follow ASHRAE 15 or the code "
                    "in force at the site."
                ),
                _FLAME,
            ),
        ),
        (
            _WHO,
            (
                Message(
                    "Do not vent refrigerant while servicing (in the United States 42 USC 7671g(c)); the work is for "
                    "certified technicians (40 CFR 82.161)."
                ),
                _FIRST,
            ),
        ),
        *_SAME_AT_LAST,
    ),
    "other": (
        (
            _PRESSURE,
            (
                _UNDER_PRESSURE,
                Message(
                    "Isolate, recover the refrigerant and relieve the pressure before opening any part of a circuit; lock "
                    "out every source of energy during work."
                ),
                _BURSTS,
            ),
        ),
        *_SAME,
        (
            _FIRE,
            (
                Message(
                    "Refrigerants of safety groups A2L, A2, A3, B2L, B2 and B3 are flammable; those of the B groups have "
                    "higher toxicity (ISO 817): charge limits, ventilation and detection follow the code in force at the "
                    "site."
                ),
                _FLAME,
            ),
        ),
        (
            _WHO,
            (
                Message(
                    "Do not vent refrigerant while servicing; the work is for technicians with the certificate that the "
                    "law at the site requires."
                ),
                _FIRST,
            ),
        ),
        *_SAME_AT_LAST,
    ),
}
