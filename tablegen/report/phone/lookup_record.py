"""What the look-up page carries: the windows as they are printed in both systems of units, and their conditions."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

from tablegen.dataset.dataset import DataSet
from tablegen.model.inputs import Group
from tablegen.report.formatter import NARROW, Formatter
from tablegen.report.heads_text import head_text, losses_text, suction_text, superheat_text
from tablegen.report.pages.back import CAUTIONS
from tablegen.report.phone.lookup_orders import family_orders, listed_articles
from tablegen.report.publications.publication import Part, Publication
from tablegen.units import print_unit
from tablegen.wording import terms

SYSTEMS = ("IP", "SI")
# A place of the list of reasons as one sign; every head with every reason is fewer.
_SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
# What stands for both limits of an empty window.
EMPTY = "-"
# Rows are called by their suction temperature to two decimals, in either system.
_DEGREE_PLACES = 2
_FLAMMABLE = ("2", "2L", "3")
# What a counter asks of a valve first, by the kind of its family.
_KINDS = {
    "thermostatic": "thermostatic",
    "stepper": "electronic, needs a driver",
    "pulse_modulated": "electronic, needs a driver",
}


class _Listed:
    """Texts by their place in a list, each of them once."""

    def __init__(self) -> None:
        self.texts: dict[str, int] = {}

    def place(self, text: str) -> int:
        return self.texts.setdefault(text, len(self.texts))


def lookup_record(data: DataSet) -> dict[str, Any]:
    """The data of the page as JSON values.

    Limits are the printed ones: minimum up and maximum down to three figures, in the units of each system; a window
    that is narrower than its last figure is none.  `windows` holds by family, application and refrigerant the charge,
    and by size for each system the limits at every suction temperature in a row (minimum, maximum, minimum, ...), `-`
    for an empty window, and in `set_by` what sets them, two signs a temperature, each a place of `reasons`.
    """
    publication = Publication.of(data)
    printing, inputs = publication.printing, publication.inputs
    formatter = {system: Formatter.beside(system, printing["units"], printing["load_unit"]) for system in SYSTEMS}
    reasons, texts = _Listed(), _Listed()
    windows = _windows(data, formatter, reasons)
    offered = _offered(data, texts)
    applications = {
        name: {
            "title": application["title"],
            "temperature_range": application["temperature_range"],
            "suction": {system: _degrees(application["sst_k"], system) for system in SYSTEMS},
            "conditions": _conditions(data, name, formatter, texts),
        }
        for name, application in inputs["applications"].items()
    }
    confidence = inputs["confidence"]
    level = f"{confidence['level']:.0%} confidence" if confidence and confidence["is_printed"] else "nominal"
    return {
        "title": printing["title"],
        "company": printing["company"],
        "notice": printing["notice"],
        "revision": printing["revision"],
        "date": printing["date"],
        "data": data.fingerprint,
        "limits": level,
        "units": printing["units"],
        "loads": {system: own.load_label for system, own in formatter.items()},
        "watts": {system: 1.0 / print_unit("load", system, own.load_unit).of(1.0) for system, own in formatter.items()},
        "degrees": {system: own.temperature_label for system, own in formatter.items()},
        "cautions": list(CAUTIONS),
        "families": {name: _family(family, formatter) for name, family in inputs["families"].items()},
        "refrigerants": {name: _refrigerant(record) for name, record in inputs["refrigerants"].items()},
        "groups": {name: {"title": g["title"], "members": g["members"]} for name, g in inputs["groups"].items()},
        "applications": applications,
        "offered": offered,
        "articles": listed_articles(inputs),
        "reasons": list(reasons.texts),
        "texts": list(texts.texts),
        "windows": windows,
    }


def _degrees(sst_k: list[float], system: str) -> list[float]:
    """Suction temperatures in the unit of a system; whole ones as whole numbers."""
    values = [round(print_unit("temperature", system).of(kelvin), _DEGREE_PLACES) for kelvin in sst_k]
    return [int(value) if value == int(value) else value for value in values]


def _family(family: dict[str, Any], formatter: dict[str, Formatter]) -> dict[str, Any]:
    # In order of what they let through, in which a size is the next smaller or larger.
    sizes = sorted(family["sizes"], key=lambda size: float(size["kv_rated_m3h"]))
    return {
        "name": family["display_name"],
        "title": family["title"],
        "note": family["note"],
        "kind": _KINDS[family["kind"]],
        "sizes": [size["name"] for size in sizes],
        "size_names": [size["display_name"] for size in sizes],
        **family_orders(family, sizes, formatter),
    }


def _refrigerant(record: dict[str, Any]) -> dict[str, str]:
    """Safety group, and what it warns of."""
    group = str(record["safety_group"])
    warned = ["burns"] if group[1:] in _FLAMMABLE else []
    warned += ["is toxic"] if group.startswith("B") else []
    return {"safety": group, "warned": " and ".join(warned)}


def _offered(data: DataSet, texts: _Listed) -> dict[str, Any]:
    """By application and by refrigerant or group: the families offered, and the others with the places of reasons."""
    return {
        application: {
            name: {
                "families": offer["families"],
                "refused": [[refusal["family"], texts.place(refusal["why"])] for refusal in offer["refused"]],
            }
            for name, offer in offers.items()
        }
        for application, offers in data.manifest["offered"].items()
    }


def _windows(data: DataSet, formatter: dict[str, Formatter], reasons: _Listed) -> dict[str, Any]:
    explained = data.manifest["reasons"]
    found: dict[str, Any] = {}
    columns = [
        "family",
        "application",
        "refrigerant",
        "charge",
        "size",
        "min_load_w",
        "max_load_w",
        "min_condition",
        "max_condition",
        "min_reason",
        "max_reason",
    ]
    rows = data.windows.sort_values("sst_k", kind="stable")
    # Plain columns: rows of a frame by themselves take many times as long.
    for family, application, refrigerant, charge, size, minimum, maximum, *set_by in zip(
        *(rows[column].tolist() for column in columns), strict=True
    ):
        of = (
            found.setdefault(family, {})
            .setdefault(application, {})
            .setdefault(refrigerant, {"charge": charge, "sizes": {}})
        )
        line = of["sizes"].setdefault(size, {**{system: [] for system in formatter}, "set_by": []})
        why = [_reason(explained, *both) for both in zip(set_by[:2], set_by[2:], strict=True)]
        _add(line, minimum, maximum, why, formatter, reasons)
    for applications in found.values():
        for refrigerants in applications.values():
            for of in refrigerants.values():
                of["sizes"] = {
                    size: {key: ("" if key == "set_by" else " ").join(parts) for key, parts in line.items()}
                    for size, line in of["sizes"].items()
                }
    return found


def _add(
    line: dict[str, list[str]],
    minimum: float,
    maximum: float,
    why: list[str],
    formatter: dict[str, Formatter],
    reasons: _Listed,
) -> None:
    """Put one window at the end of a size's line."""
    printed = {system: own.readable_window(minimum, maximum) for system, own in formatter.items()}
    # What cannot be read in one of the systems is left to neither, so that both give one answer.
    is_readable = all(window is not None for window in printed.values())
    for system, window in printed.items():
        line[system].append(" ".join(window) if is_readable and window is not None else EMPTY)
    is_narrow = not is_readable and not math.isnan(minimum)
    line["set_by"] += [_SIGNS[reasons.place(NARROW if is_narrow else reason)] for reason in why]


def _reason(explained: dict[str, str], condition: str, reason: str) -> str:
    """What sets a limit, and at which head, as a clause."""
    why = explained[reason]
    return f"{terms.at_condition(condition)} {why}" if condition in terms.CONDITIONS else why


def _conditions(data: DataSet, application: str, formatter: dict[str, Formatter], texts: _Listed) -> dict[str, Any]:
    """What the windows of an application hold for, by refrigerant and group: places of texts, in each system."""
    inputs = data.manifest["inputs"]
    singles = {name: {"title": name, "members": [name]} for name in inputs["refrigerants"]}
    known = {c["group"] for c in inputs["combinations"] if c["application"] == application}
    members = {m for group in known for m in inputs["groups"][group]["members"]}
    names = [n for n in (*singles, *inputs["groups"]) if n in known or n in members]
    # A refrigerant by itself is a group of one.
    alone = {name: Group(name, name, (name,)) for name in data.catalogue.records}
    groups = {**data.catalogue.groups, **alone}
    widened = dataclasses.replace(data, catalogue=dataclasses.replace(data.catalogue, groups=groups))
    publications = {system: Publication(widened, own) for system, own in formatter.items()}
    return {
        name: {
            system: [
                [label, texts.place(text)]
                for label, text in _condition_lines(publication, Part(_any_family(inputs), name, application))
            ]
            for system, publication in publications.items()
        }
        for name in dict.fromkeys(names)
    }


def _any_family(inputs: dict[str, Any]) -> str:
    # Conditions are the application's; the words for them ask for no family.
    return str(next(iter(inputs["families"])))


def _condition_lines(publication: Publication, part: Part) -> list[tuple[str, str]]:
    return [
        ("Rating point", head_text(publication, part, "rating")),
        ("Low head", head_text(publication, part, "low_head")),
        ("High head", head_text(publication, part, "high_head")),
        ("Suction", suction_text(publication, part)),
        ("Losses at rated flow", losses_text(publication, part)),
        ("Superheat", superheat_text(publication, part)),
    ]
