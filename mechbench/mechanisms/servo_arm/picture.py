"""The picture of an arm on servos: to scale with servo and gears, and the torques along the swing.

Contents: ServoArmPicture.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.shapes import Part, belt, block, circle, cog, gear, mesh_angle
from mechbench.mechanisms.powertrain import KINDS
from mechbench.mechanisms.servo_arm.sizing import ServoArm
from mechbench.mechanisms.swing_picture import OneArmPicture

BODY = 0.041, 0.038  # m, of a servo as drawn, along and across: about what many measure, common practice, no source
SHAFT = 0.010  # m from the middle of its body to its shaft
WIDER = 1.3  # distance of two wheels of a belt or chain, as drawn, over the sum of their radii
UP = np.pi / 2


class ServoArmPicture(OneArmPicture):
    """Left: the arm at one place of its swing, with its servo and the gears behind it. Right: torques."""

    SIZING = ServoArm
    SHOWS = "An arm on a servo from the side, to scale, at one place of its swing."

    def _build_behind(self):
        look, side = self.look, self.side
        self.servo = Part(self, side, np.zeros((4, 2)), face=look.colour("power"))
        self.driven = Part(self, side, np.zeros((4, 2)), face=look.grid, width=0.9)
        self.driver = Part(self, side, np.zeros((4, 2)), face=look.body, width=0.9)
        self.belt = self.move(side.plot([], [], color=look.ink, linewidth=1.6)[0])
        self.shaft = Part(self, side, circle(0.004), face=look.paper)

    def _more_lines(self, axes):
        self.long = self.move(axes.plot([], [], **self.look.line("share", 2.0), label="it can hold for long")[0])
        return [self.long]

    def _update_more_lines(self, now, angle):
        last, part = now.last_stage, now.servo
        held = part.holding_share * part.stall_torque * now.count.number * last.ratio * last.efficiency
        self.long.set_data(np.degrees(angle[[0, -1]]), [self.shown(held, "N·m")] * 2)

    def _update_behind(self, now, here):
        stage = now.last_stage
        geared, looped = stage.kind != KINDS["none"], stage.kind in (KINDS["belt"], KINDS["chain"])
        sum_of_radii = (stage.diameter_in + stage.diameter_out) / 2
        at = np.array([0.0, -sum_of_radii * (WIDER if looped else 1.0)]) if geared else np.zeros(2)
        self.servo.reshape(block(*BODY, (at[0] - SHAFT, at[1])))
        self.shaft.place(0.0, at)
        for part in (self.driver, self.driven):
            part.show(geared)
        self.belt.set_visible(looped)
        if not geared:
            return
        self.driver.reshape(_wheel(stage.teeth_in, stage.tooth, stage.diameter_in, looped))
        self.driven.reshape(_wheel(stage.teeth_out, stage.tooth, stage.diameter_out, looped))
        self.driven.place(here)
        if looped:
            self.driver.place(here * stage.ratio, at)
            self.belt.set_data(*belt(np.zeros(2), stage.diameter_out / 2, at, stage.diameter_in / 2).T)
        else:
            self.driver.place(mesh_angle(here, stage.teeth_out, stage.teeth_in, -UP), at)

    def more_labels(self, now, marks, here):
        """The servo, and the wheels between it and the arm."""
        geared = now.last_stage.kind != KINDS["none"]
        turn = "turns to an angle and holds it; it is fixed to the frame"
        more = []
        if geared:
            more = [
                Label("driving wheel", self.driver, "on the servo's shaft"),
                Label("driven wheel", self.driven, "fixed to the arm, turns with it"),
            ]
        return [Label("servo", self.servo, turn), *more]


def _wheel(teeth, tooth, diameter, looped):
    """A gear, or a pulley or sprocket."""
    if looped:
        return cog(int(teeth), diameter / 2, tooth / 2)
    return gear(int(teeth), tooth)
