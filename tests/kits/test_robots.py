"""robots.toml: what is wrong is refused in one sentence that names the place."""

import math
import random
import re
import shutil
import tomllib
from dataclasses import replace

import pytest

from mechbench.catalog import judge
from mechbench.kits import KitError, read_kit
from mechbench.kits.load import OWN_FOLDER
from mechbench.kits.robots import FILE, read_robots
from mechbench.whole_robot.build import build, robots

FIRST = "[robots.wren.parts]\n"


@pytest.fixture
def changed(tmp_path):
    """Give a function that reads the course's kit with some text of robots.toml replaced."""
    folder = tmp_path / "kit"
    shutil.copytree(OWN_FOLDER, folder)
    text = (folder / "robots.toml").read_text(encoding="utf-8")

    def read(old, new):
        assert old in text
        (folder / "robots.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
        return read_kit(folder)

    return read


@pytest.mark.parametrize(
    "old, new, says",
    [
        (
            'motor = "slim"\ncount = 2',
            'motor = "slimm"\ncount = 2',
            "In robots.toml, [robots.wren.mechanisms.drive]: motor is 'slimm'",
        ),
        ('mass = "2.6 kg"', 'mass = "-2.6 kg"', 'In robots.toml, [robots.wren.parts.frame], mass is "-2.6 kg"'),
        ('mass = "2.6 kg"', 'mass = "2.6 m"', "In robots.toml, [robots.wren.parts.frame], mass"),
        ('after = ["find"] }\nway', 'after = ["fnd"] }\nway', "[robots.wren.steps]: after of 'scoop'"),
        (
            'find    = { human = "find" }\nscoop',
            'find    = { human = "find", after = ["back"] }\nscoop',
            "[robots.wren.steps]:",
        ),
        (
            'human = "find" }\nscoop',
            'human = "fin" }\nscoop',
            "human is 'fin', which is no human step of the game; did you mean \"find\"?",
        ),
        ('mechanism = "arm", after = ["traffic"]', 'mechanism = "arrm", after = ["traffic"]', 'did you mean "arm"?'),
        (
            'mechanism = "arm", after = ["traffic"]',
            'mechanism = "arm", finding = "tim", after = ["traffic"]',
            'did you mean "time"?',
        ),
        (
            '{ human = "find" }\nscoop',
            '{ human = "find", drive = "1 m" }\nscoop',
            "human and drive, but it must have exactly one",
        ),
        ('{ human = "find" }\nscoop', "{ }\nscoop", "none of human, drive and mechanism"),
        ('sizing = "drivetrain"\npart', 'sizing = "drivtrain"\npart', 'did you mean "drivetrain"?'),
        ('sizing = "drivetrain"\npart', "part", "has no sizing"),
        (
            'find    = { human = "find" }\nscoop',
            'find    = { human = "find", passes = "footbridge" }\nscoop',
            "[robots.wren.steps.find]: passes is 'footbridge', but the step does not drive",
        ),
        (
            'part = "drive"',
            'part = "drve"',
            "[robots.wren.mechanisms.drive]: part is 'drve', which the robot does not have",
        ),
        ('part = "drive"', 'part = "drve"', 'did you mean "drive"?'),
        ('part = "drive"', "part = 3", "[robots.wren.mechanisms.drive], part is 3, but it must be the name of a part"),
        (
            'sizing = "drivetrain"\npart',
            'sizing = "drivetrain"\nmass = "9 kg"\npart',
            "mass is given, but the robot's own parts and steps give it",
        ),
        ("carries = 1", "carries = 4", "carries is 4, but the game lets a robot hold 3 at most"),
        ("carries = 1", "carys = 1", 'a key "carys" that the course does not know; did you mean "carries"?'),
        ('goals = ["loom_west", "loom_east", "hamper"]', 'goals = ["loom_wes", "hamper"]', 'did you mean "loom_west"?'),
        ('payload = "0.37 kg"', 'payload = "37 kg"', "[robots.wren.mechanisms.arm]: payload is 37 kg"),
        ("[robots.wren]", "[robbots.wren]", "robbots"),
        ('cord_exit = ["0 mm", "0 mm", "285 mm"]', "", "it has a winch but no cord_exit"),
        ("success = 0.97", "success = 97", "success is 97, but it must be from 0 to 1"),
    ],
)
def test_a_mistake_is_named_with_its_place(changed, old, new, says):
    with pytest.raises(KitError) as refused:
        robots(changed(old, new))
    sentence = str(refused.value)
    assert says in sentence, sentence
    assert "\n" not in sentence and len(sentence) < 400


def test_a_cord_that_leaves_below_the_centre_of_gravity_is_named_with_both_heights(changed):
    """Where it hangs from a point below its centre of gravity, a robot turns over (from first principles)."""
    parts = tomllib.loads((OWN_FOLDER / FILE).read_text(encoding="utf-8"))["robots"]["stork"]["parts"].values()
    mass = lambda one: float(one["mass"].removesuffix(" kg")) if "kg" in one["mass"] else 0.45
    assert {one["mass"] for one in parts if "kg" not in one["mass"]} == {"450 g"}
    height = sum(mass(one) * float(one["at"][2].removesuffix(" mm")) for one in parts) / sum(map(mass, parts))
    exit_at = lambda z: changed('cord_exit = ["0 mm", "0 mm", "285 mm"]', f'cord_exit = ["0 mm", "0 mm", "{z} mm"]')
    for below in (60, height - 0.01):
        with pytest.raises(KitError) as refused:
            judge("robot", {"which": "stork"}, exit_at(below))
        sentence = str(refused.value)
        says = f"[robots.stork]: cord_exit is {below:.0f} mm up, but it must be above the robot's centre of gravity"
        assert says in sentence and f"which is {height:.0f} mm up" in sentence and "higher" in sentence
        assert "\n" not in sentence and sentence.count(". ") == 0
    assert math.isfinite(judge("robot", {"which": "stork"}, exit_at(height + 0.01)).bad["points"])
    assert judge("robot", {"which": "wren"}, exit_at(60)).good["points"] > 0, "other robots are judged all the same"


def test_a_robot_without_steps_or_parts_is_refused(changed):
    with pytest.raises(KitError, match="no parts"):
        build(
            "nothing",
            changed(
                "# ---",
                '[robots.nothing]\nlabel = "x"\nidea = "y"\nwheelbase = "300 mm"\ntrack = "300 mm"\ncarries = 1\n'
                'goals = ["hamper"]\nsuccess = 1\n# ---',
            ),
        )


def test_an_unknown_robot_or_change_is_told_with_the_nearest_name():
    with pytest.raises(KitError, match='did you mean "stork"?'):
        build("storc")
    with pytest.raises(ValueError, match="did you mean 'gearbox'"):
        build("stork", changes={"lift.gearbx": "planetary_16"})
    with pytest.raises(ValueError, match='did you mean "carries"?'):
        build("stork", changes={"caries": 1})


def test_a_kit_without_robots_is_told_with_the_courses_own(tmp_path):
    for name in ("game.toml", "parts.toml"):
        shutil.copy(OWN_FOLDER / name, tmp_path / name)
    bare, own = read_kit(tmp_path), read_kit(OWN_FOLDER)
    assert bare.robots == ()
    assert [one.plan for one in robots(bare)] == [one.plan for one in robots(own)] != []
    with pytest.raises(KitError, match='did you mean "stork"?'):
        build("storc", bare)


def test_all_mistakes_of_all_robots_are_told_at_once(tmp_path):
    shutil.copytree(OWN_FOLDER, tmp_path / "kit")
    text = (tmp_path / "kit" / FILE).read_text(encoding="utf-8")
    wrong = {
        "[robots.wren], success": ("success = 0.97", "success = 97"),
        "[robots.wren.parts.frame], mass": ('mass = "2.6 kg"', 'mass = "2.6 m"'),
        "[robots.wren.parts.tower], at": ('at = ["-110 mm", "0 mm", "190 mm"]', 'at = ["-110 mm"]'),
        "[robots.wren.mechanisms.drive]": ('sizing = "drivetrain"\npart', "part"),
        "[robots.wren.steps.find]": ('{ human = "find" }\nscoop', "{ }\nscoop"),
        "[robots.stork], wheelbase": ('wheelbase = "210 mm"', 'wheelbase = "210"'),
        "[robots.stork.parts.intake], mass": ('mass = "0.9 kg"', 'mass = "-0.9 kg"'),
    }
    for old, new in wrong.values():
        assert old in text
        text = text.replace(old, new, 1)
    lines = '[robots.swift.poses]\nhalf = { arm = 2, jaw = "up" }\n[robbots]\n'
    (tmp_path / "kit" / FILE).write_text(text + lines, encoding="utf-8")
    with pytest.raises(KitError) as refused:
        read_kit(tmp_path / "kit")
    places = [*wrong, "[robots.swift.poses.half], arm", "[robots.swift.poses.half], jaw", "[robbots]"]
    assert len(refused.value.faults) == len(places), refused.value.faults
    for one in places:
        assert sum(one in fault for fault in refused.value.faults) == 1, (one, refused.value.faults)


def test_robots_change_the_digest_and_labels_do_not(changed):
    own = read_kit(OWN_FOLDER).digest
    assert changed('mass = "2.6 kg"', 'mass = "2.7 kg"').digest != own
    assert changed('label = "Wren"', 'label = "Robin"').digest == own


# --- damaged text ----------------------------------------------------------------------------------------------------

VALUES = (
    "0",
    "-1",
    "5",
    "1e999",
    "nan",
    "inf",
    "true",
    "[]",
    "{}",
    '""',
    '"x"',
    '"1e15 m"',
    '"-1 m"',
    '"600 s"',
    '["a", "a"]',
    '[["a"]]',
    "1979-05-27",
    '"1/0 s"',
    "0x" + "f" * 60,
    "9" * 60,
    '"lift"',
    '"robot"',
    '"time"',
    '"raised"',
    "{ a = 1 }",
    '"\\u0000"',
)
PIECES = (
    '"',
    "[",
    "]",
    "{",
    "}",
    "=",
    "\n",
    ",",
    "0",
    "-",
    "nan",
    "#",
    "\x00",
    "true",
    "\u00e9",
    "[robots.x]\n",
    '"""',
)


def damaged(random_, lines, words):
    """The lines with one to three places changed: another value, another word, a line lost or doubled, signs put in."""
    lines = list(lines)
    for _ in range(random_.choice((1, 1, 2, 3))):
        number = random_.randrange(len(lines))
        line, kind = lines[number], random_.random()
        values, names = (
            list(re.finditer(r'(?<== )("[^"]*"|[-0-9.]+|\[[^\]]*\])', line)),
            list(re.finditer("[a-z_]{3,}", line)),
        )
        if kind < 0.45 and values:
            lines[number] = _put(line, random_.choice(values), random_.choice(VALUES))
        elif kind < 0.65 and names:
            lines[number] = _put(line, random_.choice(names), random_.choice(words))
        elif kind < 0.8:
            lines[number : number + 1] = [line] * random_.choice((0, 2))
        else:
            place = random_.randrange(len(line) + 1)
            lines[number] = line[:place] + random_.choice(PIECES) + line[place + random_.randint(0, 8) :]
    return "\n".join(lines)


def _put(line, match, text):
    return line[: match.start()] + text + line[match.end() :]


def test_damaged_text_gives_robots_or_one_sentence(tmp_path):
    own = read_kit(OWN_FOLDER)
    text = (OWN_FOLDER / FILE).read_text(encoding="utf-8")
    lines, words, random_ = text.split("\n"), sorted(set(re.findall("[a-z_]{3,}", text))), random.Random(13)
    built = refused = 0
    for number in range(150):
        (tmp_path / FILE).write_text(damaged(random_, lines, words), encoding="utf-8")
        try:
            built += len(robots(replace(own, robots=read_robots(tmp_path), digest=f"damaged {number}"))) > 0
        except KitError as wrong:
            said = str(wrong)
            assert said.isprintable() and len(said) < 450 and said.endswith((".", "?")), said
            refused += 1
    assert built > 12 and refused > 60, (built, refused)


def test_a_closing_task_that_never_works_is_noted(changed):
    """A plan that forgets how often its last task works would never get its points, and nobody would see why."""
    for line, said in (
        ("closing_chance = 0.9\nbesides", "it tries the closing task, but closing_chance is 0"),
        ("besides_chance = 0.8\n", "it does last_bobbin besides, but besides_chance is 0"),
    ):
        notes = changed(line, line.rpartition("\n")[2]).notes
        assert len(notes) == 1 and notes[0].startswith("In robots.toml, [robots.swift]: " + said), notes
