"""How Sphinx builds these pages: strictly, and with nothing fetched from anywhere."""

from importlib.metadata import version as version_of

project = "Corewright"
author = "The Corewright authors"
project_copyright = author
release = version = version_of("corewright")

extensions = ["myst_parser"]
source_suffix = {".md": "markdown"}
# No dollarmath: its pages would load a script from elsewhere to draw the formulas.
myst_enable_extensions = ["colon_fence", "deflist"]
myst_heading_anchors = 3
nitpicky = True
smartquotes = False  # what is typed into a design stands here as it is typed

html_theme = "furo"
html_title = "Corewright"
html_show_sourcelink = False
html_copy_source = False
exclude_patterns = ["text"]  # pages before the tables made from the code are put in
