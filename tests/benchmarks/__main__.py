"""What each part of a build costs, beside a bare drawing of as many pages and a naive script, in one run.

Run with `python -m tests.benchmarks`.  It takes up to three minutes. Every figure is CPU time; quote the ratios: single
times depend on the machine and on what else runs on it.
"""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

import pandas as pd
import pypdfium2
import pypdfium2.raw as pdfium_c
from CoolProp.CoolProp import PropsSI
from reportlab.pdfgen.canvas import Canvas

import tablegen
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tablegen.dataset.dataset import DataSet
from tablegen.dataset.outputs import MadeDocument
from tablegen.model.names import WORKBOOK
from tablegen.report.pdf import fonts
from tablegen.report.publications.documents import documents

COMPILED = Path(tempfile.gettempdir()) / "tablegen-benchmarks-compiled"
CONFIGS = Path(__file__).parents[2] / "configs"
# One high-level call for each of these a state: how a spreadsheet with a property add-in works.
NAIVE_CALLS = (("P", "T", "Q", 1), ("P", "T", "Q", 0), ("D", "T", "Q", 0), ("H", "T", "Q", 0), ("H", "T", "Q", 1))
NAIVE_STATES = 40
JOBS, ONE_BY_ONE = 10_000, 50
CASE = ("pick", "R448A", "--sst", "24 degF", "--load", "20 kBtu/h", "--application", "walk_in_medium", "--demo")
DRAFT = ("table", "alder", "R448A-family", "--application", "walk_in_medium", "--demo")
# Corners of the lines of a page, of which a graph has hundreds and a rule two.
_STEP = 3.0


@dataclass(frozen=True)
class Density:
    """What a page has: its characters, the texts that they are set in, and the corners of each of its lines and areas."""

    characters: str
    texts: int
    paths: tuple[int, ...]


def seconds(job: Callable[[], object]) -> float:
    """CPU time of a job in this process [s]."""
    start = time.process_time()
    job()
    return time.process_time() - start


def process(*arguments: str, **environment: str) -> float:
    """CPU time of a process of its own [s]."""
    before = os.times()
    # Modules are compiled once, as they are where the package is installed.
    own = {**os.environ, "PYTHONPYCACHEPREFIX": str(COMPILED), **environment}
    own.pop("PYTHONDONTWRITEBYTECODE", None)
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True, env=own)
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


def least(count: int, *arguments: str, **environment: str) -> float:
    """The least CPU time of a process that is run some times [s]."""
    return min(process(*arguments, **environment) for _ in range(count))


def naive() -> None:
    """High-level calls for R448A by its components."""
    mixture = "R32[0.4312]&R125[0.1869]&R1234yf[0.1513]&R134a[0.1776]&R1234ze(E)[0.0530]"
    for i in range(NAIVE_STATES):
        for output, name, second, quality in NAIVE_CALLS:
            PropsSI(output, name, 240.0 + 0.5 * i, second, quality, f"HEOS::{mixture}")


def densities(files: Iterable[Path]) -> list[Density]:
    """How much every page of some documents has on it."""
    found = []
    for path in files:
        with pypdfium2.PdfDocument(path) as document:
            for page in document:
                objects = list(page.get_objects())
                paths = [own.raw for own in objects if own.type == pdfium_c.FPDF_PAGEOBJ_PATH]
                corners = tuple(pdfium_c.FPDFPath_CountSegments(path) for path in paths)
                texts = sum(own.type == pdfium_c.FPDF_PAGEOBJ_TEXT for own in objects)
                found.append(Density(" ".join(page.get_textpage().get_text_bounded().split()), texts, corners))
    return found


def bare(pages: list[Density], target: Path) -> None:
    """As many texts of the same characters in one of our faces, and as many lines, set without any layout."""
    canvas = Canvas(str(target), pageCompression=1)
    for page in pages:
        canvas.setFont(fonts.REGULAR, 8.0)
        share = -(-len(page.characters) // max(page.texts, 1))
        for i in range(page.texts):
            x, y = 50.0 + 25.0 * (i % 20), 780.0 - 7.0 * (i // 20 % 105)
            canvas.drawString(x, y, page.characters[i * share : (i + 1) * share])
        for i, corners in enumerate(page.paths):
            path = canvas.beginPath()
            path.moveTo(50.0, 780.0 - _STEP * (i % 240))
            for k in range(1, corners):
                path.lineTo(50.0 + _STEP * (k % 160), 780.0 - _STEP * ((i + k) % 240))
            canvas.drawPath(path)
        canvas.showPage()
    canvas.save()


def jobs() -> pd.DataFrame:
    """Jobs on the refrigerants of one application, each at a suction temperature of its own."""
    draw = random.Random(1)
    names = ["R404A", "R507A", "R448A", "R449A", "R407A", "R407F", "R407C", "R134a", "R513A"]
    rows = [(draw.choice(names), 263.0 + 12.0 * draw.random(), 10.0 ** draw.uniform(3.0, 4.8)) for _ in range(JOBS)]
    return pd.DataFrame(rows, columns=["refrigerant", "sst", "load"]).assign(application="walk_in_medium")


def one_by_one(frame: pd.DataFrame) -> None:
    for row in frame.head(ONE_BY_ONE).itertuples():
        tablegen.pick(row.refrigerant, sst=row.sst, load=row.load, application="walk_in_medium")


def memory_mb() -> str:
    """The most memory that a process of ours took, where the system tells."""
    try:
        import resource
    except ImportError:
        return "not known here"
    return f"{resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024.0:.0f} MB"


def line(what: str, figure: str, goal: str = "") -> None:
    print(f"{what:<58}{figure:>14}   {goal}", flush=True)


def main() -> None:
    """Print the table."""
    line("", "now", "goal")
    with tempfile.TemporaryDirectory() as name:
        _builds(Path(name))
    states = seconds(naive) / NAIVE_STATES
    catalogue = load_catalogue(CONFIGS / "catalogue.yaml")
    made: list[DataSet] = []
    computed = seconds(lambda: made.append(compute(catalogue)))
    [data] = made
    line("compute: states, windows, scatter, frames", f"{computed:.1f} s", "4 s")
    line("naive script / compute, for a state", f"{states / (computed / len(data.states)):.0f}")
    with tempfile.TemporaryDirectory() as name:
        _documents(data, Path(name))
    line("one table as a draft", f"{least(3, '-m', 'tablegen', *DRAFT):.2f} s", "1.5 s")
    line("one case (pick), warm", f"{least(5, '-m', 'tablegen', *CASE):.2f} s", "0.3 s")
    frame = jobs()
    tablegen.pick_jobs(frame.head(10))
    together, alone = JOBS / seconds(lambda: tablegen.pick_jobs(frame)), ONE_BY_ONE / seconds(lambda: one_by_one(frame))
    line("10,000 cases in one call", f"{together:.0f} /s", "3,000 /s")
    line("  times as many as one by one", f"{together / alone:.0f}")
    line("import tablegen", f"{least(5, '-c', 'import tablegen'):.2f} s", "0.1 s")
    line("tablegen --help", f"{least(5, '-m', 'tablegen', '--help'):.2f} s", "0.1 s")


def _builds(folder: Path) -> None:
    """Whole builds: from nothing, with nothing changed, with one family changed."""
    configs, output = folder / "configs", folder / "output"
    shutil.copytree(CONFIGS, configs)
    command = ("-m", "tablegen", "build", "--catalogue", str(configs / "catalogue.yaml"), "--output", str(output))
    build = (*command, "--workers", "1")
    own = {"TABLEGEN_CACHE": str(folder / "cache")}
    whole = process(*build, **own)
    memory = memory_mb()
    pages = densities(sorted(output.glob("*/*.pdf")))
    drawn = seconds(lambda: bare(pages, folder / "bare.pdf"))
    texts, lines = sum(page.texts for page in pages), sum(sum(page.paths) for page in pages)
    line(
        "bare drawing of as many pages",
        f"{drawn:.1f} s",
        f"{len(pages)} pages, {texts} texts, {lines} corners of lines",
    )
    line("whole build, empty cache", f"{whole:.1f} s")
    line("  / bare drawing", f"{whole / drawn:.1f}", "8, then 5")
    line("peak memory of a build", memory, "250 MB")
    line("nothing changed since the last build", f"{process(*build, **own):.2f} s", "1 s")
    replaced(configs / "families" / "larch.yaml", "kv: 20 L/h", "kv: 20.5 L/h")
    line("one family's port changed / whole build", f"{process(*build, **own) / whole:.2f}", "0.25")
    replaced(configs / "publications" / "booklet.yaml", "kind: booklet", "kind: booklet\none_for_each: family")
    own = {"TABLEGEN_CACHE": str(folder / "other-cache")}
    whole = process(*build, "--rebuild", **own)
    replaced(configs / "families" / "larch.yaml", "kv: 20.5 L/h", "kv: 20.6 L/h")
    line("  the same with a booklet for each family", f"{process(*build, **own) / whole:.2f}", "0.25")


def replaced(path: Path, old: str, new: str) -> None:
    """Replace a text in a file."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def _documents(data: DataSet, folder: Path) -> None:
    """Single documents."""
    data.write(folder)
    found = {document.name: document for document in documents(data, folder, None)}
    first = data.catalogue.booklets[1].printed.name
    made: list[MadeDocument | Exception] = []
    spent = seconds(lambda: made.append(found[first].write(folder)))
    [booklet] = made
    assert isinstance(booklet, MadeDocument)
    line("a booklet", f"{booklet.pages / spent:.1f} pages/s", "20 pages/s")
    line("workbook", f"{seconds(lambda: found[WORKBOOK].write(folder)):.1f} s", "1.5 s")


if __name__ == "__main__":
    main()
