"""A copy of the packaged configs to start a catalogue from, with sizes from a spreadsheet put into a family."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from tablegen.config import packaged_configs
from tablegen.config._input_files import SCHEMA_LINE, SUFFIX, read_limited
from tablegen.config.fields import NAME, size_key, size_name, within
from tablegen.config.sheet import cell_number, cell_text, sheet_of, table_in
from tablegen.config.workbook_rows import Cell
from tablegen.errors import BadValue, ConfigError, FileProblem, OutputError, near
from tablegen.files import stage_of
from tablegen.unit_table import CV_PER_KV
from tablegen.wording import input_errors as wording

SCHEMAS = "schemas"
# What a file of a folder describes; a file beside the catalogue is named by it.
KIND_OF_FOLDER = {
    "families": "family",
    "applications": "application",
    "publications": "publication",
    "refrigerants": "refrigerant",
    "languages": "language",
    "parts": "part",
}
# Whom a catalogue can be started for, and what each takes of the demo; the rest of it is in the folder `starts`.
STARTED_FOR = {
    "wholesaler": (
        "families/alder.yaml",
        "applications/walk_in_medium.yaml",
        "applications/walk_in_low.yaml",
        "groups.yaml",
    ),
    "maker": (
        "families/*.yaml",
        "applications/walk_in_medium.yaml",
        "applications/walk_in_low.yaml",
        "groups.yaml",
        "part_numbers.csv",
        "logo.svg",
        "bench/*.csv",
        "import/*.csv",
    ),
    "school": (
        "families/alder.yaml",
        "applications/walk_in_medium.yaml",
        "applications/walk_in_medium_fixed.yaml",
        "groups.yaml",
    ),
}
# What is edited first, of each.
FIRST_TO_EDIT = {
    "wholesaler": "company.yaml",
    "maker": "company.yaml",
    "school": "publications/handout.yaml",
}
# Notebooks for a class, of the manual.
_NOTEBOOKS = Path(__file__).parents[1] / "manual" / "notebooks"
# A line of a file by its key.
_KEYS = (
    *("catalogue", "part_numbers", "nearby_parts", "stock", "families", "groups", "applications", "publications"),
    "documents",
)
_LINE = {key: re.compile(rf"^{key}: .*\n", re.MULTILINE) for key in _KEYS}
# Connections of named sizes; own sizes get the first of them until the file is edited.
_CONNECTIONS = re.compile(
    r"^  connections:\n    - \{(?:sizes: \[[^]]*\], )?(choose: .*)\}\n(?:    - .*\n)*", re.MULTILINE
)
_LEAVE_OUT = re.compile(r"(?:^#.*\n)*^leave_out:\n(?: .*\n)+\n?", re.MULTILINE)
_SIZES_BLOCK = re.compile(r"^sizes:\n(?:  - .*\n)+", re.MULTILINE)
_COLUMNS = ("size", "kv_m3h", "cv_us_gal_min")
_MIN_FLOW, _MAX_FLOW = 0.0001, 1000.0
_MAX_SIZES, _MAX_BYTES, _MAX_ROWS = 60, 5_000_000, 1_000


def start_catalogue(
    folder: Path, sizes: Path | None = None, has_valves: bool = True, started_for: str | None = None
) -> None:
    """Copy the commented demo configs into a new or empty folder, with own sizes put into a family, and their schemas.

    Without valves the demo's families and what depends on them are left out, for an import of own families. For one of
    `STARTED_FOR` it is what they need and nothing else.

    Raises ConfigError if the sizes file cannot be used; nothing is written then. Raises OutputError if the folder
    contains something already or cannot be written.
    """
    own = read_sizes(sizes) if sizes is not None else None
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise OutputError(wording.NOT_EMPTY(folder=str(folder)))
    stage = stage_of(folder)
    try:
        _copy(stage, started_for)
        # A build goes to a folder of the catalogue's name: not to that of the demo.
        if NAME.fullmatch(folder.name):
            _replace(stage / "catalogue.yaml", _LINE["catalogue"], lambda _: f"catalogue: {_quoted(folder.name)}\n")
        if own is not None:
            # The first demo family takes them; the others stay as examples of their kinds.
            family = min((stage / "families").glob("*.yaml"))
            _replace(family, _SIZES_BLOCK, lambda _: _sizes_block(own))
            _replace(family, _CONNECTIONS, lambda found: f"  connections:\n    - {{{found[1]}}}\n")
            # Bench readings, part numbers and the old table are of sizes that are no longer there.
            for name in ("bench", "legacy"):
                shutil.rmtree(stage / name, ignore_errors=True)
            (stage / "part_numbers.csv").unlink()
            _replace(stage / "catalogue.yaml", _LINE["part_numbers"], lambda _: "")
            stock = f"stock: [{', '.join(_quoted(size.key) for size in own)}]\n"
            for publication in sorted((stage / "publications").glob("*.yaml")):
                if f"\nfamily: {family.stem}\n" in publication.read_text(encoding="utf-8"):
                    _replace(publication, _LINE["stock"], lambda _: stock)
        if not has_valves:
            _take_out_valves(stage)
        _add_schemas(stage)
        if folder.exists():
            folder.rmdir()
        stage.rename(folder)
    except OSError as error:
        raise OutputError(wording.NOT_WRITTEN(folder=str(folder), reason=error.strerror or str(error))) from error
    finally:
        shutil.rmtree(stage, ignore_errors=True)


def _copy(stage: Path, started_for: str | None) -> None:
    """The demo's files, or those of it that somebody needs, with a catalogue of these."""
    if started_for is None:
        _copy_folder(packaged_configs(), stage)
        return
    _copy_folder(Path(__file__).parent / "starts" / started_for, stage)
    for pattern in STARTED_FOR[started_for]:
        for path in sorted(packaged_configs().glob(pattern)):
            target = stage / path.relative_to(packaged_configs())
            target.parent.mkdir(exist_ok=True)
            shutil.copyfile(path, target)
    if started_for == "school":
        _copy_folder(_NOTEBOOKS, stage / _NOTEBOOKS.name)


def _copy_folder(source: Path, target: Path) -> None:
    """Copy a folder up to the first file that cannot be written; `shutil.copytree` goes on, with an error for each file."""
    target.mkdir()
    for path in sorted(source.rglob("*")):
        own = target / path.relative_to(source)
        if path.is_dir():
            own.mkdir()
        else:
            shutil.copyfile(path, own)


def _take_out_valves(stage: Path) -> None:
    """Leave out the demo's families, their data, and the rules and publications that name them."""
    for name in ("families", "bench", "legacy", "parts"):
        shutil.rmtree(stage / name)
    (stage / "families").mkdir()
    (stage / "part_numbers.csv").unlink()
    for name in ("counter", "counter_low", "handout", "labels"):
        (stage / "publications" / f"{name}.yaml").unlink()
    catalogue, booklet = stage / "catalogue.yaml", stage / "publications" / "booklet.yaml"
    _replace(catalogue, _LINE["part_numbers"], lambda _: "")
    _replace(catalogue, _LINE["nearby_parts"], lambda _: "")
    _replace(catalogue, _LINE["families"], lambda _: "families: []\n")
    # R744 is for a rack with an intermediate receiver only.
    _replace(catalogue, _LINE["groups"], lambda found: found[0].replace(", R744]", "]"))
    _replace(catalogue, _LINE["applications"], lambda _: "applications: [walk_in_medium]\n")
    _replace(catalogue, _LINE["publications"], lambda _: "publications: [booklet]\n")
    _replace(stage / "company.yaml", _LINE["documents"], lambda _: "documents: {booklet: QB-11}\n")
    for path in (catalogue, booklet):
        _replace(path, _LEAVE_OUT, lambda _: "")


def _add_schemas(folder: Path) -> None:
    """Schemas beside the files, and in the first line of each file which one an editor checks it by."""
    # Here, not above: no other command needs every model.
    from tablegen.config.json_schema import MODELS, schema_file, schema_text

    schemas = folder / SCHEMAS
    schemas.mkdir()
    for kind in MODELS:
        (schemas / schema_file(kind)).write_text(schema_text(kind), encoding="utf-8", newline="\n")
    for path in sorted(folder.rglob(f"*{SUFFIX}")):
        below = path.relative_to(folder).parent.as_posix()
        kind = KIND_OF_FOLDER.get(below, path.stem)
        if kind not in MODELS:
            # The mapping of an old table is no part of a catalogue.
            continue
        line = f"{SCHEMA_LINE}{'' if below == '.' else '../'}{SCHEMAS}/{schema_file(kind)}\n"
        path.write_text(line + path.read_text(encoding="utf-8"), encoding="utf-8", newline="\n")


def _replace(path: Path, pattern: re.Pattern[str], text: Callable[[re.Match[str]], str]) -> None:
    path.write_text(pattern.sub(text, path.read_text(encoding="utf-8")), encoding="utf-8", newline="\n")


def _quoted(name: str) -> str:
    return json.dumps(name, ensure_ascii=False)


def _sizes_block(sizes: Sequence[ListedSize]) -> str:
    return "sizes:\n" + "".join(
        f"  - {{size: {_quoted(size.key)}{size.display}, kv: {size.kv_m3h:.6g} m3/h}}\n" for size in sizes
    )


@dataclass(frozen=True, slots=True)
class ListedSize:
    """A size of a list: key, name in print and Kv [m3/h]."""

    key: str
    name: str
    kv_m3h: float

    @property
    def display(self) -> str:
        """The key `display` of a config, where the name in print is another one."""
        return "" if self.name == self.key else f", display: {_quoted(self.name)}"


def read_sizes(path: Path) -> list[ListedSize]:
    """The sizes in a CSV or XLSX file with a header row, in ascending Kv.

    Raises ConfigError with every problem, by file and line.
    """
    shown, rule = str(path), wording.SIZE_LISTS_ARE_SMALL()
    sheet = sheet_of(read_limited(path, shown, _MAX_BYTES, rule), shown, _MAX_ROWS, rule)
    (first, headings), *rows = table_in(sheet) or [(1, [])]
    header = [cell_text(cell).lower() for cell in headings]
    flow = [name for name in header if name in _COLUMNS[1:]]
    if "size" not in header or len(flow) != 1:
        hint = "".join(near(name, _COLUMNS) for name in header if name and name not in _COLUMNS)
        text = wording.SIZE_COLUMNS(header=", ".join(header) or wording.NOTHING())
        raise ConfigError([FileProblem(shown, first, wording.HEADER(), text + hint)])
    at_size, at_flow = header.index("size"), header.index(flow[0])
    per_kv = 1.0 if flow[0] == "kv_m3h" else CV_PER_KV
    found: list[ListedSize] = []
    lines: dict[str | float, int] = {}
    problems: list[FileProblem] = []
    for line, row in rows:
        cells = [*row, *[None] * len(header)]
        try:
            size = _listed_size(cells[at_size], cells[at_flow], per_kv, sheet.has_decimal_comma)
            said: dict[str | float, str] = {
                size.key: wording.SIZE(size=size.name),
                size.kv_m3h: wording.FLOW(value=cell_text(cells[at_flow])),
            }
            for own, text in said.items():
                if own in lines:
                    raise BadValue(text, wording.GIVEN_TWICE(line=lines[own]))
            lines |= dict.fromkeys(said, line)
            found.append(size)
        except BadValue as error:
            problems.append(FileProblem(shown, line, "", str(error)))
    if not problems and not 0 < len(found) <= _MAX_SIZES:
        text = str(BadValue(wording.SIZES(len(found)), within("1", str(_MAX_SIZES))))
        problems.append(FileProblem(shown, 0, "", text))
    if problems:
        raise ConfigError(problems)
    return sorted(found, key=lambda size: size.kv_m3h)


def _listed_size(size: Cell, flow: Cell, per_kv: float, has_decimal_comma: bool) -> ListedSize:
    """One row.

    Raises BadValue if the size has no name that can be printed, or the flow coefficient is no number in bounds.
    """
    text = cell_text(size)
    try:
        name = text if NAME.fullmatch(text) else size_name(text)
    except BadValue as error:
        raise BadValue(wording.SIZE(size=str(error.value)), error.rule, error.hint) from None
    try:
        value = cell_number(flow, has_decimal_comma)
        if not _MIN_FLOW <= value <= _MAX_FLOW:
            raise BadValue(repr(cell_text(flow)), within(f"{_MIN_FLOW:g}", f"{_MAX_FLOW:g}"))
    except BadValue as error:
        raise BadValue(wording.FLOW(value=str(error.value)), error.rule) from None
    return ListedSize(size_key(name), name, value / per_kv)
