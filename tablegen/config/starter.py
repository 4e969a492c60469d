"""The configs that ship with the package, and a copy of them to start a catalogue from."""

from __future__ import annotations

from pathlib import Path


def packaged_configs() -> Path:
    """The folder of the demo configs: inside an installed package, or `configs/` in a checkout."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "demo_configs"
    return installed if installed.is_dir() else package.parent / "configs"
