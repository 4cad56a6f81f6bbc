"""The pictures of benches, one file a topic; `shapes.py` holds the outlines that they share.

Contents: picture_of. A picture is found by the NAME of its sizing.

To add one: a subclass of Picture (bench/picture.py) in draw/<topic>.py, and a line in PICTURES.
- `build` makes axes and artists once; what moves is passed through `self.move(...)`.
- `update(report, now, extra)` changes moving parts only. `report.good` holds the findings, `now` every input as a plain SI
  number (`now.load_torque`, `now.motor.resistance`). A change of anything that does not move sets `self.stale = True`.
- Axes: fixed limits, or `self.reach(axes, "x", needed)`. Units: `self.shown`, `self.unit`, `self.said`.
- Colours by role: `self.look.line("give")`, `self.look.mark("ask")`. No other colours, no transparency: PNG files hold the
  look's colours and their mixes only.
- Sliders that move the picture alone are Fields in EXTRA; their values come in `extra`.
"""

import importlib

# name of the sizing -> "file:class"
PICTURES = {
    "trips": "trips:TripsPicture",
    "motor": "motor:MotorPicture",
    "train": "gearing:TrainPicture",
    "drivetrain": "drivetrain:DrivetrainPicture",
    "intake": "intake:IntakePicture",
    "gripper": "gripper:GripperPicture",
    "arm": "arm:ArmPicture",
    "chained": "chained:ChainedPicture",
    "linkage": "linkage:LinkagePicture",
    "lift": "lift:LiftPicture",
    "winch": "winch:WinchPicture",
    "scissor": "scissor:ScissorPicture",
    "balance": "balance:BalancePicture",
    "power": "power:PowerPicture",
    "cycle": "cycle:CyclePicture",
    "robot": "robot:RobotPicture",
}


def picture_of(name):
    """The picture class of a sizing; a sizing without its own shows how far each finding is inside what is asked."""
    file, _, found = PICTURES.get(name, "margins:MarginsPicture").partition(":")
    return getattr(importlib.import_module(f"{__name__}.{file}"), found)
