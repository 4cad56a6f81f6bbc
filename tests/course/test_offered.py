"""Which exercises a lesson has where a game lacks what they are about: games here lack one thing after the other."""

from dataclasses import replace
from itertools import count

import pytest

import mechbench as mb
from mechbench.catalog import search
from mechbench.course import ask, gradebook, handout, kit_rows, notebook_check, offered, registry
from mechbench.course.exercise import Challenge
from mechbench.course.grading import RIGHT, grade_posed
from mechbench.course.learner_numbers import pose
from mechbench.course.of_game import NEEDS, lacking
from mechbench.course.posed_numbers import own_kit, question
from mechbench.course.question_text import statement
from mechbench.course.vetting import problems
from mechbench.kits import read_kit
from mechbench.kits.tables import Record
from mechbench.quantity import to_si
from tests.course.samples import CHOICE, KITS
from tests.kits import variants

FEWEST, FEWEST_KINDS = 5, 3
RAMP = Record("ramp", {"slope": to_si(15, "deg"), "length": 0.9, "points": 10.0, "label": "ramp"})
THRESHOLD = Record("threshold", {"need": 24.0, "points": 15.0, "label": "enough"})
PAIR = Record("pair", {"points": 2.0, "label": "two of a colour"})
COLOURS = Record("set", {"need": 3.0, "points": 4.0, "label": "colours"})
NO_TIME = Record("no step", {"low": 0.0, "likely": 0.0, "high": 0.0, "label": ""})
STEPS = ("clear_jam", "find", "held_up", "line_up", "more_jam", "more_piece", "more_trip")
NO_PEOPLE = Record("people", dict.fromkeys(STEPS, NO_TIME))
NO_ENDING = {"tried": "", "left": "", "tried_points": 0.0, "left_points": 0.0}
INFINITE = float("inf")
_numbers = count()  # games that are told apart, for what is kept of each


def _with(kit, **roles):
    """A kit whose game has other roles, and all else as it is."""
    made = replace(kit, digest=f"{kit.digest} {' '.join(roles)} {next(_numbers)}")
    all_roles = {**{name: getattr(kit.roles, name) for name in kit.roles}, **roles}
    made.__dict__["roles"] = Record("roles", all_roles)
    return made


def _bare(kit):
    """A game that has what a game must have, and nothing else: driven time and one closing task."""
    none = dict.fromkeys("piece flat highest best first second reach_in low hang ramp zone pair set threshold".split())
    limits = dict.fromkeys(
        "mass motors servos drives start_length start_width start_height height level".split(), INFINITE
    )
    limits["hold"] = 1
    times = {"self_driving": 0.0, "driven": 120.0, "pause": 0.0, "closing": 0.0, "factor": 1.0, "driven_factor": 1.0}
    return _with(
        kit,
        **none,
        self_driving=None,
        people=NO_PEOPLE,
        limits=Record("limits", limits),
        ending=Record("ending", {**NO_ENDING, "tried_points": 5.0}),
        match=Record("match", times),
    )


def _games(kit):
    no_bar = {"hang": None, "ending": Record("ending", {**NO_ENDING, "left_points": 5.0})}
    return {
        "own": kit,
        "no bar": _with(kit, **no_bar),
        "ramp instead": _with(kit, **no_bar, ramp=RAMP),
        "no low": _with(kit, low=None),
        "no pens": _with(kit, reach_in=None),
        "no sets": _with(kit, set=None, pair=None),
        "pairs": _with(kit, set=None, pair=PAIR),
        "threshold": _with(kit, set=None, pair=None, threshold=THRESHOLD),
        "no pieces": _with(kit, piece=None, best=None, first=None, second=None, highest=None),
        "bare": _bare(kit),
    }


# Two games that have all that is asked in the course's own one.
FULL = {"own": KITS["own"], "second": _with(KITS["second"], set=COLOURS)}
GAMES = {f"{name}, {base}": kit for base in FULL for name, kit in _games(FULL[base]).items()}


# --- what a lesson has ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kit", FULL.values(), ids=FULL)
def test_a_game_that_has_everything_leaves_nothing_out(kit):
    assert offered.exercises(kit=kit) == registry.exercises()
    assert all(offered.left_out_line(offered.of_lesson(lesson, kit)) == "" for lesson in registry.lessons())


@pytest.mark.parametrize("game", GAMES)
@pytest.mark.parametrize("lesson", registry.lessons())
def test_enough_stays_in_every_lesson(lesson, game):
    there = offered.of_lesson(lesson, GAMES[game]).exercises
    assert len(there) >= FEWEST and len({type(exercise) for exercise in there}) >= FEWEST_KINDS
    assert len({exercise.id for exercise in there}) == len(there)
    assert sum(exercise.short for exercise in there) >= 3, "later lessons warm up with them"


@pytest.mark.parametrize("game", GAMES)
def test_all_that_is_asked_can_be_asked(game):
    """Every row, but of designs, which are judged anew with each game: theirs have a test of their own."""
    kit = GAMES[game]
    for exercise in offered.exercises(kit=kit):
        if not isinstance(exercise, Challenge):
            assert problems(exercise, kit) == []


def test_a_design_about_what_a_game_lacks_can_be_met():
    kit = GAMES["no pieces, second"]
    one = pose(registry.exercise("arm-design"), kit=kit)
    assert one.note.startswith("In another game robots carry pieces.")
    assert any(grade_posed(one, raw).state == RIGHT for raw in kit_rows.found_answers(one))


def test_another_exercise_stands_instead_where_the_game_has_what_it_needs():
    asked = lambda id, game: offered.in_place_of(registry.exercise(id), GAMES[f"{game}, second"]).id
    assert asked("winch-tilt", "own") == "winch-tilt"
    assert asked("winch-tilt", "ramp instead") == "winch-ramp-hold"
    assert asked("winch-tilt", "no bar") == "winch-tilt"
    assert asked("intake-design", "no pens") == "intake-corner"
    assert asked("cycle-set", "own") == "cycle-set"
    assert asked("cycle-set", "pairs") == "cycle-pair"
    assert asked("cycle-set", "threshold") == "cycle-threshold"
    assert offered.in_place_of(registry.exercise("cycle-set"), GAMES["no sets, second"]) is None
    assert asked("cycle-design", "no bar") == "cycle-plan"


def test_no_more_pieces_are_carried_than_the_game_lets_a_robot_hold():
    """A set of three can't be brought at once where two may be held; nor are three carried elsewhere."""
    limits = {key: getattr(KITS["second"].roles.limits, key) for key in KITS["second"].roles.limits}
    games = {"set": COLOURS, "pair": PAIR, "threshold": THRESHOLD}
    three, two, one = (
        _with(KITS["second"], **games, limits=Record("limits", {**limits, "hold": hold})) for hold in (3, 2, 1)
    )
    asked = lambda id, kit: offered.in_place_of(registry.exercise(id), kit)
    assert asked("cycle-set", three).id == "cycle-set" and asked("cycle-set", two).id == "cycle-pair"
    assert asked("cycle-set", one).id == "cycle-threshold"
    for kit, most in ((three, 3), (two, 2), (one, 1)):
        rows = [pose(registry.exercise("cycle-threshold"), f"learner {n}", kit=kit).row for n in range(12)]
        assert max(row["carried"][0] for row in rows) == most
    for id in ("cycle-second", "cycle-stopwatch"):
        assert pose(registry.exercise(id), kit=one).note.startswith("In another game robots bring two pieces")
        assert pose(registry.exercise(id), kit=two).note == ""


def test_two_closing_tasks_of_any_kind_are_enough_for_points_at_the_end():
    """Nothing to hang from: the slipway for 19 points is harder than the quay for 6."""
    quay = read_kit("tests/kits/second_kit")
    one = pose(registry.exercise("cycle-points"), kit=quay)
    assert offered.in_place_of(one.exercise, quay) == one.exercise and quay.roles.hang is None
    assert (one.row["hang"], one.row["park"]) == ((19.0, "points"), (6.0, "points"))
    only = _with(quay, ending=Record("ending", {**NO_ENDING, "tried": "moor", "tried_points": 6.0}))
    assert offered.in_place_of(registry.exercise("cycle-points"), only) is None


def test_numbers_of_a_stand_in_are_those_of_the_game():
    ramp = pose(registry.exercise("winch-ramp-hold"), kit=GAMES["ramp instead, second"])
    assert ramp.row["slope"] == (15.0, "deg")
    colours = pose(registry.exercise("cycle-set"), kit=GAMES["own, second"])
    assert (colours.row["need"], colours.row["bonus"]) == ((3, ""), (4.0, "points"))
    enough = pose(registry.exercise("cycle-threshold"), kit=GAMES["threshold, second"])
    assert enough.row["need"] == (24.0, "") and enough.row["time"] == (115.0, "s")
    corner = pose(registry.exercise("intake-corner"), kit=GAMES["no pens, second"])
    assert corner.row["piece"] == (76.0, "mm")


def test_physics_is_asked_with_the_courses_own_game_and_says_so():
    kit, exercise = GAMES["no pieces, second"], registry.exercise("arm-level")
    one = pose(exercise, "ana", kit=kit)
    assert statement(one).splitlines()[1].startswith("In another game robots carry pieces. An arm is ")
    assert one.row == pose(exercise, "ana", kit=own_kit()).row
    assert question(one).digest == question(pose(exercise, "ana", kit=own_kit())).digest


def test_what_is_about_points_is_left_out_and_told_in_one_line():
    offer = offered.of_lesson("robot", GAMES["no low, second"])
    assert offered.left_out_line(offer) == "Your game has no low obstacle, so 1 exercise is left out."
    assert "robot-under-the-beam" not in {exercise.id for exercise in offer.exercises}
    both = offered.of_lesson("robot", _with(KITS["second"], low=None, ending=Record("ending", NO_ENDING)))
    assert offered.left_out_line(both).startswith(
        "Your game has no easier closing task to do in place of the hardest one and no"
    )
    three = replace(both, left_out=(*both.left_out, (CHOICE, "set")))
    assert ", no low obstacle and no points for sets, so 3 exercises are left out." in offered.left_out_line(three)
    offer = offered.of_lesson("cycle", GAMES["bare, second"])
    assert len(offer.left_out) > 1
    assert offered.left_out_line(offer).endswith(f"so {len(offer.left_out)} exercises are left out.")


def test_every_need_can_be_met_and_can_be_missing():
    used = {need for exercise in registry.everything() for need in exercise.needs}
    assert used <= set(NEEDS)
    assert lacking(NEEDS, GAMES["bare, second"]) == tuple(NEEDS)
    full = _with(KITS["second"], ramp=RAMP, threshold=THRESHOLD, set=COLOURS, flat=KITS["second"].roles.piece)
    assert lacking(NEEDS, full) == ()


@pytest.mark.parametrize(
    "faulty, words",
    [
        (replace(CHOICE, needs=("lasers",)), "needs='lasers' is none of"),
        (replace(CHOICE, elsewhere="In another game."), "name it in needs"),
        (replace(CHOICE, needs=("low",), instead="arm-nothing"), "is no exercise of STAND_INS"),
    ],
)
def test_a_faulty_need_is_found(faulty, words):
    assert any(words in sentence for sentence in problems(faulty, own_kit()))


# --- where it is used ----------------------------------------------------------------------------------------------


@pytest.fixture
def in_force(monkeypatch, tmp_path):
    """Put a game in force for what the lessons call."""
    from mechbench.course import learner_numbers

    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path))

    def put(kit):
        for module in (ask, learner_numbers, offered, gradebook, handout):
            monkeypatch.setattr(module, "kit_in_force", lambda: kit)

    return put


def test_a_lesson_asks_what_stands_instead(in_force):
    in_force(GAMES["ramp instead, second"])
    assert mb.ask("winch-tilt").exercise.id == "winch-ramp-hold"
    assert "15 deg" in mb.ask("winch-tilt").text()


def test_a_lesson_says_what_is_left_out(in_force):
    in_force(GAMES["no low, second"])
    left = mb.ask("robot-under-the-beam")
    assert repr(left) == left.text() and left.text().startswith("Your game has no low obstacle, so ")
    assert left.answer("a") is left and left.hint() is left


def test_a_warm_up_asks_nothing_that_is_left_out(in_force):
    in_force(GAMES["bare, second"])
    for lesson in registry.lessons()[1:]:
        asked = {one.exercise.id for one in mb.warm_up(lesson).asks}
        assert len(asked) == ask.WARM_UP_LENGTH
        assert asked <= {exercise.id for exercise in offered.exercises()}


def test_a_handout_has_what_stays_and_one_line():
    page = "".join(handout.pages("robot", kit=GAMES["no low, second"]))
    assert page.count("Your game has no low obstacle, so 1 exercise is left out.") == 1
    assert registry.exercise("robot-under-the-beam").title not in page
    assert "Your game has" not in "".join(handout.pages("robot", kit=KITS["second"]))


def test_a_gradebook_counts_what_is_asked(in_force, tmp_path):
    in_force(GAMES["no low, second"])
    book = gradebook.read_folder(tmp_path)
    ids = {exercise.id for exercise in book.exercises}
    assert "robot-under-the-beam" not in ids and len(ids) == len(registry.exercises()) - 1


def test_the_check_tells_what_is_left_out(monkeypatch):
    monkeypatch.setattr(notebook_check, "kit", lambda: GAMES["no low, second"])
    told = notebook_check.kit_and_exercises().splitlines()
    assert f" {len(registry.exercises()) - 1} exercises, " in told[0]
    assert told[1].strip() == "Your game has no low obstacle, so 1 exercise is left out."


def test_an_answer_that_was_given_stays_counted():
    asked = offered.exercises(kit=GAMES["no low, second"])
    both = offered.with_answered(asked, ["robot-under-the-beam"])
    assert both == registry.exercises()
    stood_in = offered.with_answered(registry.exercises(), ["winch-ramp-hold"])
    assert registry.exercise("winch-ramp-hold") in stood_in


# --- sentences -----------------------------------------------------------------------------------------------------


@pytest.fixture
def said(monkeypatch):
    """What was shown, as text."""
    shown = []
    monkeypatch.setattr(ask, "display", lambda note: shown.append(repr(note)))
    return shown


BAR = {"up": lambda role: (1000 * role.hang.bar_height, "mm")}


def test_a_sentence_about_a_role_is_said_where_the_game_has_it(in_force, said):
    in_force(KITS["second"])
    mb.say("The bar is {up} high.", needs="hang", **BAR)
    assert len(said) == 1 and "The bar is 640 mm high." in said[0]


def test_a_sentence_about_what_is_not_there_is_not_said(in_force, said):
    in_force(GAMES["no bar, second"])
    mb.say("The bar is {up} high.", needs="hang", **BAR)
    assert said == []
    mb.say("The bar is {up} high.", needs=("hang", "low"), otherwise="Your game has no bar.", **BAR)
    assert len(said) == 1 and "Your game has no bar." in said[0]


def test_a_need_that_is_none_is_refused():
    with pytest.raises(ValueError, match="'hnag' is nothing that a game may have; .*hang"):
        mb.say("The bar.", needs="hnag")


def test_a_worked_answer_searches_among_the_parts_that_are_asked_about(in_force, tmp_path):
    """A team with one small servo is asked with parts of the course's own kit beside it: its own alone hold nothing."""
    kit = variants.made(tmp_path, variants.one_servo)
    in_force(kit)
    question = mb.ask("gripper-design")
    assert len(question.kit.table("servos")) > len(kit.table("servos")) == 1
    tries = {"servo": None, "squeeze": [6, 8, 10], "lever": [0.04, 0.06], "ratio": [1, 2, 3]}
    best = search("gripper", vars(question.numbers), tries, question.kit).fitting[0].choice
    chosen = {**best, "squeeze": f"{best['squeeze']} N", "lever": f"{best['lever']} m"}
    assert question.answer(**chosen).grade.state == RIGHT
    in_force(GAMES["no low, second"])
    assert mb.ask("robot-under-the-beam").kit is own_kit()
