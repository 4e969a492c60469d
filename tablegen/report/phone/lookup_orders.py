"""What the look-up page carries for orders: charges in words, what is offered of each size, article numbers."""

from __future__ import annotations

from typing import Any

from tablegen.report.formatter import Formatter


def charge_words(
    formatter: Formatter, title: str, mop_pa: float | None, set_on: str, static_superheat_k: float | None
) -> str:
    """A bulb charge or drive as an order says it, with its maximum operating pressure and setting, if it has them."""
    parts = [title]
    parts += [f"MOP {formatter.absolute(mop_pa)}"] if mop_pa is not None else []
    if static_superheat_k is not None:
        parts.append(f"set on {set_on} at {formatter.step(static_superheat_k)} static superheat")
    return ", ".join(parts)


def family_orders(
    family: dict[str, Any], sizes: list[dict[str, Any]], formatter: dict[str, Formatter]
) -> dict[str, Any]:
    """What an order of a family may say, in each system of units; connections in the order of `sizes`."""
    offered = family["offered"]
    return {
        "charges": {
            element["name"]: {system: _charge(element, own) for system, own in formatter.items()}
            for element in family["elements"]
        },
        "connections": [_connections(offered, size["name"]) for size in sizes],
        "capillaries": [
            {"m": metre, **{system: own.length(metre) for system, own in formatter.items()}}
            for metre in offered["capillary_m"]
        ],
        "equalizer": offered["equalizer"],
        "driver": None if family["kind"] == "thermostatic" else offered["driver"],
    }


def _charge(element: dict[str, Any], formatter: Formatter) -> str:
    setting = element["setting"]
    return charge_words(
        formatter,
        element["title"],
        element["maximum_operating_pressure_pa"],
        element["setting_refrigerant"],
        setting["static_superheat_k"] if setting else None,
    )


def _connections(offered: dict[str, Any], size: str) -> list[str]:
    return [choice for sizes, choices in offered["connections"] if not sizes or size in sizes for choice in choices]


def listed_articles(inputs: dict[str, Any]) -> list[dict[str, Any]]:
    """The catalogue's list of articles, without what a row leaves open."""
    return [
        {key: value for key, value in article.items() if key != "kind" and value not in ("", None)}
        for article in inputs.get("articles", ())
    ]
