"""The table of all that can turn a shaft, against the kit's own tables."""

import numpy as np
import pytest

from mechbench.kits import kit
from mechbench.mechanisms.shaft_drives import shaft_drives
from mechbench.physics import motor

TABLE = shaft_drives(kit())


def test_every_servo_and_every_motor_with_every_gearbox_is_in_it():
    """Of the kit's three motors, slow has gears of its own: nothing else goes with it, and they with nothing else."""
    servos, motors, boxes = (kit().table(name).names for name in ("servos", "motors", "gearboxes"))
    assert set(motors) == {"slim", "stout", "slow"} and len(boxes) == 10 + 1
    geared = [f"{first}_{box}" for first in ("slim", "stout") for box in boxes if box != "slow"]
    assert TABLE.names == (*servos, *geared, "slow")
    assert TABLE.usual in servos and all(TABLE.labels[name] for name in TABLE.names)


def test_a_servo_gives_its_nameplate_torque_at_standstill():
    for name in kit().table("servos").names:
        part, row = kit().table("servos").row(name), TABLE.row(name)
        assert row["efficiency"] * row["torque_constant"] * 7.0 / row["resistance"] == pytest.approx(
            part["stall_torque"]
        )
        assert (row["holding"], row["travel"], row["servo"]) == (part["holding_torque"], part["travel"], 1.0)
        assert row["current_limit"] == kit().servo_rail.pair_limit < kit().servo_rail.current_limit


def test_a_motor_behind_a_gearbox():
    slim, row = kit().table("motors").row("slim"), TABLE.row("slim_planetary_74")
    ratio = 3.5 * 4.6 * 4.6  # of three stages, each of 35 g
    assert row["torque_constant"] == pytest.approx(ratio * slim["torque_constant"])
    assert row["rotor_inertia"] == pytest.approx(ratio**2 * 7.4e-6)
    assert (row["allowed"], TABLE.row("stout_planetary_74")["allowed"]) == (8.0, 17.0)
    assert row["mass"] == pytest.approx(0.26 + 3 * 0.035) and row["travel"] == np.inf
    part = motor.Motor(
        slim["resistance"],
        slim["torque_constant"],
        slim["free_current"],
        16.0,
        heat_capacity=slim["heat_capacity"],
        thermal_resistance=slim["thermal_resistance"],
        max_rise=slim["max_rise"],
        copper_coefficient=slim["copper_coefficient"],
    )
    held = (row["holding"] * row["efficiency_driven"] / row["torque_constant"]) - row["free_current"]
    assert motor.steady_rise(part, held) == pytest.approx(slim["max_rise"], rel=1e-6), (
        "at that torque it just gets as hot as it may"
    )
