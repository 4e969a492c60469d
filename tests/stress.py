"""Catalogues as large and as wordy as `check` allows, made of the demo's configs by changing their text."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

from tests.small import DEMO

# A word too long for a line of a narrow column, and texts at their maximum length with it.
WORD = "Wintersicherheitsverflüssigungsdruckregelventilauslegungstabellenwerkverzeichnis"
WIDE = [
    "R404A",
    "R407A",
    "R407C",
    "R407F",
    "R407H",
    "R448A",
    "R449A",
    "R449B",
    "R452A",
    "R453A",
    "R22",
    "R507A",
    "R422D",
    "R427A",
    "R438A",
    "R417A",
    "R444B",
    "R408A",
    "R402A",
    "R454C",
    "R455A",
    "R457A",
    "R454A",
    "R454B",
    "R502",
    "R401A",
    "R409A",
    "R134a",
    "R450A",
    "R513A",
]


LENGTHS = {"title": 90, **dict.fromkeys(("note", "source", "flow_law_reason", "reason", "composition_source"), 400)}


def words_of(longest: int) -> str:
    """A text of exactly so many characters, with a word of eighty."""
    text = f"{WORD} "
    while len(text) < longest:
        text += "heavy and long words mmmmm "
    return text[: longest - 1].rstrip().ljust(longest - 1, "M") + "."


def stress_catalogue(
    folder: Path,
    *,
    sizes: int = 60,
    names: str = "long",
    rows: str = "{minimum: 10 degF, maximum: 40 degF, step: 2 delta_degF}",
    example: str = "24 degF",
    families: int = 1,
    wide: bool = False,
    prints: tuple[tuple[str, str], ...] = (("letter", "SI"),),
    stock: int = 60,
    revisions: int = 2,
) -> Path:
    """A catalogue file; every text in it is as long as it may be.

    Parameters
    ----------
    folder : Path
        Where it goes; it must not exist.
    sizes, families : int
        Of families made after the demo's, and how many of these there are.
    names : str
        `long`: sizes have display names of twelve wide letters; `key`: they are called by keys of forty; else short.
    rows, example : str
        Suction temperatures and the one of the example, as a config writes them.
    wide : bool
        Whether a group of thirty members, for an electronic family, is added.
    prints : pairs
        Paper and units of every publication.
    stock : int
        Sizes on the counter chart.
    revisions : int
        Lines of the revision record.
    """
    shutil.copytree(DEMO, folder)
    shutil.rmtree(folder / "bench")
    for path in (*folder.glob("applications/*.yaml"), *folder.glob("publications/*.yaml")):
        if path.stem not in ("walk_in_medium", "booklet", "counter", "handout"):
            path.unlink()
    keys = _sizes(folder, sizes, names, families)
    application = folder / "applications" / "walk_in_medium.yaml"
    _edit(application, r"sst_range: \{.*\}", f"sst_range: {rows}")
    _edit(application, r"example_sst: .*", f"example_sst: {example}")
    if wide:
        # One gauge setting does not fit so many.
        _edit(application, r"head_pressure: .*", "condensing_temperature: 64 degF\n  basis: bubble")
    for path in folder.glob("*/*.yaml"):
        _lengthen(path)
    groups = {"pair": ["R404A", "R507A"], **({"wide": WIDE} if wide else {})}
    text = "".join(f"  {g}: {{title: {words_of(90)!r}, members: [{', '.join(m)}]}}\n" for g, m in groups.items())
    (folder / "groups.yaml").write_text(f"groups:\n{text}", encoding="utf-8")
    _publications(folder, keys[:: max(1, len(keys) // stock)], prints)
    listed = [*(f"alder{i}" for i in range(families)), *(["hazel"] if wide else [])]
    (folder / "catalogue.yaml").write_text(_catalogue(listed, list(groups), revisions), encoding="utf-8")
    (folder / "company.yaml").write_text(_company(), encoding="utf-8")
    return folder / "catalogue.yaml"


def _sizes(folder: Path, sizes: int, names: str, families: int) -> list[str]:
    """Families after alder, and the keys of their sizes."""
    alder = folder / "families" / "alder.yaml"
    keys = [f"size-{'W' * 30}-{i:03}" if names == "key" else f"{i + 1}" for i in range(sizes)]
    listed = "".join(
        f"  - {{size: {key}, {f'display: WWWWWWWWW{i:03}, ' if names == 'long' else ''}kv: {3.0 * 1.09**i:.4f} L/h}}\n"
        for i, key in enumerate(keys)
    )
    text = re.sub(r"sizes:\n(  - .*\n)+", f"sizes:\n{listed}", alder.read_text(encoding="utf-8"))
    text = re.sub(r"  connections:\n(    - .*\n)+", f"  connections:\n    - choose: ['{words_of(90)}']\n", text)
    for i in range(families):
        head = f"family: alder{i}\nname: {'W' * 22}{i:02}"
        own = re.sub(r"^family: alder\nname: .*$", head, text, flags=re.M)
        (folder / "families" / f"alder{i}.yaml").write_text(own, encoding="utf-8")
    alder.unlink()
    for name in ("rowan", "larch"):
        (folder / "families" / f"{name}.yaml").unlink()
    rows = "".join(f"{'A' * 30}{i:04},alder0,{key},,{words_of(90)}\n" for i, key in enumerate(keys))
    (folder / "part_numbers.csv").write_text(f"part_number,family,size,charge,remark\n{rows}", encoding="utf-8")
    return keys


def _lengthen(path: Path) -> None:
    """Titles, notes, sources and reasons as long as they may be."""
    yaml = YAML()
    yaml.width = 1000
    data = yaml.load(path.read_text(encoding="utf-8"))
    _walk(data)
    with path.open("w", encoding="utf-8") as handle:
        yaml.dump(data, handle)


def _walk(data: Any) -> None:
    for key in list(data) if isinstance(data, dict) else range(len(data)) if isinstance(data, list) else ():
        if key in LENGTHS and isinstance(data[key], str):
            data[key] = words_of(LENGTHS[key])
        else:
            _walk(data[key])


def _publications(folder: Path, stock: list[str], prints: tuple[tuple[str, str], ...]) -> None:
    listed = "".join(f"  - {{paper: {paper}, units: {units}}}\n" for paper, units in prints)
    one = "family: alder0\napplication: walk_in_medium\n"
    for name, more in {
        "booklet": "",
        "counter": f"title: {words_of(90)!r}\nwholesaler: {words_of(90)!r}\ntelephone: '{'0' * 40}'\n{one}groups: [pair]\n"
        f"stock: [{', '.join(repr(s) for s in stock)}]\n",
        "handout": f"title: '{WORD[:60]}'\nschool: {words_of(90)!r}\nclass_label: '{WORD[:40]}'\nseed: 7\n{one}"
        "group: pair\n",
    }.items():
        kind = "counter_chart" if name == "counter" else name
        text = f"publication: {name}\nkind: {kind}\nprints:\n{listed}{more}"
        (folder / "publications" / f"{name}.yaml").write_text(text, encoding="utf-8")


def _company() -> str:
    """The file of a company that says as much as it may."""
    listed = "".join(f"  - {words_of(60)!r}\n" for _ in range(6))
    contact = f"  - {{label: {WORD[:40]}, value: {words_of(60)!r}}}\n" * 8
    numbers = ", ".join(f"{name}: {'W' * 15}{i}" for i, name in enumerate(("booklet", "counter", "handout")))
    return (
        f"name: {words_of(90)!r}\ntagline: {words_of(90)!r}\naddress:\n{listed}contact:\n{contact}logo: logo.svg\n"
        f"documents: {{{numbers}}}\ndisclaimer: {words_of(400)!r}\ncautions:\n" + f"  - {words_of(400)!r}\n" * 10
    )


def _catalogue(families: list[str], groups: list[str], revisions: int) -> str:
    record = "".join(
        f"  - {{revision: {'R' * 36}{i:04}, date: 2026-11-25, change: {words_of(400)!r}}}\n" for i in range(revisions)
    )
    left = [name for name in families if name != "hazel"] if "wide" in groups else []
    rule = "leave_out:\n" + "".join(f"  - {{family: {f}, group: wide, why: {words_of(400)!r}}}\n" for f in left)
    return (
        f"catalogue: stress\ntitle: {words_of(90)!r}\ncompany: company.yaml\nnotice: {words_of(400)!r}\n"
        f"revision: {'R' * 36}{revisions - 1:04}\ndate: 2026-11-25\nunits: SI\npart_numbers: part_numbers.csv\n"
        f"families: [{', '.join(families)}]\ngroups: [{', '.join(groups)}]\napplications: [walk_in_medium]\n"
        f"publications: [booklet, counter, handout]\n"
        "confidence: {level: 95 percent, samples: 256, seed: 1, tables: nominal}\n"
        f"{rule if left else ''}revisions:\n{record}"
    )


def _edit(path: Path, old: str, new: str) -> None:
    text, count = re.subn(old, new, path.read_text(encoding="utf-8"), count=1)
    assert count == 1, (path, old)
    path.write_text(text, encoding="utf-8")
