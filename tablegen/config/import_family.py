"""A family's file from sheets: keys, sizes with their port designs, bulb charges, a characteristic."""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from tablegen.config.document import ConfigDocument, KeyPath, Place, Yaml, as_mapping, mappings
from tablegen.config.family_model import FAMILY_KINDS
from tablegen.config.fields import NAME, size_key
from tablegen.config.import_columns import OF_CHARGE, OF_DESIGN, PRESSURE, TEMPERATURE, SheetKind
from tablegen.config.import_measured import drop_replaced
from tablegen.config.import_problems import order_notes
from tablegen.config.import_sheets import ImportRow, ImportSheet
from tablegen.errors import FileProblem
from tablegen.units import to_si
from tablegen.wording import imports as wording

# Keys of a sheet of keys whose values are lists of names, or numbers.
_LISTS = ("refrigerants", "safety_groups", "capillary_lengths", "temperature_ranges")
_COUNTS = ("full_steps", "minimum_steps")
_DESIGN_KEYS = tuple(column.key for column in OF_DESIGN)
_CHARGE_KEYS = [column.key for column in OF_CHARGE]
_CURVES = ("fluid", "points", "antoine", "curve_of")
_FIRST = ("family", "name", "title", "note", "kind")
_AUTOMATIC = "port-{number}"


@dataclass(kw_only=True)
class FamilyFromSheets:
    """The data of a family's file, with the place that each key comes from; `problems` are what sheets contradict in.

    `old` is the family's file as it is, None for a new family.  `made` has the names of port designs that the sheet of
    sizes did not name, each with its sizes and the keys that they differ in; `notes` are what may be a slip, or is lost.
    A sheet of sizes is the whole range: only with `may_delete_sizes` may it lack one that the file has.
    """

    old: ConfigDocument | None
    file: str
    may_delete_sizes: bool = False
    data: dict[str, Yaml] = field(default_factory=dict)
    places: dict[KeyPath, Place] = field(default_factory=dict)
    problems: list[FileProblem] = field(default_factory=list)
    made: dict[str, tuple[list[str], list[str]]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Begin with what the family's file has."""
        if self.old is not None:
            self.data, self.places = copy.deepcopy(self.old.data), dict(self.old.places)

    def document(self) -> ConfigDocument:
        """The file's data as a document, whose problems name the sheets."""
        if self.old is not None and (lost := drop_replaced(self.old.data, self.data)):
            self.notes.append(wording.MEASURED_REPLACED(len(lost), file=self.file, keys=", ".join(lost)))
        kind = FAMILY_KINDS.get(str(self.data.get("kind")))
        order = [*_FIRST, *kind.model_fields] if kind else []
        known = {key: self.data[key] for key in order if key in self.data}
        return ConfigDocument(self.file, {**known, **self.data}, self.places)

    def add(self, sheets: Sequence[ImportSheet]) -> None:
        """What the sheets give: keys first, for a port design takes over what it does not state itself."""
        of_kind = {kind: [own for own in sheets if own.kind is kind] for kind in SheetKind}
        given: dict[str, Place] = {}
        for sheet in of_kind[SheetKind.KEYS]:
            for row in sheet.rows:
                self._add_key(row, given)
        for sheet in of_kind[SheetKind.CHARACTERISTIC]:
            self._add_characteristic(sheet)
        if sizes := [row for sheet in of_kind[SheetKind.SIZES] for row in sheet.rows]:
            self._add_sizes(sizes)
        if charges := [row for sheet in of_kind[SheetKind.CHARGES] for row in sheet.rows]:
            self._add_charges(charges)

    def set_key(self, key: str, text: str, place: Place) -> None:
        """A key of the file by its path, such as ``opening.stop``, with its value as text."""
        path = tuple(key.split("."))
        value: Yaml = text
        if path[-1] in _LISTS:
            value = [part.strip() for part in text.strip("[] ").split(";" if ";" in text else ",") if part.strip()]
        elif path == ("offered", "connections"):
            value = [{"choose": [part.strip() for part in text.split(";") if part.strip()]}]
        elif path[-1] in _COUNTS and text.isascii() and text.isdigit():
            value = int(text)
        self._set(path, value, place)

    def _set(self, path: tuple[str, ...], value: Yaml, place: Place) -> None:
        target = self.data
        for depth, key in enumerate(path[:-1], start=1):
            below = target.setdefault(key, {})
            if not isinstance(below, dict):
                text = wording.NOT_A_KEY(key=".".join(path[:depth]), below=path[depth])
                self.problems.append(FileProblem(place.file, place.line, ".".join(path), text))
                return
            target = below
            self.places.setdefault(path[:depth], place)
        target[path[-1]] = value
        self.places = {own: at for own, at in self.places.items() if own[: len(path)] != path}
        self.places[path] = place

    def _add_key(self, row: ImportRow, given: dict[str, Place]) -> None:
        key, value = str(row.values["key"]), str(row.values["value"])
        if key in given:
            self._wrong(row, key, wording.KEY_GIVEN(line=given[key].line, file=given[key].file))
        else:
            given[key] = row.place
            self.set_key(key, value, row.place)

    def _add_characteristic(self, sheet: ImportSheet) -> None:
        points: list[Yaml] = []
        for row in sheet.rows:
            points.append([row.values["opening"], row.values["share_of_kv"]])
        if self.data.get("kind") == "thermostatic":
            self._set(("opening", "characteristic"), "points", sheet.rows[0].place)
            self._set(("opening", "points"), points, sheet.rows[0].place)
            path: KeyPath = ("opening", "points")
        else:
            self._set(("characteristic",), points, sheet.rows[0].place)
            path = ("characteristic",)
        self.places |= {(*path, i): row.place for i, row in enumerate(sheet.rows)}

    def _add_sizes(self, rows: Sequence[ImportRow]) -> None:
        before = {str(size.get("size")): size for size in mappings(self.data.get("sizes"))}
        # A sheet that says nothing of ports leaves them as they are.
        has_ports = any(key in row.values for row in rows for key in ("port_design", *_DESIGN_KEYS))
        replaced = {"display", "kv", "capacity", "kv_tolerance", *(["port_design"] if has_ports else [])}
        entries: list[tuple[dict[str, Yaml], ImportRow]] = []
        given: dict[str, ImportRow] = {}
        for row in rows:
            first = given.setdefault(_size_key(row), row)
            if first is not row:
                own, other = (repr(str(each.values["size"])) for each in (row, first))
                text = wording.SIZE_TWICE(size=own, first=other, line=first.place.line, file=first.place.file)
                self._wrong(row, "size", text)
        missing = [str(size.get("display", key)) for key, size in before.items() if key not in given]
        if missing and not self.may_delete_sizes:
            text = wording.SIZES_DELETED(len(missing), sizes=", ".join(missing))
            self.problems.append(FileProblem(rows[0].place.file, 0, "", text))
        self.notes += order_notes(
            [
                (row.place, str(row.values["size"]), str(row.values.get("kv", row.values.get("capacity"))), _flow(row))
                for row in given.values()
            ]
        )
        for key, row in sorted(given.items(), key=lambda own: _flow(own[1])):
            text = str(row.values["size"])
            entry: dict[str, Yaml] = {"size": key}
            if (display := row.values.get("display", text)) != key:
                entry["display"] = display
            entry |= {own: row.values[own] for own in ("kv", "capacity", "port_design") if own in row.values}
            old = before.get(key, {})
            measured = {"kv_tolerance"} if entry.get("kv") == old.get("kv") else set()
            entry |= {own: value for own, value in old.items() if own not in {*replaced, *entry} - measured}
            entries.append((entry, row))
        self._add_designs(entries)
        self._add_connections(entries)
        self.data["sizes"] = [entry for entry, _ in entries]
        self._clear("sizes")
        for i, (entry, row) in enumerate(entries):
            self.places |= dict.fromkeys((("sizes",), ("sizes", i), *(("sizes", i, k) for k in entry)), row.place)

    def _add_designs(self, entries: Sequence[tuple[dict[str, Yaml], ImportRow]]) -> None:
        """Port data of sizes: of the first size for the family, of those that differ in a port design for each."""
        own = {i: {k: row.values[k] for k in _DESIGN_KEYS if k in row.values} for i, (_, row) in enumerate(entries)}
        if not any(own.values()):
            return
        is_named = any("port_design" in entry for entry, _ in entries)
        groups: dict[str, list[int]] = {}
        for i, (entry, _) in enumerate(entries):
            alike = next((name for name, others in groups.items() if own[others[0]] == own[i]), None)
            name = str(entry.get("port_design", "")) if is_named else alike
            groups.setdefault(_AUTOMATIC.format(number=len(groups) + 1) if name is None else name, []).append(i)
        designs: list[Yaml] = []
        old = mappings(self.data.get("port_designs"))
        for number, (name, members) in enumerate(groups.items()):
            stated: dict[str, Yaml] = {}
            rows = [entries[i][1] for i in members]
            for i, member in enumerate(members):
                stated = self._agreed(stated, own[member], rows, i, name)
            row = entries[members[0]][1]
            if number == 0:
                for key, value in stated.items():
                    # A loss of connections is stated where it is measured.
                    if not (is_named and key.startswith("connection_loss")):
                        self._set(tuple(key.split(".")), value, row.place)
            if name and (is_named or number):
                before = next((own for own in old if own.get("design") == name), {}) if is_named else {}
                designs.append({"design": name, **self._completed(stated, before)})
                self.places[("port_designs", len(designs) - 1)] = row.place
                for i in members:
                    entries[i][0]["port_design"] = name
                if not is_named:
                    first = own[groups[next(iter(groups))][0]]
                    keys = [key for key in stated if stated[key] != first.get(key)]
                    self.made[name] = (
                        [str(entries[i][0].get("display", entries[i][0]["size"])) for i in members],
                        keys,
                    )
        if designs:
            self.data["port_designs"] = designs
        else:
            self.data.pop("port_designs", None)

    def _completed(self, stated: Mapping[str, Yaml], before: Mapping[str, Yaml]) -> dict[str, Yaml]:
        """The keys of a port design: what it had stays, and a part that it had not takes its other keys from the family."""
        found = {key: value for key, value in before.items() if key != "design"}
        for key, value in stated.items():
            first, _, last = key.partition(".")
            if not last:
                found[first] = value
                continue
            found[first] = {**(as_mapping(found.get(first)) or as_mapping(self.data.get(first))), last: value}
        return found

    def _agreed(
        self,
        stated: Mapping[str, Yaml],
        row: Mapping[str, Yaml],
        rows: Sequence[ImportRow],
        index: int,
        name: str,
        what: str = "",
    ) -> dict[str, Yaml]:
        """What rows of one name say together; where a row differs from those above it, that is noted."""
        for key, value in row.items():
            if stated.get(key, value) != value:
                line = next(own.place.line for own in rows if own.values.get(key) == stated[key])
                text = wording.DIFFERS(
                    key=key,
                    name=name or "-",
                    other=repr(stated[key]),
                    line=line,
                    name_of=what or wording.A_PORT_DESIGN(),
                )
                self._wrong(rows[index], key, text)
        return {**row, **stated}

    def _add_connections(self, entries: Sequence[tuple[dict[str, Yaml], ImportRow]]) -> None:
        """Connections to choose from, a rule for the sizes that have the same."""
        rules: dict[tuple[str, ...], list[str]] = {}
        for entry, row in entries:
            joints = row.values.get("connections")
            if isinstance(joints, list):
                rules.setdefault(tuple(map(str, joints)), []).append(str(entry["size"]))
        if not rules:
            return
        is_same = len(rules) == 1 and len(next(iter(rules.values()))) == len(entries)
        found: list[Yaml] = [
            {**({} if is_same else {"sizes": [*sizes]}), "choose": [*joints]} for joints, sizes in rules.items()
        ]
        self._set(("offered", "connections"), found, entries[0][1].place)

    def _add_charges(self, rows: Sequence[ImportRow]) -> None:
        named: dict[str, list[ImportRow]] = {}
        for row in rows:
            named.setdefault(str(row.values["charge"]), []).append(row)
        found = {name: self._charge(name, own) for name, own in named.items()}
        # A name with points and nothing else is that of a curve: the first charge that has it gets the points.
        for name in [name for name, charge in found.items() if set(charge) <= {"charge", "points"}]:
            users = [charge for charge in found.values() if charge.get("curve_of") == name]
            if users and "points" in found[name]:
                first, points = users[0], found.pop(name)["points"]
                del first["curve_of"]
                first["points"] = points
                for other in users[1:]:
                    other["curve_of"] = first["charge"]
                self._note_points(str(first["charge"]), named[name], named)
        old = mappings(self.data.get("charges"))
        charges = [_merged(own, found.pop(str(own.get("charge")), {})) for own in old] + list(found.values())
        self.data["charges"] = [*charges]
        olds = {i: own for i, own in enumerate(old) if str(own.get("charge")) not in named}
        self.places = {
            path: at for path, at in self.places.items() if path[:1] != ("charges",) or (path[1:2] and path[1] in olds)
        }
        for i, charge in enumerate(charges):
            for row in named.get(str(charge["charge"]), ()):
                self.places.setdefault(("charges", i), row.place)
                for key in row.values:
                    self.places.setdefault(("charges", i, *key.split(".")), row.place)
            places = [row.place for row in named.get(str(charge["charge"]), ()) if TEMPERATURE.key in row.values]
            self.places |= {("charges", i, "points", j): place for j, place in enumerate(places)}

    def _note_points(self, charge: str, rows: list[ImportRow], named: dict[str, list[ImportRow]]) -> None:
        named[charge] = [*named[charge], *rows]

    def _charge(self, name: str, rows: Sequence[ImportRow]) -> dict[str, Yaml]:
        """One charge of one or more rows, those with a temperature and a pressure being its points."""
        stated: dict[str, Yaml] = {}
        points: list[Yaml] = []
        for i, row in enumerate(rows):
            pair = [row.values.get(key) for key in (TEMPERATURE.key, PRESSURE.key)]
            own = {k: v for k, v in row.values.items() if k not in (TEMPERATURE.key, PRESSURE.key)}
            stated = {**stated, **self._agreed(stated, own, rows, i, name, wording.A_CHARGE())}
            if pair != [None, None]:
                if None in pair:
                    self._wrong(row, (TEMPERATURE, PRESSURE)[pair.index(None)].key, wording.PAIR_NEEDED())
                    continue
                points.append(pair)
        refrigerants = stated.get("refrigerants")
        if isinstance(refrigerants, list) and len(refrigerants) == 1 and any("setting." in key for key in stated):
            stated.setdefault("setting.refrigerant", refrigerants[0])
        found: dict[str, Yaml] = {}
        for key in sorted(stated, key=_CHARGE_KEYS.index):
            target, value = found, stated[key]
            *above, last = key.split(".")
            for part in above:
                below = target.setdefault(part, {})
                assert isinstance(below, dict)
                target = below
            target[last] = value
        if points:
            found["points"] = points
        return found

    def _clear(self, key: str) -> None:
        self.places = {path: at for path, at in self.places.items() if path[:1] != (key,)}

    def _wrong(self, row: ImportRow, key: str, text: str) -> None:
        self.problems.append(FileProblem(row.place.file, row.place.line, key, text))


def _merged(old: Mapping[str, Yaml], new: Mapping[str, Yaml]) -> dict[str, Yaml]:
    """A charge with what is new in it; a new curve takes the place of the old one."""
    dropped = _CURVES if new.keys() & set(_CURVES) else ()
    found = {key: value for key, value in old.items() if key not in dropped}
    for key, value in new.items():
        before = found.get(key)
        found[key] = _merged(before, value) if isinstance(before, dict) and isinstance(value, dict) else value
    return found


def _size_key(row: ImportRow) -> str:
    text = str(row.values["size"])
    return text if NAME.fullmatch(text) else size_key(text)


def _flow(row: ImportRow) -> float:
    """Kv [m3/h] or capacity [W] of a row, for order; unknown ones go first and are reported later."""
    for key, kind in (("kv", "flow coefficient"), ("capacity", "load")):
        if isinstance(text := row.values.get(key), str):
            return to_si(text, kind)
    return 0.0


def families_named(sheets: Iterable[ImportSheet]) -> list[str]:
    """The families that sheets of keys name."""
    rows = (row for sheet in sheets if sheet.kind is SheetKind.KEYS for row in sheet.rows)
    return [str(row.values["value"]) for row in rows if row.values.get("key") == "family" and "value" in row.values]
