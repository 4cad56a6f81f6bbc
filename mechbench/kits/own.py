"""Where the course's own kit lies, and its parts as they were read.

Contents: OWN_FOLDER, own_parts.
"""

from functools import cache
from pathlib import Path

from mechbench.kits.faults import Faults
from mechbench.kits.read import read_folder

OWN_FOLDER = Path(__file__).parent / "weavers_yard"


@cache
def own_parts():
    """The course's own parts, table -> list of Part, and table -> its usual part."""
    faults = Faults()
    found = read_folder(OWN_FOLDER, faults)
    faults.tell()
    return found
