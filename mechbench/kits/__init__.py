"""The course's own game and kit of parts, and a mentor's, as data files that are read and checked here.

- `pantry_rush/`: the course's own files: `game.toml` (the game), `parts.toml` (the kit), `robots.toml` (whole robots)
- `schema.py`: what may stand in them: tables, keys, units, bounds, help
- `read.py`: from TOML to checked values; `consistent.py`: checks across keys; `robots.py`: whole robots
- `gearmotors.py`: from a label to rows of motors and gearboxes; `pairing.py`: which motor goes with which gearbox
- `derived_numbers.py`: columns that follow from others; `load.py`: the kit in force; `tables.py`: what a kit is;
  `faults.py`: its one error
"""

from mechbench.kits.faults import KitError
from mechbench.kits.load import copy_kit, kit, read_kit
from mechbench.kits.tables import Kit, Record, Spread, Table

__all__ = ["Kit", "KitError", "Record", "Spread", "Table", "copy_kit", "kit", "read_kit"]
