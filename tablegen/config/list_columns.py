"""The headings of the lists that people export: every name of a column of a list of jobs, and of a stock sheet."""

from __future__ import annotations

import re

from tablegen.config.import_columns import WHOLE, ImportColumn

_QUANTITY = ("qty", "pieces", "pcs")
_FAMILY = ImportColumn("family", names=("valve_family", "series"))
_CONNECTIONS = ImportColumn("connections", names=("connection",))
JOB_COLUMNS = (
    ImportColumn("refrigerant", names=("refrigerants", "refrigerant_group", "gas", "refrig", "refr")),
    ImportColumn(
        "load",
        "load",
        (
            *("capacity", "cooling_capacity", "cooling_load", "gross_capacity", "system_load", "system_capacity"),
            *("refrigeration_load", "evaporator_load", "unit_capacity"),
        ),
    ),
    ImportColumn(
        "sst",
        "temperature",
        (
            *("saturated_suction_temperature", "saturated_suction_temp", "suction_temperature", "suction_temp"),
            *("saturated_suction", "evaporating_temperature", "evaporating_temp"),
        ),
    ),
    ImportColumn(
        "box",
        "temperature",
        (
            *("box_temperature", "box_temp", "room_temperature", "room_temp", "room", "cold_room_temperature"),
            *("storage_temperature", "storage_temp"),
        ),
    ),
    ImportColumn(
        "coil_difference",
        "temperature difference",
        ("coil_temperature_difference", "td", "coil_td", "evaporator_td", "temperature_difference", "dt"),
    ),
    ImportColumn("application"),
    _FAMILY,
    ImportColumn("valve_kind", names=("valve_type", "kind_of_valve", "type_of_valve")),
    ImportColumn("quantity", WHOLE, (*_QUANTITY, "number_of_valves")),
    ImportColumn(
        "job",
        names=(
            "job_name",
            "job_number",
            "job_no",
            "job_reference",
            "po",
            "po_number",
            "po_no",
            "po_#",
            "purchase_order",
            "order",
            "order_number",
            "order_no",
            "name",
            "reference",
        ),
    ),
    _CONNECTIONS,
    ImportColumn("capillary", "length", ("capillary_length", "capillary_tube")),
)
# "Number" is written in many ways, which are one here.
STOCK_COLUMNS = (
    ImportColumn(
        "part_number",
        names=(
            *("item_number", "article", "article_number", "sku", "sku_number", "stock_number", "product_number"),
            *("material_number", "catalog_number", "catalogue_number", "inventory_number", "inventory_id"),
            *(f"{thing}_{own}" for thing in ("part", "item", "product", "stock") for own in ("code", "id")),
            *("sku_code", "material_code", "article_code"),
        ),
    ),
    _FAMILY,
    ImportColumn("size", names=("valve_size",)),
    ImportColumn("charge", names=("bulb_charge",)),
    ImportColumn("equalizer"),
    _CONNECTIONS,
    ImportColumn("capillary", names=("capillary_length",)),
    ImportColumn("capillary_m"),
    ImportColumn(
        "quantity",
        names=(
            *_QUANTITY,
            *(f"{name}{more}" for name in ("quantity", "qty") for more in ("_on_hand", "_in_stock", "_available")),
            *("on_hand", "in_stock", "stock", "stock_quantity", "stock_qty", "available", "on_hand_qty", "oh", "qoh"),
            *(
                "qty_oh",
                "quantity_oh",
                "on_hand_quantity",
                "stock_on_hand",
                "soh",
                "available_qty",
                "available_quantity",
            ),
        ),
    ),
    ImportColumn(
        "price",
        names=("unit_price", "list_price", "price_each", "sales_price", "selling_price", "sell_price", "net_price"),
    ),
    ImportColumn(
        "location",
        names=(
            "bin",
            "bin_number",
            "bin_location",
            "shelf",
            "shelf_location",
            "stock_location",
            "loc",
            "bin_code",
            "bin_loc",
        ),
    ),
)
# Headings of part numbers where no other column has them.
PART_NUMBER_ALONE = ("item", "part", "product", "material", "code")
_NUMBER = frozenset(("no", "nr", "num", "nbr"))


def words_of(heading: str) -> tuple[str, ...]:
    """The words of a heading without case and punctuation, each way to write "number" as one.

    >>> words_of("Part #"), words_of("ITEM NO.")
    (('part', 'number'), ('item', 'number'))
    """
    words = re.findall(r"[^\W_]+", heading.casefold().replace("#", " no "))
    return tuple("number" if word in _NUMBER else word for word in words)
