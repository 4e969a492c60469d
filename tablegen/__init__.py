"""Load windows of refrigerant expansion valves under floating head pressure."""

__version__ = "0.1.0"
