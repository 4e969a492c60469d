"""Load windows of refrigerant expansion valves under floating head pressure."""

from typing import Any

__version__ = "0.1.0"
__all__ = ("__version__", "pick", "retrofit", "windows")


def __getattr__(name: str) -> Any:
    """`windows`, `pick` and `retrofit` when they are first asked for, so that the command line starts at once."""
    if name in ("pick", "retrofit", "windows"):
        from tablegen import api

        return getattr(api, name)
    raise AttributeError(f"module 'tablegen' has no attribute {name!r}")
