"""How pictures are drawn: quickly, to scale, in colours that everyone can tell apart. No widgets, no mechanism.

- `picture.py`: the base of all pictures, and the screen that keeps one; `shapes.py`: outlines that they share;
  `view.py`: room for
  what moves; `margins.py`: for a sizing without a picture of its own
- `labelled.py`: a machine alone, larger, with the names of its parts; `leaders.py`: where these words stand
- `palette.py`: colours by role; `lettering.py`: moving words; `static_image.py`: the still picture for paper and web

- `motion.py`: how a picture's extras go over true time; `film.py`: a motion as a film

A picture is a subclass of Picture in its mechanism's folder, `mechanisms/<name>/picture.py`.
- `build` makes axes and artists once; what moves is passed through `self.move(...)`.
- `update(report, now, extra)` changes moving parts only. `report.good` holds the findings, `now` every input as a plain
  SI number (`now.load_torque`, `now.motor.resistance`). A change of anything that does not move sets
  `self.stale = True`.
- Axes: fixed limits, or `self.reach(axes, "x", needed)`. Units: `self.shown`, `self.unit`, `self.said`.
- Colours by role: `self.look.line("give")`, `self.look.mark("ask")`. No other colours, no transparency: PNG files hold
  the look's colours and their mixes only.
- `labels` names the parts, for `mb.labelled`: VIEW and SHOWS say what is seen; further drawings stand in BESIDES; what
  they need of the kit besides, in RECORDS.
- Sliders that move the picture alone are Fields in EXTRA; their values come in `extra`.
- `motion(report, now)` gives the move as a Motion, with times from the solved move, never made up
  (`mechanisms/moved.py` turns a `motion.Move` into one). A picture without machine to move has none: what is drawn
  then is a number, a balance of numbers, or, as with a gear train, turns far faster than pictures follow each other.
"""
