"""Names that config files had before the first release, and the names of today: keys, values, folders and columns."""

from __future__ import annotations

# A message says the new name where one of these is an allowed key.
KEYS: dict[str, tuple[str, ...]] = {
    "envelope": ("application",),
    "envelopes": ("applications",),
    "edition": ("publication",),
    "editions": ("publications",),
    "house": ("company", "wholesaler"),
    "articles": ("part_numbers",),
    "company": ("wholesaler",),
    "least": ("minimum",),
    "greatest": ("maximum",),
    "coldest": ("minimum",),
    "warmest": ("maximum",),
    "saturated_temperatures": ("sst_range",),
    "printed_example": ("example_sst",),
    "least_stable": ("minimum_stable",),
    "least_stable_line": ("minimum_stable_line",),
    "least_static_superheat": ("minimum_static_superheat",),
    "least_steps": ("minimum_steps",),
    "least_duty": ("minimum_duty",),
    "greatest_duty": ("maximum_duty",),
    "least_capacity": ("minimum_capacity",),
    "exponent": ("re_expansion_exponent",),
    "return_superheat": ("return_gas_superheat",),
    "discharge_loss": ("discharge_line_loss",),
}
VALUES = {"held": "constant", "confident": "at_confidence"}
COLUMNS = {"article": "part_number"}
FOLDERS = {"envelopes": "applications", "editions": "publications"}
