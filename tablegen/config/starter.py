"""The configs that ship with the package, and a copy of them to start a catalogue from."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path

from tablegen.config.fields import NAME
from tablegen.config.sizes_file import read_sizes
from tablegen.errors import OutputError

_CATALOGUE = re.compile(r"^catalogue: .*\n", re.MULTILINE)
_ARTICLES = re.compile(r"^articles: .*\n", re.MULTILINE)
_STOCK = re.compile(r"^stock: .*\n", re.MULTILINE)
# Connections of named sizes; own sizes have the first of them until the file is edited.
_CONNECTIONS = re.compile(
    r"^  connections:\n    - \{(?:sizes: \[[^]]*\], )?(choose: .*)\}\n(?:    - .*\n)*", re.MULTILINE
)
_SIZES_BLOCK = re.compile(r"^sizes:\n(?:  - .*\n)+", re.MULTILINE)


def packaged_configs() -> Path:
    """The folder of the demo configs: inside an installed package, or `configs/` in a checkout."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "demo_configs"
    return installed if installed.is_dir() else package.parent / "configs"


def start_catalogue(folder: Path, sizes: Path | None = None) -> None:
    """Copy the commented demo configs into a new or empty folder, with own sizes put into the family.

    Raises
    ------
    ConfigError
        If the sizes file cannot be used; nothing is written then.
    OutputError
        If the folder holds something already or cannot be written.
    """
    own = read_sizes(sizes) if sizes is not None else None
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise OutputError(f"{folder}: not written, for it exists and is not empty; name a new folder")
    stage = folder.parent / f".{folder.name}.part"
    try:
        shutil.rmtree(stage, ignore_errors=True)
        shutil.copytree(packaged_configs(), stage)
        # A build goes to a folder of the catalogue's name: not to that of the demo.
        if NAME.fullmatch(folder.name):
            _replace(stage / "catalogue.yaml", _CATALOGUE, lambda _: f"catalogue: {_quoted(folder.name)}\n")
        if own is not None:
            # The first demo family takes them; the others stay as examples of their kinds.
            family = min((stage / "families").glob("*.yaml"))
            _replace(family, _SIZES_BLOCK, lambda _: _sizes_block(own))
            _replace(family, _CONNECTIONS, lambda found: f"  connections:\n    - {{{found[1]}}}\n")
            # Readings and article numbers are of sizes that are no longer there.
            shutil.rmtree(stage / "bench", ignore_errors=True)
            (stage / "articles.csv").unlink()
            _replace(stage / "catalogue.yaml", _ARTICLES, lambda _: "")
            stock = f"stock: [{', '.join(_quoted(key) for key, _, _ in own)}]\n"
            for publication in sorted((stage / "publications").glob("*.yaml")):
                if f"\nfamily: {family.stem}\n" in publication.read_text(encoding="utf-8"):
                    _replace(publication, _STOCK, lambda _: stock)
        if folder.exists():
            folder.rmdir()
        stage.rename(folder)
    except OSError as error:
        raise OutputError(f"{folder}: cannot be written: {error.strerror or error}") from error
    finally:
        shutil.rmtree(stage, ignore_errors=True)


def _replace(path: Path, pattern: re.Pattern[str], text: Callable[[re.Match[str]], str]) -> None:
    path.write_text(pattern.sub(text, path.read_text(encoding="utf-8")), encoding="utf-8")


def _quoted(name: str) -> str:
    return json.dumps(name, ensure_ascii=False)


def _sizes_block(sizes: Sequence[tuple[str, str, float]]) -> str:
    display = ("" if name == key else f", display: {_quoted(name)}" for key, name, _ in sizes)
    lines = [
        f"  - {{size: {_quoted(key)}{shown}, kv: {kv:.6g} m3/h}}\n"
        for (key, _, kv), shown in zip(sizes, display, strict=True)
    ]
    return "sizes:\n" + "".join(lines)
