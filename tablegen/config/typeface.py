"""The characters that the typeface of the pages can draw, so that a text is refused where it is written.

`tests/config/test_typeface.py` holds them to the faces in `publish/fonts`, and says how they are written anew.
"""

from __future__ import annotations

from collections.abc import Iterator

# Code points, first and last, that every upright face has.
RANGES = (
    "20-7E A0-AC AE-17E 180 18F 192-193 1A0-1A1 1AF-1B0 1C2 1CD-1DC 1E2-1E3 1E6-1E7 1EA-1EB 1F4-1F5 1F8-1F9 "
    "1FC-1FD 218-21B 237 243 250-25C 25E-268 26A 26C-276 278-27B 27D-27E 280-284 288-292 294-295 298-299 29C-29D "
    "29F 2A1-2A2 2B0 2B2-2B3 2B7-2B9 2BB-2BC 2BE-2BF 2C1 2C6-2CC 2D0-2D1 2D8-2DE 2E0-2E3 300-30C 30F 311-313 "
    "318-320 323-32A 32C 32E-331 334 339-33D 342 345 361 374-375 37A 37E 384-38A 38C 38E-3A1 3A3-3CE 3D0-3D1 3D5 "
    "3D7 3D9 3DB 3DD 3E1 400-45F 462-463 472-475 490-493 496-49B 4A0-4A3 4AA-4AB 4AE-4B3 4B6-4B7 4BA-4BB 4C0-4C2 "
    "4CF-4D1 4D4-4D9 4E2-4E3 4E6-4E9 4EE-4EF 4F2-4F3 1D43 1D47-1D49 1D4D 1D4F-1D50 1D52 1D56-1D58 1D5B 1D9C 1DA0 "
    "1DBB 1E06-1E07 1E0C-1E0F 1E16-1E17 1E20-1E21 1E24-1E25 1E2A-1E2B 1E32-1E3B 1E3E-1E49 1E52-1E53 1E58-1E63 "
    "1E6C-1E6F 1E80-1E85 1E8E-1E8F 1E92-1E97 1E9E 1EA0-1EF9 1F00-1F15 1F18-1F1D 1F20-1F45 1F48-1F4D 1F50-1F57 "
    "1F59 1F5B 1F5D 1F5F-1F7D 1F80-1FB4 1FB6-1FC4 1FC6-1FD3 1FD6-1FDB 1FDD-1FEF 1FF2-1FF4 1FF6-1FFE 2012-2016 "
    "2018-201A 201C-201E 2020-2022 2026 2030 2032-2033 2035 2039-203A 203C-203F 2044 2047-2049 2070-2071 "
    "2074-2079 207D-2089 208D-208E 2094 20A1 20A4 20A6-20A7 20A9 20AB-20AC 20AE 20B1-20B2 20B4-20B5 20B8-20BA "
    "20BD 2113 2116-2117 2120 2122 2126 212E 2150-215E 2189 2190-2193 2202 2206 220F 2211-2212 2215 2219-221A "
    "221E 222B 2248 2260 2264-2265 231C-231F 25A0 25B2-25B3 25B6-25B7 25BC-25BD 25C0-25C1 25C6 25C9-25CA 25CC "
    "2610-2611 266A 2713 2752 27E6-27E7 2E22-2E25 2E3A-2E3B FB00-FB04 1F16A-1F16B "
)


def _drawn() -> Iterator[int]:
    for part in RANGES.split():
        first, _, last = part.partition("-")
        yield from range(int(first, 16), int(last or first, 16) + 1)


_DRAWN = frozenset(_drawn())


def undrawn(text: str) -> tuple[str, ...]:
    """The characters of a text that the typeface lacks, each once, in order of appearance."""
    return tuple(dict.fromkeys(sign for sign in text if ord(sign) not in _DRAWN))
