"""Whether JupyterLab's page is light or dark, so that of a bench's two pictures the one that is seen is sent first.

Contents: look.

A notebook's Python does not see its page. JupyterLab keeps the theme that somebody chose in a file of the user's
settings; where there is no such file, the page is light.
"""

import os
import re
from pathlib import Path

from jupyter_core.paths import jupyter_config_dir

THEME = Path("@jupyterlab", "apputils-extension", "themes.jupyterlab-settings")
# The file is JSON with comments: a line that is commented out does not count.
CHOSEN = re.compile(r'^[\s{,]*"theme"\s*:\s*"([^"]*)"', re.MULTILINE)


def look():
    """The name of the look that goes with the page, "light" or "dark"."""
    folder = os.environ.get("JUPYTERLAB_SETTINGS_DIR") or Path(jupyter_config_dir(), "lab", "user-settings")
    try:
        found = CHOSEN.search(Path(folder, THEME).read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError):
        return "light"
    return "dark" if found and "dark" in found[1].lower() else "light"
