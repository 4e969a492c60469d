"""Config files to the frozen inputs of a catalogue, and one line for whatever is wrong in them."""

from __future__ import annotations

from pathlib import Path


def packaged_configs() -> Path:
    """The folder of the demo configs: inside an installed package, or `configs/` in a checkout."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "demo_configs"
    return installed if installed.is_dir() else package.parent / "configs"
