"""The picture of a swinging arm: to scale with its counter-spring, and the torques along the swing.

Contents: ArmPicture.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.mechanisms.arm.sizing import Arm
from mechbench.mechanisms.swing import spring_of
from mechbench.mechanisms.swing_picture import OneArmPicture
from mechbench.physics import arm


class ArmPicture(OneArmPicture):
    """Left: the arm at one place of its swing, with the path of its tip. Right: what is asked and what can be given."""

    SIZING = Arm

    def _build_behind(self):
        line = {"color": self.look.colour("power"), "linewidth": 1.8, "solid_joinstyle": "round"}
        self.spring = self.move(self.side.plot([], [], **line)[0])

    def _update_behind(self, now, here):
        self._update_spring(now, here)

    def frame_top(self, now):
        """The frame reaches up to the spring's anchor."""
        return now.anchor_height

    def asked_of(self, now, angle, weight):
        """What the spring leaves of the weight's torque."""
        return weight - np.ravel(arm.spring_torque(spring_of(now), angle))

    def more_labels(self, now, marks, here):
        """The counter-spring with both its ends."""
        sprung = now.spring.rate > 0
        pin = now.pin_distance * np.array([np.cos(here), np.sin(here)])
        return [
            Label("counter-spring", self.spring, "pulls the arm up, so that the motor has less to do"),
            Label("anchor", marks.point("anchor", (0.0, now.anchor_height)), "where the spring is hooked to the frame")
            if sprung
            else None,
            Label("pin", marks.point("pin", pin), "where the spring is hooked to the arm") if sprung else None,
        ]
