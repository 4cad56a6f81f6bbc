"""Each robot of the course at the worst moment of its plan, all on one battery: by hand, beside what is found.

Everything is worked out here from the printed figures (their keys stand beside them) by Ohm's, Kirchhoff's and Newton's
laws, OpenStax University Physics, volume 1, chapter 6 and volume 2, chapters 9 and 10 (from memory): no function of the
product makes an expected number. A good day has a new battery and all as printed; a bad day has heavy robots, the best
grip, the worst gears and the quickest fuse at once, with a tired battery or with a new one.

Numbers once differed where no program limits the start. On a good day the share of the fuse was 29 % beside 13 % by
hand (Swift), and 23 % beside 16 % (Stork), on both days for one reason: the product let the current fall evenly from
one point of the way to the next, but the rotors of wheels that slip are up to speed in some hundredths of a second. It
follows the rotors now: 13 % and 17 %. Under a limit the same even line missed a crest between two points, so it was not
always on the safe side. Stork with a new battery on a bad day draws 30.2 A, where 32.6 A stood here: its wheels grip
better than it stands, so the driver holds back, which these sums left out. Of the fuse that is 216 % by hand and 215 %
found; 177 % was the even line again.
"""

import math
import tomllib

import numpy as np
import pytest

from mechbench.kits.load import OWN_FOLDER
from mechbench.whole_robot import sizing as whole
from mechbench.whole_robot.build import build
from mechbench.whole_robot.score import play
from mechbench.whole_robot.work import Days, Work, power

G = 9.80665  # m/s2, standard gravity: CGPM 1901

# parts.toml: motors.slim
VOLTS_OF_LABEL, FREE_RPM, FREE_AMPS, STALL_TORQUE, STALL_AMPS, ROTOR = 16.0, 7400, 0.36, 0.167, 8.80, 7.4e-6
OHMS = VOLTS_OF_LABEL / STALL_AMPS
# The label gives k twice, from stall and from running free, within 1 %; between them lies what is used.
CONSTANT = math.sqrt(
    STALL_TORQUE / (STALL_AMPS - FREE_AMPS) * (VOLTS_OF_LABEL - FREE_AMPS * OHMS) / (FREE_RPM * math.pi / 30)
)
STAGE = 0.88  # gearboxes.every.efficiency_per_stage; all that is used here has two stages
SIXTEEN, TWENTY_ONE = 3.5 * 4.6, 4.6 * 4.6  # gearboxes.planetary_16, planetary_21: stages
OUTPUT_LIMIT, ELECTRONICS = 10.0, 0.9  # controller.output_limit, electronics
GUARD, WAIT = 11.0, 0.2  # controller.reset_level, reset_after
RAIL_VOLTS, RAIL_MOST, CONVERTER = 7.0, 6.5, 0.85  # servo_rail: voltage, current_limit, efficiency
ROLLING = 0.02  # friction.wheel_rolling
STRONG_TORQUE, STRONG_AMPS = 2.7, 3.6  # servos.strong: stall_torque, stall_current
# A gripper's own inputs where the plan leaves them as usual: lever 50 mm, bars at 10 deg, 1 A of others on the rail.
LEVER, BARS, OTHERS = 0.050, math.radians(10), 1.0
PAIR = 0.94  # spur_gears.every.efficiency: the mesh that joins two jaws on one servo
FUSE, CARRIES = 15.0, 1.1  # fuse: rating, holds
FUSE_TIMES = ((1.35, 600.0, 0.75), (2.0, 5.0, 0.15), (3.5, 0.5, 0.04))  # ratio, time, time_quick

# volts, ohms: battery.open_circuit, resistance; open_circuit_empty, resistance_worn; the rest: spreads, as factors
GOOD = dict(volts=16.7, ohms=0.11, mass=1.0, grip=1.0, gears=1.0, quick=0.5)
BAD = dict(volts=15.4, ohms=0.20, mass=1.12, grip=1.25, gears=0.88, quick=0.0)
FRESH = BAD | dict(volts=16.7, ohms=0.11)  # it gives more current: the fuse meets that
DAYS = {
    "good": (GOOD, Days.good()),
    # mass, friction, efficiency, battery voltage and resistance, fuse, from 0 (lowest) to 1; people as usual
    "bad": (BAD, Days(np.array([[1.0, 1.0, 0.0, 0.0, 1.0, 0.0, math.nan]]))),
    "bad, new battery": (FRESH, Days(np.array([[1.0, 1.0, 0.0, 1.0, 0.0, 0.0, math.nan]]))),
}

ROBOTS = {
    # wheels: traction_80 (95 g), friction.traction_on_floor; two at the rear are driven and carry 60 % (driven_share)
    "wren": dict(
        motors=2, ratio=SIXTEEN, radius=0.040, wheel=0.095, grip=0.9, limit=OUTPUT_LIMIT, rear=0.60, base=0.32
    ),
    "stork": dict(motors=4, ratio=SIXTEEN, radius=0.040, wheel=0.095, grip=0.9, limit=4.0, rear=None, base=0.21),
    # mecanum_115 (260 g), friction.mecanum_along
    "swift": dict(motors=4, ratio=TWENTY_ONE, radius=0.0575, wheel=0.260, grip=0.68, limit=3.5, rear=None, base=0.31),
}
# robots.toml, steps: what draws most in a cycle: metres, what runs with it, how often; what else runs by itself.
DRIVES = {
    "wren": ((0.3, None, 1), (2.4, None, 2)),  # scoop; way, back
    "stork": ((0.3, "intake", 3), (2.6, None, 2)),  # take, for each of three pieces; way, back
    "swift": ((2.6, None, 1), (2.6, "arm", 1)),  # way_to; way, while the arm rises
}
TOGETHER = {"wren": ("scoop",), "stork": ("take",), "swift": ("way", "raise")}


def parts_of(name):
    """Mass, and height and place ahead of its middle, of all parts of a robot, folded, from robots.toml."""
    plan = tomllib.loads((OWN_FOLDER / "robots.toml").read_text(encoding="utf-8"))["robots"][name]
    kilograms = lambda text: float(text.split()[0]) / (1000 if text.endswith(" g") else 1)
    each = [
        (kilograms(part["mass"]), *(float(place.split()[0]) / 1000 for place in part["at"]))
        for part in plan["parts"].values()
    ]
    mass = sum(one for one, *_ in each)
    return mass, *(sum(one[0] * one[axis] for one in each) / mass for axis in (3, 1))


# --- what runs besides the drive -------------------------------------------------------------------------------------


def stalled(day):
    """A motor at rest at full voltage, alone on the battery."""
    return min(day["volts"] / (OHMS + day["ohms"]), OUTPUT_LIMIT)


def jammed_intake(day):
    """stork.intake: a soft_80 roller (1.3 N/mm, piece_on_soft 0.8), pressed in by 3 mm, slips on a stuck piece."""
    torque = 0.8 * day["grip"] * 1300 * 0.003 * 0.040
    return torque / (CONSTANT * SIXTEEN * STAGE**2 * day["gears"]) + FREE_AMPS


def beside(what, day):
    """Amperes of motors that run with the drive."""
    return {None: lambda _: 0.0, "intake": jammed_intake, "arm": stalled}[what](day)


def holding(name):
    """Amperes on the servo rail all the time: others, and servos that squeeze on what they hold."""
    if name == "wren":
        return 0.0
    if name == "stork":  # tray: two servos of their own, 5 N each
        return OTHERS + 2 * STRONG_AMPS * 5.0 * LEVER * math.cos(BARS) / STRONG_TORQUE
    return OTHERS + STRONG_AMPS * 2 * 5.5 * LEVER * math.cos(BARS) / PAIR / STRONG_TORQUE  # jaw: one servo for both


def sagged(day, amps, rail):
    """Volts of the battery under a current, and under a converter that takes a power: V = E - r (I + P / V)."""
    power_taken = RAIL_VOLTS * min(rail, RAIL_MOST) / CONVERTER
    left = day["volts"] - day["ohms"] * amps
    return (left + np.sqrt(left**2 - 4 * day["ohms"] * power_taken)) / 2


# --- the drive -------------------------------------------------------------------------------------------------------


def start(name, day, distance, limit=None, step=2e-5):
    """A run from rest, Newton and Ohm step by step: times, and the amperes that its motors take from the battery.

    Motors side by side, each at most at its limit; wheels slip where the floor gives less than they ask. It brakes as
    hard as the floor allows, and then takes nothing. Where it would tip over before its wheels slip, the driver holds
    it back: its moment about the wheels behind, m a h = m g room.
    """
    robot, (mass, height, ahead) = ROBOTS[name], parts_of(name)
    mass, grip, radius, number = mass * day["mass"], robot["grip"] * day["grip"], robot["radius"], robot["motors"]
    ohms, constant = OHMS / number, CONSTANT * robot["ratio"]
    losses, rotors = STAGE**2 * day["gears"], ROTOR * number * robot["ratio"] ** 2
    inertia = mass * radius**2 + 4 * robot["wheel"] * radius**2 / 2  # four wheels, as solid discs
    drag = ROLLING * mass * G * radius
    share, lift = (1.0, 0.0) if robot["rear"] is None else (robot["rear"], height / robot["base"])
    edge = grip * share * mass * G * radius, grip * lift * mass * radius**2  # torque at the edge of grip: a + b w'
    slipping = (edge[0] - drag) / (inertia - edge[1])  # rad/s2 of the robot where its wheels slip
    most, tips = (limit or robot["limit"]) * number, G * (robot["base"] / 2 - abs(ahead)) / height / radius
    stalls = min(day["volts"] / (ohms + day["ohms"]), most) - FREE_AMPS * number
    if tips < min(slipping, (losses * constant * stalls - drag) / (inertia + losses * rotors)):
        most = (drag + tips * (inertia + losses * rotors)) / (losses * constant) + FREE_AMPS * number
    way = speed = wheel = time = 0.0
    brakes = grip * G / radius
    times, taken = [], []
    while way + speed**2 / (2 * brakes) < distance / radius:
        open_amps = (day["volts"] - constant * wheel) / (ohms + day["ohms"])
        amps = min(open_amps, most)
        # A controller that holds a current back chops: the battery gives the power, V I = I_m (I_m R + k w).
        asked = amps * (amps * ohms + constant * wheel)
        volts = (day["volts"] + math.sqrt(day["volts"] ** 2 - 4 * day["ohms"] * asked)) / 2
        times.append(time)
        taken.append(amps if amps == open_amps else asked / volts)
        pull = losses * constant * (amps - FREE_AMPS * number)
        together = (pull - drag) / (inertia + losses * rotors)
        if wheel > speed + 1e-9 or together > slipping:
            rate = slipping
            wheel += step * (pull - edge[0] - edge[1] * slipping) / (losses * rotors)
            wheel = max(wheel, speed + step * rate)
        else:
            rate = together
            wheel = speed + step * rate
        way, speed, time = way + step * speed, speed + step * rate, time + step
    return np.array(times), np.array(taken)


def lasts(times, volts, rest):
    """The lowest level below which the voltage stays for as long as the guard waits; rest before and after."""
    step = times[1] - times[0]
    window = round(WAIT / step)
    padded = np.concatenate([np.full(window, rest), volts, np.full(window, rest)])
    highest = np.lib.stride_tricks.sliding_window_view(padded[:: 1 + window // 1000], window // (1 + window // 1000))
    return highest.max(axis=-1).min()


def seconds_to_melt(amps, quick):
    """Straight in logarithms between the printed points and between slow and quick; below 1.35 the heat above what it
    carries counts, by the square.
    """
    share = amps / FUSE
    if share <= CARRIES:
        return math.inf
    points = [(ratio, slow**quick * fast ** (1 - quick)) for ratio, slow, fast in FUSE_TIMES]
    (low, first), (high, last) = points[:2] if share <= points[1][0] else points[1:]
    seconds = first * (last / first) ** (math.log(share / low) / math.log(high / low))
    return seconds * (low**2 - CARRIES**2) / (share**2 - CARRIES**2) if share < low else seconds


# --- beside what is found --------------------------------------------------------------------------------------------


def hand(name, day, until, limit=None):
    """Highest battery amperes of a cycle, the volts then, the lowest volts that last, and the share of the fuse.

    until: how long the arm rises, from its own sizing; its motor is taken to stand all that time.
    """
    rail, rest = holding(name), sagged(day, ELECTRONICS, holding(name))
    alone = stalled(day) if name != "stork" else 0.0  # an arm that rises by itself, longer than the guard waits
    lowest, lasting, melted = rest, sagged(day, ELECTRONICS + alone, rail), 0.0
    for distance, what, times in DRIVES[name]:
        clock, taken = start(name, day, distance, limit)
        more = beside(what, day) * ((clock < until) if what == "arm" else 1.0)
        lowest = min(lowest, sagged(day, np.max(taken + more) + ELECTRONICS, rail))
        sags = sagged(day, taken + more + ELECTRONICS, rail)
        lasting = min(lasting, lasts(clock, sags, rest))
        amps = (day["volts"] - sags) / day["ohms"]
        melted += times * clock[1] * sum(1 / seconds_to_melt(one, day["quick"]) for one in amps)
    return dict(peak=(day["volts"] - lowest) / day["ohms"], volts=lowest, lasting=lasting, fuse=melted)


def found(name, days, **changes):
    work = Work(build(name).with_changes(changes), days)
    done = play(work, 16)[0]
    return work, power(work, done.steps, done.times)


def how_long(work):
    return float(work.step(work.robot.plan.steps["raise"])[0][0])


@pytest.mark.parametrize("day", DAYS)
@pytest.mark.parametrize("name", ROBOTS)
def test_the_worst_moment_of_a_cycle_by_hand(name, day):
    by_hand, days = DAYS[day]
    work, drawn = found(name, days)
    sums = hand(name, by_hand, how_long(work))
    assert drawn.together == TOGETHER[name]
    assert drawn.peak[0] == pytest.approx(sums["peak"], rel=1e-3)
    assert drawn.volts[0] == pytest.approx(sums["volts"], abs=2e-3)
    assert by_hand["volts"] - drawn.lasting[0] == pytest.approx(by_hand["volts"] - sums["lasting"], rel=0.02)
    assert drawn.fuse_share[0] == pytest.approx(sums["fuse"], rel=0.05, abs=1e-3)
    assert min(drawn.lasting[0], sums["lasting"]) > GUARD and max(drawn.fuse_share[0], sums["fuse"]) < 1.0


def test_a_new_battery_is_harder_on_the_fuse_and_a_tired_one_on_the_guard():
    sums = {day: hand("swift", by_hand, how_long(found("swift", days)[0])) for day, (by_hand, days) in DAYS.items()}
    assert sums["good"]["fuse"] < sums["bad"]["fuse"] < sums["bad, new battery"]["fuse"] < 1
    assert sums["bad"]["lasting"] < sums["bad, new battery"]["lasting"]


@pytest.mark.parametrize("name", ["stork", "swift"])
def test_without_a_limit_on_the_start_a_bad_day_melts_the_fuse(name):
    """Four motors at full current: it melts in the first cycle; a guard that acted at once would cut off too."""
    for day, melts in (("good", False), ("bad", True), ("bad, new battery", True)):
        by_hand, days = DAYS[day]
        work, drawn = found(name, days, **{"drive.start_limit": f"{OUTPUT_LIMIT} A"})
        sums = hand(name, by_hand, how_long(work), OUTPUT_LIMIT)
        assert (sums["fuse"] > 1) == (drawn.fuse_share[0] > 1) == melts
        assert drawn.fuse_share[0] == pytest.approx(sums["fuse"], rel=0.05)
        assert drawn.peak[0] == pytest.approx(sums["peak"], rel=1e-3)
        assert (sums["volts"] < GUARD) == (drawn.volts[0] < GUARD) == (day == "bad")
        assert min(drawn.lasting[0], sums["lasting"]) > GUARD, "the dip is over before the guard has waited"


def test_swift_dips_below_the_guards_level_for_less_than_it_waits():
    """Drive and arm start at once: on a bad day 10.6 V for a moment, 11.5 V over 0.2 s."""
    sums = hand("swift", BAD, how_long(found("swift", DAYS["bad"][1])[0]))
    assert sums["volts"] < GUARD < sums["lasting"]


@pytest.mark.parametrize("day", DAYS)
def test_currents_found_one_by_one_add_up_on_the_safe_side(day):
    """All on one battery solved at once, the drive at its limit, the arm standing: a little less sag than the sum."""
    by_hand, days = DAYS[day]
    drive = 4 * ROBOTS["swift"]["limit"]
    volts = by_hand["volts"]
    for _ in range(100):  # V = E - r (I_drive + V / R_arm + I_electronics + P / V), each time nearer
        converter = RAIL_VOLTS * holding("swift") / CONVERTER / volts
        volts = by_hand["volts"] - by_hand["ohms"] * (drive + volts / OHMS + ELECTRONICS + converter)
    drawn = found("swift", days)[1]
    sag = by_hand["volts"] - volts
    assert sag < by_hand["volts"] - drawn.volts[0] < 1.1 * sag


@pytest.mark.parametrize("day", DAYS)
def test_everything_on_with_all_servos_stuck(day):
    """stork: drive, intake, lift, winch (a stout motor held to 10 A), and two servos at stall: the rail gives 6.5 A."""
    by_hand, days = DAYS[day]
    stuck = {
        "wren": (min(2 * OUTPUT_LIMIT, by_hand["volts"] / (OHMS / 2 + by_hand["ohms"])) + stalled(by_hand), 0.0),
        "stork": (16.0 + jammed_intake(by_hand) + stalled(by_hand) + OUTPUT_LIMIT, OTHERS + 2 * STRONG_AMPS),
        "swift": (14.0 + stalled(by_hand), OTHERS + STRONG_AMPS),
    }
    for name, (motors, rail) in stuck.items():
        volts = sagged(by_hand, motors + ELECTRONICS, rail)
        amps = (by_hand["volts"] - volts) / by_hand["ohms"]
        assert found(name, days)[1].all_on[0] == pytest.approx(amps, rel=1e-3), name


@pytest.mark.parametrize("name", ROBOTS)
def test_the_finding_is_the_worst_of_cycle_and_closing_task(name):
    """By hand no closing task draws more than a cycle: there all runs by itself, and a winch is held to 10 A."""
    for by_hand, days in DAYS.values():
        work, drawn = found(name, days)
        all_findings = whole.all_of(work)
        assert all_findings["peak"][0] == drawn.peak[0] and all_findings["fuse"][0] == drawn.fuse_share[0]
        assert all_findings["volts"][0] == drawn.lasting[0]
        if name == "stork":
            assert sagged(by_hand, OUTPUT_LIMIT + ELECTRONICS, holding(name)) > drawn.lasting[0], "its winch by itself"
