"""The table of all that can turn a shaft, against the kit's own tables."""

import numpy as np
import pytest

from mechbench.kits import kit
from mechbench.mechanisms.shaft_drives import shaft_drives
from mechbench.physics import motor

TABLE = shaft_drives(kit())


def test_every_servo_and_every_motor_with_every_gearbox_is_in_it():
    servos, motors, boxes = (kit().table(name).names for name in ("servos", "motors", "gearboxes"))
    assert TABLE.names == (*servos, *(f"{first}_{box}" for first in motors for box in boxes))
    assert TABLE.usual in servos and all(TABLE.labels[name] for name in TABLE.names)


def test_a_servo_gives_its_nameplate_torque_at_standstill():
    for name in kit().table("servos").names:
        part, row = kit().table("servos").row(name), TABLE.row(name)
        assert row["efficiency"] * row["torque_constant"] * 6.0 / row["resistance"] == pytest.approx(
            part["stall_torque"]
        )
        assert (row["holding"], row["travel"], row["servo"]) == (part["holding_torque"], part["travel"], 1.0)
        assert row["current_limit"] == kit().servo_rail.pair_limit < kit().servo_rail.current_limit


def test_a_motor_behind_a_gearbox():
    small, box, row = (
        kit().table("motors").row("small"),
        kit().table("gearboxes").row("planetary_64"),
        TABLE.row("small_planetary_64"),
    )
    assert row["torque_constant"] == pytest.approx(64 * small["torque_constant"])
    assert row["rotor_inertia"] == pytest.approx(64**2 * small["rotor_inertia"])
    assert row["allowed"] == box["allowed_small"] and TABLE.row("large_planetary_64")["allowed"] == box["allowed_large"]
    assert row["mass"] == pytest.approx(small["mass"] + box["mass"]) and row["travel"] == np.inf
    part = motor.Motor(
        small["resistance"],
        small["torque_constant"],
        small["free_current"],
        12.0,
        heat_capacity=small["heat_capacity"],
        thermal_resistance=small["thermal_resistance"],
        max_rise=small["max_rise"],
        copper_coefficient=small["copper_coefficient"],
    )
    held = (row["holding"] * row["efficiency_driven"] / row["torque_constant"]) - row["free_current"]
    assert motor.steady_rise(part, held) == pytest.approx(small["max_rise"], rel=1e-6), (
        "at that torque it just gets as hot as it may"
    )
