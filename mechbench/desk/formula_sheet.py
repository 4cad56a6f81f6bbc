"""The formulas of the course on two pages, each with its symbols explained and the function that it stands for.

Contents: Formula, SHEET, sheet_text, sheet_html.

The tests compare every line with its function at many values, so that sheet and code can't say different things.
Multiplication is not written: `m g l` is m times g times l.
"""

from dataclasses import dataclass
from html import escape

from mechbench.desk.formulas import facts_of
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


@dataclass(frozen=True)
class Formula:
    """One line: `by_heart` where a lesson asks to know it by heart; `of` the function that computes it."""

    text: str
    symbols: str
    of: object
    by_heart: bool = False

    @property
    def name(self):
        """The function's name, "arm.link_torque"."""
        return facts_of(self.of).name


SHEET = {
    "Motors": (
        Formula(
            "I = (V - k w) / R",
            "I current [A], V voltage [V], k torque constant [N·m/A], w speed [rad/s], R resistance [ohm]",
            motor.current,
        ),
        Formula(
            "T = k (I - I_0)", "T torque at the shaft [N·m], I_0 current that turns into no torque [A]", motor.torque
        ),
        Formula(
            "P = T_s w_0 / 4",
            "P most power [W], T_s stall torque [N·m], w_0 free speed [rad/s]; at half the free speed",
            motor.peak_power,
            True,
        ),
        Formula("P = I^2 R", "P heat in the winding [W]: twice the current, four times the heat", motor.heat),
        Formula(
            "V_b = E - R_b I",
            "V_b battery's voltage [V], E without load [V], R_b its resistance [ohm], I all motors' current [A]",
            battery.voltage,
            True,
        ),
        Formula(
            "I_r = sqrt((t_1 I_1^2 + t_2 I_2^2) / (t_1 + t_2))",
            "I_r constant current that heats as much as I_1 for a time t_1 and I_2 for t_2 [s]",
            control.rms_current,
        ),
    ),
    "Gears, belts, chains": (
        Formula(
            "N = z_2 / z_1",
            "N ratio, z_1 teeth of the driver, z_2 of the driven wheel; stages multiply",
            gearing.teeth_ratio,
        ),
        Formula(
            "T_2 = T_1 N eta",
            "T_1 torque of the motor, T_2 at the output [N·m], eta efficiency, once for each stage",
            gearing.output_torque,
            True,
        ),
        Formula(
            "w_2 = w_1 / N",
            "w_1 speed of the motor, w_2 of the output [rad/s]; losses take torque, not speed",
            gearing.output_speed,
        ),
        Formula(
            "J_2 = J_1 N^2",
            "J_1 the rotor's moment of inertia, J_2 as it is felt at the output [kg·m²]",
            gearing.inertia_at_output,
        ),
        Formula(
            "eta_b = 2 - 1 / eta",
            "eta_b efficiency of one stage when the load drives; 0 from eta = 1/2 down: it holds itself",
            gearing.efficiency_driven,
        ),
        Formula(
            "a = m (z_1 + z_2) / 2", "a centre distance of two gears [m], m their module [m]", teeth.centre_distance
        ),
        Formula("D = p z / pi", "D pitch diameter of a toothed pulley [m], p pitch [m], z teeth", belt.pulley_diameter),
        Formula("D = p / sin(pi / z)", "D pitch diameter of a sprocket [m]", belt.sprocket_diameter),
        Formula("x = play l", "x drop of the tip [m], play at the shaft [rad], l length [m]", gearing.tip_drop),
    ),
    "Drive and motion": (
        Formula(
            "I = T / (eta k) + I_0",
            "I current [A] to turn a load T at the output [N·m], eta efficiency of the train, k the motor's torque"
            " constant times N, I_0 as for motors",
            drive.current_for_torque,
        ),
        Formula(
            "t = 2 sqrt(d / a)",
            "t time for a distance d [m], half of it speeding up, half slowing down with a [m/s²]",
            motion.trapezoid,
        ),
        Formula(
            "v = 3 s / (2 t)",
            "v highest speed of a move s [m or rad] in a time t: a third speeding up, a third even, a third slowing"
            " down",
            control.peaks,
        ),
        Formula("x = v t_l", "x way between two looks of a program [m], t_l its loop time [s]", control.loop_error),
        Formula(
            "b = 2 pi / (n N)",
            "b one step of an encoder at the output [rad], n counts in a turn of the motor, N ratio",
            control.encoder_step,
        ),
        Formula(
            "T = w J / t + T_l",
            "T torque to bring an inertia J [kg·m²] to the speed w in a time t [s] against a load T_l",
            motion.move,
        ),
        Formula(
            "a = g x / h",
            "a hardest braking before it tips [m/s²], x wheels ahead of the centre of gravity [m], h its height [m], g"
            " 9.81 m/s²",
            balance.braking_limit,
            True,
        ),
        Formula("tan(b) = x / h", "b slope at which it tips [rad]", balance.tilt_limit),
        Formula(
            "X = (m_1 x_1 + m_2 x_2) / (m_1 + m_2)",
            "X place of the common centre of gravity [m], m_1, m_2 masses [kg], x_1, x_2 their places",
            balance.centre_of_gravity,
        ),
    ),
    "Arms and linkages": (
        Formula(
            "T = m g l cos(a)",
            "T torque that holds a mass m [kg] at a length l [m], a angle from level [rad]",
            arm.link_torque,
            True,
        ),
        Formula(
            "J = m l^2 / 3 + m_t l^2",
            "J moment of inertia [kg·m²] of an even link of mass m with a mass m_t at its tip",
            arm.link_inertia,
        ),
        Formula("E = m g h", "E energy of a fall from the height h [J]", arm.drop_energy),
        Formula(
            "a_2 = (1 - z_b / z_e) a_1 + c",
            "a_2 angle of the second link from level, a_1 of the first, z_b teeth at the base, z_e at the elbow, c as"
            " it is built",
            chained.angles,
            True,
        ),
        Formula(
            "cos(mu) = (b^2 + c^2 - s^2) / (2 b c)",
            "mu transmission angle, b coupler, c output link, s from the input's pin to the output's pivot [m]; the"
            " sharp one of mu and 180 deg - mu",
            linkage.transmission_angle,
        ),
    ),
    "Lifts, winches, scissors": (
        Formula(
            "s = 2 mu e / l",
            "s the slide jams from 1 on; mu friction, e load beside the rail [m], l overlap of the slides [m]",
            lift.binding,
            True,
        ),
        Formula(
            "r = r_c + (j - 1/2) d",
            "r lever of the cord on layer j [m], r_c of the bare core, d thickness of the cord [m]",
            winch.layer_radius,
            True,
        ),
        Formula(
            "n = F_b q / F",
            "n how much stronger the cord is, F_b breaking strength [N], q what a knot keeps, F highest pull [N]",
            rope.safety_factor,
        ),
        Formula(
            "c = F_b / (e L)", "c stiffness of a cord [N/m], e stretch at break (a share), L length [m]", rope.stiffness
        ),
        Formula(
            "tan(b) = x / y",
            "b tilt when it hangs, x centre of gravity ahead of the hook, y below it [m]",
            winch.hang_tilt,
        ),
        Formula(
            "F = g n (m + n m_c / 2) / tan(a)",
            "F push at the foot of a scissor [N], n cells, m load, m_c mass of a cell [kg], a angle of its arms",
            scissor.foot_force,
            True,
        ),
        Formula("h = n L sin(a)", "h height of a scissor [m], L length of its arms [m]", scissor.height),
    ),
    "Intake and gripper": (
        Formula(
            "v = pi n D",
            "v speed of a roller's surface [m/s], n turns a second, D diameter [m]",
            intake.surface_speed,
            True,
        ),
        Formula(
            "cos(b) = 1 - s / (R + r)",
            "b nip angle, s squeeze, R radius of the roller, r of the piece [m]",
            intake.nip_angle,
        ),
        Formula(
            "mu = tan(b + atan(mu_w))",
            "mu friction that the roller needs against a wall with friction mu_w",
            intake.sliding_nip,
        ),
        Formula(
            "F = m sqrt((g + a_u)^2 + a_l^2)",
            "F force to carry a piece [N], a_u upward, a_l level acceleration [m/s²]",
            gripper.carried_force,
        ),
        Formula(
            "N = S F / (2 mu)",
            "N squeeze [N], S safety factor, mu friction; two jaws, two surfaces",
            gripper.squeeze_needed,
            True,
        ),
        Formula(
            "t = b / (w_0 (1 - T / T_s))",
            "t time of a servo for an angle b [rad] under a load T, w_0 free speed, T_s stall torque",
            servo.turn_time,
        ),
        Formula(
            "u = N b / c",
            "u share of a servo's travel c [rad] that a swing b [rad] takes behind a ratio N; at most 1",
            servo.travel_share,
        ),
    ),
    "Match": (
        Formula(
            "q = n p / t",
            "q pieces a second, n pieces a cycle, p share that succeeds, t mean time of a cycle [s]",
            cycle.piece_rate,
        ),
        Formula(
            "t_i = n_i / q", "t_i time that a piece is inside, n_i pieces inside, q pieces a second", cycle.time_inside
        ),
    ),
}


HEAD = "What stands beside each other is multiplied. ★ know by heart. Angles in rad."


def sheet_text():
    """The sheet as plain text."""
    lines = [HEAD]
    for topic, formulas in SHEET.items():
        lines += ["", topic, *(f"  {f.text}{' ★' if f.by_heart else ''}   {f.symbols}   ({f.name})" for f in formulas)]
    return "\n".join(lines)


def sheet_html():
    """The sheet in two columns, small enough for two printed pages."""
    columns = "".join(_topic(topic, formulas) for topic, formulas in SHEET.items())
    return (
        f'<div style="font-size: 13px; line-height: 1.35;"><p>{HEAD}</p><div style="columns: 2; column-gap:'
        f' 20px;">{columns}</div></div>'
    )


def _topic(topic, formulas):
    lines = "".join(
        '<p style="margin: 0 0 5px; break-inside:'
        f' avoid;"><code><b>{escape(f.text)}</b></code>{" ★" if f.by_heart else ""} {escape(f.symbols)}'
        f" <i>{escape(f.name)}</i></p>"
        for f in formulas
    )
    return f'<p style="margin: 6px 0 3px; font-weight: bold; break-after: avoid;">{escape(topic)}</p>{lines}'
