"""The course's own game and kit of parts, and a mentor's, as data files that are read and checked here.

- `weavers_yard/`: the course's own files: `game.toml` (the game), `parts.toml` (the kit), `robots.toml` (whole robots)
- `entry.py`, `schema.py`, `schema_game.py`: what may stand in them: tables, keys, units, bounds, help
- `as_typed.py`: from what people type to TOML's values; `toml_text.py`: these as text
- `read.py`: from TOML to checked values; `robots.py`: whole robots; `faults.py`: the one error
- `consistent.py`, `agree_game.py`, `agree_robots.py`: checks across keys; `sizes.py`: how large a piece is
- `own.py`, `borrowed.py`: the course's own parts stand in for what a kit leaves out
- `gearmotors.py`: from a label to rows of motors and gearboxes; `pairing.py`: which motor goes with which gearbox;
  `two_wheels.py`: a pair of wheels, by what they are and their teeth
- `by_figures.py`, `own_rows.py`: a part that is none of the kit, by its figures: as it is typed, and as one more row
- `derived_numbers.py`: columns that follow from others; `game.py`, `roles.py`: the game, and what its entries are for
- `load.py`: the kit in force; `tables.py`: what a kit is; `convert.py`: a kit of the old form brought over
"""

from mechbench.kits.faults import KitError
from mechbench.kits.load import copy_kit, kit, read_kit
from mechbench.kits.tables import Kit, Record, Spread, Table

__all__ = ["Kit", "KitError", "Record", "Spread", "Table", "copy_kit", "kit", "read_kit"]
