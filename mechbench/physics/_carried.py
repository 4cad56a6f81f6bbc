"""What a four-bar carries where its links are, for all that linkage_load tells of it.

How fast the links turn, and where each mass is and goes: found once, whatever is then asked.
"""

import numpy as np

from mechbench.physics import linkage
from mechbench.physics.constants import GRAVITY


class Carried:
    """A four-bar's lumps (linkage_load.Lump) in its linkage.Pose; what has no bound there is 0, and `turns` is no."""

    def __init__(self, fourbar, lumps, here):
        self.fourbar, self.lumps, self.here = fourbar, lumps, here
        self.coupler_rate, self.output_rate, self.turns = linkage._rates(fourbar, here)
        angles = {"input": here.input_angle, "coupler": here.coupler_angle, "output": here.output_angle}
        self.cosine, self.sine = ({name: turned(one) for name, one in angles.items()} for turned in (np.cos, np.sin))
        self.pin = fourbar.input * self.cosine["input"], fourbar.input * self.sine["input"]  # A, seen from O
        self.motions = [self._motion(lump) for lump in lumps]

    def _motion(self, lump):
        """Place of a lump, its rate for each rad of the input, and the link's own rate."""
        rates = {"input": np.ones_like(self.output_rate), "coupler": self.coupler_rate, "output": self.output_rate}
        turn, cosine, sine = rates[lump.link], self.cosine[lump.link], self.sine[lump.link]
        x = lump.along * cosine - lump.across * sine
        y = lump.along * sine + lump.across * cosine
        x_rate, y_rate = -y * turn, x * turn
        if lump.link == "coupler":
            a_x, a_y = self.pin
            return x + a_x, y + a_y, x_rate - a_y, y_rate + a_x, turn
        return (x + self.fourbar.ground if lump.link == "output" else x), y, x_rate, y_rate, turn

    def place(self, number):
        """Where a lump is, from the input's pivot: level and up."""
        x, y, *_ = self.motions[number]
        cosine, sine = np.cos(self.fourbar.tilt), np.sin(self.fourbar.tilt)
        return x * cosine - y * sine, x * sine + y * cosine

    def weight_torque(self):
        """Torque that the input shaft needs to hold all weights; inf where it has no bound."""
        torque, cosine, sine = 0.0, np.cos(self.fourbar.tilt), np.sin(self.fourbar.tilt)
        for lump, (*_, x_rate, y_rate, _) in zip(self.lumps, self.motions):
            torque = torque + lump.mass * GRAVITY * (x_rate * sine + y_rate * cosine)
        return np.where(self.turns, torque, np.inf)[()]

    def inertia_felt(self):
        """Inertia that the input shaft feels of all lumps; inf where it has no bound."""
        inertia = 0.0
        for lump, (*_, x_rate, y_rate, turn) in zip(self.lumps, self.motions):
            inertia = inertia + lump.mass * (x_rate**2 + y_rate**2) + lump.inertia * turn**2
        return np.where(self.turns, inertia, np.inf)[()]

    def output_turns(self):
        """How far the output turns for each radian of the input, either way; inf where it has no bound."""
        return np.abs(np.where(self.turns, self.output_rate, np.inf)[()])

    def _weights(self, link):
        """Weight of a link's lumps as x and y, and its moment about the link's first pin."""
        first_x, first_y = {"input": (0.0, 0.0), "coupler": self.pin, "output": (self.fourbar.ground, 0.0)}[link]
        x = y = moment = np.zeros_like(self.here.output_angle)
        for lump, (at_x, at_y, *_) in zip(self.lumps, self.motions):
            if lump.link == link:
                weight = -lump.mass * GRAVITY
                w_x, w_y = weight * np.sin(self.fourbar.tilt), weight * np.cos(self.fourbar.tilt)
                x, y, moment = x + w_x, y + w_y, moment + (at_x - first_x) * w_y - (at_y - first_y) * w_x
        return x, y, moment

    def _along(self, link, length):
        """From a link's first pin to its second."""
        return length * self.cosine[link], length * self.sine[link]

    def pins(self, asked=0.0):
        """The input torque; the forces on the pins O, A, B and Q, each as x and y; the largest of the four; `asked` is
        the torque that the output link gives away. inf where they have no bound.
        """
        in_x, in_y, in_moment = self._weights("input")
        mid_x, mid_y, mid_moment = self._weights("coupler")
        out_x, out_y, out_moment = self._weights("output")
        (a_x, a_y), turns = self.pin, self.turns
        u_x, u_y = self._along("coupler", self.fourbar.coupler)
        r_x, r_y = self._along("output", self.fourbar.output)
        # Two moment equations give the force at B: r x B of the output link about Q, u x B of the coupler about A.
        p, q, cross = asked - out_moment, mid_moment, np.where(turns, r_x * u_y - r_y * u_x, 1.0)
        b_x, b_y = (p * u_x - q * r_x) / cross, (p * u_y - q * r_y) / cross
        pin_x, pin_y = b_x - mid_x, b_y - mid_y
        torque = a_x * pin_y - a_y * pin_x - in_moment
        vectors = (pin_x - in_x, pin_y - in_y), (pin_x, pin_y), (b_x, b_y), (-b_x - out_x, -b_y - out_y)
        bounded = [np.broadcast_arrays(*(np.where(turns, part, np.inf) for part in pair)) for pair in vectors]
        return np.where(turns, torque, np.inf)[()], bounded, np.max([np.hypot(*pair) for pair in bounded], axis=0)
