"""The data of the phone page: windows as printed in both systems of units, conditions, orders and the page's texts."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from pathlib import Path

from tablegen.dataset.dataset import DataSet
from tablegen.model.box_temperature import balanced_difference
from tablegen.model.coil_difference import coil_difference_of, difference_effect
from tablegen.model.inputs import Application, Catalogue, Family, PowerElement, Size
from tablegen.model.offer import offers
from tablegen.model.part_numbers import PartNumber
from tablegen.model.printed_tables import TableInPrint, printed_table
from tablegen.model.registry import RefrigerantRecord
from tablegen.model.stock import Stock
from tablegen.report.company_texts import caution_texts
from tablegen.report.formatter import Formatter
from tablegen.report.publications.printed_data import PrintedData
from tablegen.report.publications.publication import Publication
from tablegen.report.refrigerant_text import hazard, is_flammable, is_toxic, substance_cautions
from tablegen.report.table_conditions import TableConditions
from tablegen.unit_table import KINDS
from tablegen.units import print_unit
from tablegen.wording import orders, terms
from tablegen.wording import phone as wording
from tablegen.wording.language import date_text, decimal_sign, group_sign, plain_figures
from tablegen.wording.message import Message, Plural

Json = str | int | float | None | Sequence["Json"] | Mapping[str, "Json"]
Formatters = Mapping[str, Formatter]

SYSTEMS = ("IP", "SI")
# The index of a reason in its list as one character; there are fewer reasons than characters.
_SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
# Both limits of an empty window.
EMPTY = "-"
# Decimals of the suction temperatures that rows are found by, in either system.
_DEGREE_DECIMALS = 2
# What a coil temperature difference may be, as `pick` takes it: 1 to 40 °F.
_DIFFERENCE_K = (1.0 / 1.8, 40.0 / 1.8)
_DIFFERENCE_DECIMALS = 6
_TONS = "ton_refrigeration"
# The units of a load that a page offers, and the system that each belongs to.
_LOAD_SYSTEMS = {"kBtu/h": "IP", "Btu/h": "IP", _TONS: "IP", "kW": "SI"}
_WINDOW_COLUMNS = (
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
)


class _Listed:
    """Texts by their index in a list, each of them once."""

    def __init__(self) -> None:
        self.texts: dict[str, int] = {}

    def index(self, text: str) -> int:
        return self.texts.setdefault(text, len(self.texts))


def phone_data(data: DataSet) -> Mapping[str, Json]:
    """The data of the page as JSON values.

    Returns
    -------
    mapping of str to JSON value
        Limits are the printed ones: minimum up and maximum down to three figures, in the units of each system; a
        window that is narrower than its last figure is empty. `windows` gives by family, application and refrigerant
        the charge, and by size for each system the limits at every suction temperature in a row (minimum, maximum,
        minimum, ...), `-` for an empty window, and in `set_by` what sets them, two characters a temperature, each an
        index into `reasons`. `printed` gives by family and application for each group, in the order of `groups`, the
        index into `booklets` of the files that print its table, None where none does.
    """
    catalogue, printing = data.catalogue, data.catalogue.printing
    formatters = {s: Formatter.beside(s, printing.units, printing.load_unit) for s in SYSTEMS}
    reasons, notes = _Listed(), _Listed()
    windows = _windows(data, formatters, reasons)
    offered = _offered(catalogue, notes)
    conditions = _Conditions(data, formatters, notes)
    applications = {name: _application(catalogue, name, conditions) for name in catalogue.applications}
    confidence = catalogue.confidence
    booklets = _Booklets(data)
    printed = booklets.printed()
    return {
        "texts": texts(),
        "figures": {"decimal": decimal_sign(), "group": group_sign()},
        "company": printing.company.name,
        "notice": printing.notice,
        "revision": printing.revision,
        "date": date_text(printing.date),
        "data": data.fingerprint,
        "origin": origin(data),
        "confidence": f"{confidence.level:.0%}" if confidence and confidence.is_printed else "",
        "units": printing.units,
        "loads": {system: own.load_label for system, own in formatters.items()},
        "watts": {s: 1.0 / print_unit("load", s, own.load_unit).of(1.0) for s, own in formatters.items()},
        "load_units": _load_units(),
        "degrees": {system: own.temperature_label for system, own in formatters.items()},
        "differences": {system: print_unit("temperature difference", system).label for system in SYSTEMS},
        "difference_range": {system: _differences(_DIFFERENCE_K, system) for system in SYSTEMS},
        "cautions": [*caution_texts(printing), *filter(None, [printing.company.disclaimer])],
        "families": {name: _family(family, formatters) for name, family in catalogue.families.items()},
        "refrigerants": {name: _safety(name, record) for name, record in catalogue.records.items()},
        "hazards": {name: own for name, record in catalogue.records.items() if (own := hazard(record.safety_group))},
        "groups": {name: {"title": own.title, "members": own.members} for name, own in catalogue.groups.items()},
        "applications": applications,
        "offered": offered,
        "part_numbers": [_part_number(part_number) for part_number in catalogue.part_numbers],
        "stock": _stock(catalogue.stock),
        "reasons": list(reasons.texts),
        "notes": list(notes.texts),
        "windows": windows,
        "booklets": booklets.files(),
        "printed": printed,
    }


def texts() -> Mapping[str, Json]:
    """The texts that the page fills in itself, in the current language."""
    return {key: _patterns(message) for key, message in wording.TEXTS.items()}


def _patterns(message: Message | Plural) -> Json:
    if isinstance(message, Message):
        return message.pattern
    one, many = message.patterns
    return {"one": one, "many": many}


def origin(data: DataSet) -> str:
    """Whose figures the page shows, of which revision."""
    own = data.catalogue.printing
    return wording.ORIGIN(
        company=own.company.name, revision=own.revision, date=date_text(own.date), data=data.fingerprint
    )


def _application(catalogue: Catalogue, name: str, conditions: _Conditions) -> Json:
    application = catalogue.applications[name]
    return {
        "title": application.title,
        "temperature_range": application.temperature_range,
        "suction": {system: _degrees(application, system) for system in SYSTEMS},
        "conditions": conditions.of(application.name),
        "coil_difference": _coil_difference(catalogue, application),
    }


def _coil_difference(catalogue: Catalogue, application: Application) -> Json:
    """The coil temperature difference that an application states, in either unit, and what another one changes."""
    difference_k = coil_difference_of(application)
    if difference_k is None:
        return None
    stated: dict[str, Json] = {system: _differences([difference_k], system)[0] for system in SYSTEMS}
    return {
        **stated,
        "is_balanced": balanced_difference(application) is not None,
        "changes": difference_effect(catalogue, application.name).value,
    }


def _differences(kelvin: Sequence[float], system: str) -> list[float]:
    unit = print_unit("temperature difference", system)
    return [round(unit.of(value), _DIFFERENCE_DECIMALS) for value in kelvin]


def _load_units() -> list[Json]:
    """The units that a load may be written in, with their spellings."""
    found: list[Json] = []
    for name, system in _LOAD_SYSTEMS.items():
        unit = next(one for one in KINDS["load"].units if one.name == name)
        label = unit.label if name != _TONS else wording.TONS()
        found.append(
            {
                "name": name,
                "label": label,
                "one": label if name != _TONS else wording.TON(),
                "spellings": list(dict.fromkeys((unit.name, *unit.also, unit.label, label))),
                "system": system,
                "watts": unit.scale,
                "is_small": unit.is_small,
            }
        )
    return found


def _degrees(application: Application, system: str) -> list[float]:
    """Suction temperatures in the unit of a system; whole ones as whole numbers."""
    unit = print_unit("temperature", system)
    values = [round(unit.of(kelvin), _DEGREE_DECIMALS) for kelvin in application.sst_k.tolist()]
    return [int(value) if value == int(value) else value for value in values]


def _family(family: Family, formatters: Formatters) -> Json:
    """A family with its sizes in order of Kv, in which one is the next smaller or larger, and what may be ordered."""
    sizes = sorted(family.sizes, key=_kv)
    equalizer = family.offered.equalizer
    return {
        "name": family.display_name,
        "title": family.title,
        "note": family.note,
        "kind": wording.KINDS[family.kind](),
        "sizes": [size.name for size in sizes],
        "size_names": [size.display_name for size in sizes],
        "charges": {
            element.name: {system: charge_text(element, own) for system, own in formatters.items()}
            for element in family.elements
        },
        "connections": [family.offered.connections_of(size.name) for size in sizes],
        "capillaries": [
            {"m": meter, **{system: own.length(meter) for system, own in formatters.items()}}
            for meter in family.offered.capillary_m
        ],
        "equalizer": equalizer,
        "equalizer_text": orders.EQUALIZER[equalizer]() if equalizer else "",
        "driver": None if family.kind == "thermostatic" else family.offered.driver,
    }


def _kv(size: Size) -> float:
    return size.kv_rated_m3h


def charge_text(element: PowerElement, formatter: Formatter) -> str:
    """A bulb charge or drive as an order states it."""
    mop_pa, setting = element.maximum_operating_pressure_pa, element.setting
    return orders.charge_clause(
        element.title,
        "" if mop_pa is None else formatter.absolute(mop_pa),
        element.setting_refrigerant,
        formatter.step(setting.static_superheat_k) if setting else "",
    )


def _part_number(part_number: PartNumber) -> Mapping[str, Json]:
    """A row of the list of part numbers, without what it leaves open."""
    row: dict[str, Json] = {
        "number": part_number.number,
        "family": part_number.family,
        "size": part_number.size,
        "charge": part_number.charge,
        "equalizer": part_number.equalizer,
        "connections": part_number.connections,
        "capillary_m": part_number.capillary_m,
    }
    return {key: value for key, value in row.items() if value not in ("", None)}


def _stock(stock: Stock | None) -> Json:
    """The rows of the stock sheet of which some are there, without prices, which are not everybody's to read."""
    if stock is None:
        return None
    items = [
        {**_part_number(item.valve), "quantity": item.quantity, "location": item.location}
        for item in stock.items
        if item.quantity != 0
    ]
    # How the path to it is written does not change the page.
    date = {"date": date_text(stock.date)} if stock.date else {}
    return {"file": Path(stock.file).name, **date, "items": items}


def _safety(name: str, record: RefrigerantRecord) -> str:
    """The safety group of a refrigerant and what it warns of, in a sentence or two."""
    group = record.safety_group
    message = wording.SAFETY[is_flammable(group), is_toxic(group)]
    return " ".join([message(refrigerant=name, group=group), *substance_cautions([record])])


def _offered(catalogue: Catalogue, notes: _Listed) -> Json:
    """By application and by refrigerant or group: the families offered, and the others with the index of the reason."""
    return {
        application: {
            name: {
                "families": offer.families,
                "refused": [[refusal.family, notes.index(refusal.why)] for refusal in offer.refused],
            }
            for name, offer in by_name.items()
        }
        for application, by_name in offers(catalogue).items()
    }


def _windows(data: DataSet, formatters: Formatters, reasons: _Listed) -> Json:
    found: dict[str, dict[str, dict[str, dict[str, Json]]]] = {}
    for (family, application, refrigerant, charge), sizes in _lines(data, formatters, reasons).items():
        of = found.setdefault(family, {}).setdefault(application, {})
        of[refrigerant] = {
            "charge": charge,
            "sizes": {
                size: {key: ("" if key == "set_by" else " ").join(parts) for key, parts in line.items()}
                for size, line in sizes.items()
            },
        }
    return found


def _lines(
    data: DataSet, formatters: Formatters, reasons: _Listed
) -> dict[tuple[str, str, str, str], dict[str, dict[str, list[str]]]]:
    """By family, application, refrigerant and charge, and by size: limits in each system, and what sets them."""
    found: dict[tuple[str, str, str, str], dict[str, dict[str, list[str]]]] = {}
    rows = data.windows.sort_values("sst_k", kind="stable")
    # Lists of columns: the rows of a frame one by one take many times as long.
    for family, application, refrigerant, charge, size, minimum, maximum, *set_by in zip(
        *(rows[column].tolist() for column in _WINDOW_COLUMNS), strict=True
    ):
        sizes = found.setdefault((family, application, refrigerant, charge), {})
        line = sizes.setdefault(size, {**{system: [] for system in formatters}, "set_by": []})
        # The page reads them as numbers, and writes them as its language does.
        with plain_figures():
            printed = {system: own.readable_window(minimum, maximum) for system, own in formatters.items()}
        # A window that cannot be read in one system is empty in both, so that both give one answer.
        is_readable = all(window is not None for window in printed.values())
        for system, window in printed.items():
            line[system].append(" ".join(window) if is_readable and window is not None else EMPTY)
        if is_readable or math.isnan(minimum):
            why = [terms.limit_clause(*both) for both in zip(set_by[:2], set_by[2:], strict=True)]
        else:
            why = [terms.NARROW()] * 2
        line["set_by"] += [_SIGNS[reasons.index(text)] for text in why]
    return found


class _Booklets:
    """The booklets that print tables: of each table a file for either system of units, named once."""

    def __init__(self, data: DataSet) -> None:
        self._catalogue, self._data = data.catalogue, PrintedData(data)
        self._files: dict[tuple[str, ...], int] = {}

    def printed(self) -> Json:
        """By family and application, for each group: the index of its files."""
        pairs = dict.fromkeys((own.family, own.application) for own in self._catalogue.combinations)
        found: dict[str, dict[str, Json]] = {}
        for family, application in pairs:
            indices = [self._index(family, group, application) for group in self._catalogue.groups]
            found.setdefault(family, {})[application] = indices
        return found

    def _index(self, family: str, group: str, application: str) -> int | None:
        language = self._catalogue.printing.language
        tables = [printed_table(self._catalogue, family, group, application, own, language) for own in SYSTEMS]
        files = tuple(own.file for own in tables if own is not None)
        files = files if all(own is None or self._has_page(own) for own in tables) else ()
        return self._files.setdefault(files, len(self._files)) if files else None

    def _has_page(self, table: TableInPrint) -> bool:
        """Whether a table is more than listed."""
        booklet = next(own for own in self._catalogue.booklets if own.printed == table.printed)
        return table.part not in self._data.tables_of(booklet).empty

    def files(self) -> Json:
        """The files by system of units, by index."""
        return [dict(zip(SYSTEMS, files, strict=True)) for files in self._files]


class _Conditions:
    """What the windows of an application are valid for, by refrigerant and group: indices of notes, in each system."""

    def __init__(self, data: DataSet, formatters: Formatters, notes: _Listed) -> None:
        self._catalogue, self._notes = data.catalogue, notes
        printed = PrintedData(data)
        self._publications = {system: Publication(printed, own) for system, own in formatters.items()}

    def of(self, application: str) -> Json:
        catalogue = self._catalogue
        printed = {c.group for c in catalogue.combinations if c.application == application}
        groups = {name: group.members for name, group in catalogue.groups.items() if name in printed}
        members = {member for own in groups.values() for member in own}
        # A refrigerant by itself is a group of one.
        singles = {name: (name,) for name in catalogue.records if name in members}
        return {
            name: {
                system: [
                    [label, self._notes.index(text)] for label, text in self._lines(own, application, refrigerants)
                ]
                for system, own in self._publications.items()
            }
            for name, refrigerants in {**singles, **groups, **singles}.items()
        }

    def _lines(self, publication: Publication, application: str, refrigerants: Sequence[str]) -> list[tuple[str, str]]:
        # The conditions are the application's, in the words for the first family.
        is_thermostatic = publication.is_thermostatic(next(iter(self._catalogue.families)))
        own = self._catalogue.applications[application]
        return TableConditions(publication, own, refrigerants, is_thermostatic).facts()
