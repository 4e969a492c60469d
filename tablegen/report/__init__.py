"""Data sets to printed pages; computes nothing."""

import sys
import types

# The PDF library runs files of these names in the user's home, which may change what is printed, and fails where a
# home is no folder.
for _name in ("reportlab_mods", "reportlab_settings"):
    sys.modules.setdefault(_name, types.ModuleType(_name))
