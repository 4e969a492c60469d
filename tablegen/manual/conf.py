"""How the manual becomes HTML: `python -m sphinx -W -b html tablegen/manual output/manual`."""

from tablegen import __version__

project = "tablegen"
version = release = __version__
author = "The tablegen project"
project_copyright = "2026, the tablegen project"
extensions = ["myst_parser"]
myst_heading_anchors = 3
html_theme = "furo"
html_title = f"tablegen {__version__} manual"
# Nothing is fetched from elsewhere, and the same text gives the same pages.
html_show_sphinx = False
html_last_updated_fmt = None
html_copy_source = False
