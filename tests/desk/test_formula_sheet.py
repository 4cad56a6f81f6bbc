"""The formula sheet against the functions that it names: every line is read by sympy and compared at many values.

The sheet is written for people, the functions for machines; this is what keeps one from saying something else.
"""

import html
import re

import numpy as np
import pytest
import sympy
from sympy.parsing.sympy_parser import convert_xor, implicit_multiplication, parse_expr, standard_transformations

from mechbench.desk.formula_sheet import SHEET, sheet_html, sheet_text
from mechbench.desk.rules_of_thumb import rules, rules_markdown
from mechbench.kits import kit
from mechbench.physics import (
    arm,
    balance,
    battery,
    belt,
    chained,
    control,
    cycle,
    drive,
    gearing,
    gripper,
    intake,
    lift,
    linkage,
    motion,
    motor,
    rope,
    scissor,
    servo,
    teeth,
    winch,
)

TRIES = 25
LOW, HIGH = 0.2, 0.9  # of every symbol; small enough for angles and fractions
FUNCTIONS = {name: getattr(sympy, name) for name in ("sin", "cos", "tan", "atan", "sqrt", "pi")}
FORMULAS = [formula for formulas in SHEET.values() for formula in formulas]


def a_motor(v, **more):
    return motor.Motor(v["R"], v["k"], v.get("I_0", 0.1), 12.0, **more)


# For each function: what it gives from the symbols of its line; the left side of the line must be the same.
CHECKS = {
    "motor.current": lambda v: motor.current(a_motor(v), v["V"], v["w"]),
    "motor.torque": lambda v: motor.torque(motor.Motor(1.0, v["k"], v["I_0"], 12.0), v["I"] + v["k"] * 0.3, 0.3),
    "motor.peak_power": (
        lambda v: (
            motor.peak_power(motor.Motor(12.0 / 9.0, v["T_s"] / 9.0, 0.0, 12.0), 12.0)
            / (12.0 * 9.0 / v["T_s"])
            * v["w_0"]
        )
    ),
    "motor.heat": lambda v: motor.heat(motor.Motor(v["R"], 0.02, 0.1, 12.0), v["I"]),
    "battery.voltage": lambda v: battery.voltage(battery.Battery(v["E"] + 5, v["R_b"]), v["I"]) - 5,
    "control.rms_current": lambda v: control.rms_current([v["t_1"], v["t_2"]], [v["I_1"], v["I_2"]]),
    "control.peaks": lambda v: control.peaks("trapezoid", v["s"], v["t"])[0],
    "control.loop_error": lambda v: control.loop_error(v["v"], v["t_l"]),
    "control.encoder_step": lambda v: control.encoder_step(20, v["N"]) * 20 / v["n"],
    "gearing.teeth_ratio": lambda v: gearing.teeth_ratio(20, 50) * (v["z_2"] / 50) / (v["z_1"] / 20),
    "gearing.output_torque": lambda v: gearing.output_torque(v["T_1"], v["N"], v["eta"]),
    "gearing.output_speed": lambda v: gearing.output_speed(v["w_1"], v["N"]),
    "gearing.inertia_at_output": lambda v: gearing.inertia_at_output(v["J_1"], v["N"]),
    "gearing.efficiency_driven": (
        lambda v: gearing.efficiency_driven((1 + v["eta"]) / 2) - (2 - 2 / (1 + v["eta"])) + (2 - 1 / v["eta"])
    ),
    "teeth.centre_distance": lambda v: teeth.centre_distance(v["m"], 20, 60) / 40 * (v["z_1"] + v["z_2"]) / 2,
    "belt.pulley_diameter": lambda v: belt.pulley_diameter(v["p"], 20) / 20 * v["z"],
    "belt.sprocket_diameter": (
        lambda v: belt.sprocket_diameter(v["p"], 20) * np.sin(np.pi / 20) / np.sin(np.pi / v["z"])
    ),
    "gearing.tip_drop": lambda v: gearing.tip_drop(v["play"], v["l"]),
    "drive.current_for_torque": lambda v: drive.current_for_torque(
        drive.Line(1.0, v["k"], v["I_0"], 0.01, v["eta"], 0.5), v["T"]
    ),
    "motion.trapezoid": lambda v: motion.trapezoid(v["d"], 1e3, v["a"])[0],
    "balance.braking_limit": lambda v: balance.braking_limit(v["x"], v["h"]) * v["g"] / balance.GRAVITY,
    "balance.tilt_limit": lambda v: np.tan(balance.tilt_limit(v["x"], v["h"])),
    "balance.centre_of_gravity": (
        lambda v: (
            balance.centre_of_gravity(
                [balance.Part("a", v["m_1"], v["x_1"], 0, 0), balance.Part("b", v["m_2"], v["x_2"], 0, 0)]
            ).x
        )
    ),
    "arm.link_torque": lambda v: arm.link_torque(v["m"], v["l"], v["a"]) * v["g"] / arm.GRAVITY,
    "arm.link_inertia": lambda v: arm.link_inertia(v["m"], v["l"], v["m_t"]),
    "arm.drop_energy": lambda v: arm.drop_energy(v["m"], v["h"]) * v["g"] / arm.GRAVITY,
    "lift.binding": lambda v: lift.binding(v["e"], v["l"], v["mu"]),
    "winch.layer_radius": (
        lambda v: winch.layer_radius(winch.Drum(v["r_c"], 1.0, 9.0, v["d"]), 1) + (v["j"] - 1) * v["d"]
    ),
    "rope.safety_factor": lambda v: rope.safety_factor(v["F_b"], v["q"], v["F"]),
    "rope.stiffness": lambda v: rope.stiffness(v["F_b"], v["e"], v["L"]),
    "winch.hang_tilt": lambda v: np.tan(winch.hang_tilt(v["x"], v["y"])),
    "scissor.foot_force": (
        lambda v: (
            scissor.foot_force(scissor.Scissor(2, 0.2, v["m"], v["m_c"] * v["n"] / 2), v["a"])
            / 2
            * v["n"]
            * v["g"]
            / scissor.GRAVITY
        )
    ),
    "scissor.height": lambda v: scissor.height(scissor.Scissor(1, v["L"], 1.0, 0.1), v["a"]) * v["n"],
    "intake.surface_speed": lambda v: intake.surface_speed(v["D"], 2 * np.pi * v["n"]),
    "intake.nip_angle": (
        lambda v: (
            np.cos(intake.nip_angle(v["R"], v["r"], v["s"] * min(v["R"], v["r"]) / 9))
            + (v["s"] * min(v["R"], v["r"]) / 9 - v["s"]) / (v["R"] + v["r"])
        )
    ),
    "intake.sliding_nip": (
        lambda v: (
            intake.sliding_nip(v["b"] / 3, v["mu_w"] / 3)
            - np.tan(v["b"] / 3 + np.arctan(v["mu_w"] / 3))
            + np.tan(v["b"] + np.arctan(v["mu_w"]))
        )
    ),
    "gripper.carried_force": lambda v: gripper.carried_force(v["m"], v["a_u"] + v["g"] - 9.80665, v["a_l"]),
    "gripper.squeeze_needed": lambda v: gripper.squeeze_needed(v["F"], v["mu"], 1.0 + v["S"]) * v["S"] / (1 + v["S"]),
    "servo.travel_share": lambda v: servo.travel_share(v["c"], v["b"], v["N"]),
    "servo.turn_time": lambda v: (
        servo.turn_time(
            v["w_0"],
            servo.load_share(v["T_s"] + 1, v["T"] / v["T_s"] * (v["T_s"] + 1)) if v["T"] < v["T_s"] else 0.5,
            v["b"],
        )
        if v["T"] < v["T_s"]
        else np.nan
    ),
    "cycle.piece_rate": lambda v: cycle.piece_rate(1, v["t"], v["p"]) * v["n"],
    "cycle.time_inside": lambda v: cycle.time_inside(v["n_i"], v["q"]),
}


def side(text):
    """One side of a line, as sympy reads it; every word that is no function is a symbol."""
    words = {
        str(token): sympy.Symbol(str(token))
        for token in re.findall(r"[A-Za-z_][A-Za-z_0-9]*", text)
        if token not in FUNCTIONS
    }
    return parse_expr(text, {**FUNCTIONS, **words}, (*standard_transformations, implicit_multiplication, convert_xor))


def values(expression, seed):
    names = sorted(str(symbol) for symbol in expression.free_symbols)
    return dict(zip(names, np.random.default_rng(seed).uniform(LOW, HIGH, len(names))))


@pytest.mark.parametrize("formula", [f for f in FORMULAS if f.name in CHECKS], ids=lambda f: f.text)
def test_a_line_is_what_its_function_computes(formula):
    left, right = (side(text) for text in formula.text.split(" = "))
    tried = 0
    for seed in range(TRIES):
        v = values(right, seed)
        got = float(CHECKS[formula.name](v))
        if np.isnan(got):
            continue
        tried += 1
        assert got == pytest.approx(float(right.subs(v)), rel=1e-9), (formula.text, v)
    assert tried >= 5 and len(left.free_symbols) == 1 or "tan(" in formula.text or "cos(" in formula.text


def test_a_chained_link_turns_as_the_sheet_says():
    """a_2 = (1 - z_b / z_e) a_1 + c: teeth are whole numbers, so this line has values of its own."""
    right = side(next(f.text for f in FORMULAS if f.name == "chained.angles").split(" = ")[1])
    for base, elbow, first in ((40, 20, 0.7), (20, 40, -0.3), (16, 24, 1.1)):
        pair = chained.Pair(0.35, 0.35, 0.2, 0.2, 0.1, 0.4, base, elbow, 0.25)
        assert chained.angles(pair, first)[1] == pytest.approx(
            float(right.subs({"z_b": base, "z_e": elbow, "a_1": first, "c": 0.25}))
        )


def test_the_transmission_angle_is_as_the_sheet_says():
    """cos(mu): the function tells the sharp one of two angles, so it is compared by the size of the cosine."""
    right = side(next(f.text for f in FORMULAS if f.name == "linkage.transmission_angle").split(" = ")[1])
    for b, c, s in ((0.08, 0.08, 0.1), (0.08, 0.05, 0.06), (0.05, 0.09, 0.13)):
        fourbar = linkage.Fourbar(0.04, b, c, 0.05)
        angle = (
            np.arccos((0.04**2 + 0.05**2 - s**2) / (2 * 0.04 * 0.05))
            if abs(0.04**2 + 0.05**2 - s**2) <= 2 * 0.04 * 0.05
            else None
        )
        if angle is not None:
            assert np.cos(linkage.transmission_angle(fourbar, angle)) == pytest.approx(
                abs(float(right.subs({"b": b, "c": c, "s": s})))
            )


def test_speeding_up_takes_the_torque_that_the_sheet_says():
    """T = w J / t + T_l, by the solver: a drive whose torque hardly falls speeds an inertia up against a load."""
    inertia, load, torque, turn = 0.05, 0.4, 2.0, 3.0
    stiff = drive.Line(1e4, 1e4 * torque / 1e5 + 0.0, 0.0, 0.0, 1.0, 1.0)
    volts = torque / stiff.torque_constant * stiff.resistance
    done = motion.move(
        stiff, motion.Load(np.linspace(0, turn, 61), load, 0.0, inertia), motion.Bus(volts, 0.0, 1e-3), end="pass"
    )
    speed, time = float(done.speed[0, 0, -1]), float(done.time[0, 0])
    average = speed * inertia / time + load
    given = (
        torque - stiff.torque_constant**2 / stiff.resistance * speed / 2
    )  # the little that the line falls, on average
    assert average == pytest.approx(given, rel=2e-3)


OWN_TESTS = {"chained.angles", "linkage.transmission_angle", "motion.move"}


def test_every_line_is_checked_and_explained():
    assert {f.name for f in FORMULAS} == set(CHECKS) | OWN_TESTS
    assert sum(f.by_heart for f in FORMULAS) >= 8
    for formula in FORMULAS:
        known = {str(symbol) for text in formula.text.split(" = ") for symbol in side(text).free_symbols}
        told = " ".join(f.symbols for f in SHEET[next(topic for topic, listed in SHEET.items() if formula in listed)])
        untold = [name for name in known if name != "g" and not re.search(rf"(?<!\w){name}(?!\w)", told)]
        assert not untold, f"{formula.text} does not explain {untold}"
        assert (
            formula.text in sheet_text()
            and formula.symbols in sheet_text()
            and html.escape(formula.symbols) in sheet_html()
        )


# --- rules of thumb -------------------------------------------------------------------------------------------------


def test_every_rule_says_where_it_comes_from():
    assert len(rules()) >= 15
    for rule in rules():
        assert rule.text.endswith(".") and len(rule.source) > 10, rule
        assert f"| {rule.text} | {rule.source} |" in rules_markdown()


def test_rules_follow_the_kit(monkeypatch, tmp_path):
    from mechbench.kits import copy_kit

    before = {rule.text for rule in rules()}
    copy_kit(tmp_path / "ours")
    parts = tmp_path / "ours" / "parts.toml"
    text = parts.read_text(encoding="utf-8").replace(
        'label = "slide in its rail",              value = 0.15', 'label = "slide in its rail", value = 0.25'
    )
    parts.write_text(text, encoding="utf-8")
    monkeypatch.setenv("MECHBENCH_KIT", str(tmp_path / "ours"))
    changed = {rule.text for rule in rules()} - before
    assert changed == {
        "A load beside a slide jams it from 2.0 times the overlap on, at a friction of 0.25; stay at half of that."
    }


def test_numbers_in_rules_are_those_of_physics():
    text = " ".join(rule.text for rule in rules())
    row = kit().table("motors").row("slim")
    part = motor.Motor(
        row["resistance"],
        row["torque_constant"],
        row["free_current"],
        16.0,
        heat_capacity=18.0,
        thermal_resistance=7.0,
        copper_coefficient=row["copper_coefficient"],
        max_rise=90.0,
    )
    assert f"too hot after {motor.stall_time_to_limit(part, 16.0):.1f} s" in text
    assert f"can carry {motor.continuous_current(part):.2f} A" in text
    assert f"needs {np.tan(np.radians(45)) / np.tan(np.radians(10)):.1f} times the push" in text, (
        "foot force goes with 1 / tan"
    )
