"""mechbench: a course and a sizing calculator for the mechanisms of student robots.

Notebooks write ``import mechbench as mb`` and nothing else of ours; ``dir(mb)`` lists what there is. Nothing is loaded
before its name is asked for, so that ``python3 -m mechbench`` runs before anything is installed.
"""

# An old Python must get as far as the sentence in __main__.py that asks for a newer one: nothing modern in this file.

# Public name -> "module", or "module:name in it".
PUBLIC = {
    "motor": "mechbench.physics.motor",
    "gearing": "mechbench.physics.gearing",
    "drive": "mechbench.physics.drive",
    "motion": "mechbench.physics.motion",
    "battery": "mechbench.physics.battery",
    "control": "mechbench.physics.control",
    "drivetrain": "mechbench.physics.drivetrain",
    "kinematics": "mechbench.physics.kinematics",
    "intake": "mechbench.physics.intake",
    "transfer": "mechbench.physics.transfer",
    "gripper": "mechbench.physics.gripper",
    "servo": "mechbench.physics.servo",
    "wrist": "mechbench.physics.wrist",
    "arm": "mechbench.physics.arm",
    "chained": "mechbench.physics.chained",
    "linkage": "mechbench.physics.linkage",
    "linkage_load": "mechbench.physics.linkage_load",
    "slider_crank": "mechbench.physics.slider_crank",
    "parallel": "mechbench.physics.parallel",
    "synthesis": "mechbench.physics.synthesis",
    "lift": "mechbench.physics.lift",
    "scissor": "mechbench.physics.scissor",
    "scissor_load": "mechbench.physics.scissor_load",
    "winch": "mechbench.physics.winch",
    "rope": "mechbench.physics.rope",
    "balance": "mechbench.physics.balance",
    "footing": "mechbench.physics.footing",
    "envelope": "mechbench.physics.envelope",
    "duration": "mechbench.physics.duration",
    "chance": "mechbench.physics.chance",
    "steps": "mechbench.physics.steps",
    "cycle": "mechbench.physics.cycle",
    "match": "mechbench.physics.match",
    "quantity": "mechbench.quantity",
    "kit": "mechbench.kits:kit",
    "fit": "mechbench.physics.fit",
    "belt": "mechbench.physics.belt",
    "screw": "mechbench.physics.screw",
    "shaft": "mechbench.physics.shaft",
    "teeth": "mechbench.physics.teeth",
    "planetary": "mechbench.physics.planetary",
    "size": "mechbench.desk.sized:size",
    "convert": "mechbench.desk.convert_units:convert",
    "inputs": "mechbench.desk.explained:inputs",
    "find": "mechbench.desk.find:find",
    "sweep": "mechbench.desk.sweep:sweep",
    "most": "mechbench.desk.most:most",
    "least": "mechbench.desk.most:least",
    "against": "mechbench.desk.against:against",
    "bench": "mechbench.benches.bench:bench",
    "labelled": "mechbench.desk.labelled:labelled",
    "robot": "mechbench.whole_robot.build:build",
    "robots": "mechbench.whole_robot.build:robots",
    "versus": "mechbench.whole_robot.compare:versus",
    "league": "mechbench.whole_robot.compare:league",
    "counts_most": "mechbench.desk.counts_most:counts_most",
    "part_first": "mechbench.desk.first_change:part_first",
    "record": "mechbench.desk.record:record",
    "review": "mechbench.desk.review:review",
    "reopen": "mechbench.desk.reopen:reopen",
    "correct": "mechbench.desk.correct:correct",
    "reference": "mechbench.desk.quick_reference:reference",
    "formulas": "mechbench.desk.quick_reference:formulas",
    "rules_of_thumb": "mechbench.desk.quick_reference:rules_of_thumb",
    "pit": "mechbench.desk.pit_page:pit",
    "pit_questions": "mechbench.desk.quick_reference:pit_questions",
    "learner": "mechbench.course.ask:learner",
    "ask": "mechbench.course.ask:ask",
    "say": "mechbench.course.ask:say",
    "your_guess": "mechbench.course.guess:your_guess",
    "warm_up": "mechbench.course.ask:warm_up",
    "readings": "mechbench.course.ask:readings",
    "progress": "mechbench.course.card:progress",
    "my_robot": "mechbench.course.my_robot:my_robot",
    "hand_in": "mechbench.course.handin:hand_in",
}

# Names that notebooks of an older edition call, or that people try -> what to type instead.
FORMERLY = {
    "judge": 'mb.judge is now mb.size, with inputs by name: mb.size("arm", payload="0.5 kg"); those of a'
    ' dictionary go in as mb.size("arm", **values).',
    "search": 'mb.search is now mb.find, with inputs by name: mb.find("arm", "motor,gearbox", payload="0.5 kg");'
    ' those of a dictionary go in as mb.find("arm", "motor,gearbox", **values).',
    "compare": 'Designs are put side by side by mb.against("arm", payload=["0.3 kg", "0.5 kg"]).',
    "calculate": 'A mechanism is sized by mb.size("arm", payload="0.5 kg").',
    "units": 'Units are chosen in a call: mb.size("arm", system="us").',
}
MOST = {"max": "most", "min": "least", "maximum": "most", "minimum": "least"}


def __getattr__(name):
    import importlib

    _speak_plainly()
    if name not in PUBLIC:
        raise AttributeError(_unknown(name))
    module, _, attribute = PUBLIC[name].partition(":")
    value = importlib.import_module(module)
    if attribute:
        value = getattr(value, attribute)
    globals()[name] = value
    return value


def _speak_plainly():
    """In a notebook a slip is one sentence, whatever is called first."""
    import importlib
    import sys

    if "IPython" in sys.modules:
        importlib.import_module("mechbench.course.plain_errors").speak_plainly()


def __dir__():
    return sorted(PUBLIC)


def _unknown(name):
    from mechbench.wording import closest

    if name in FORMERLY:
        return FORMERLY[name]
    way, _, what = name.partition("_")
    if way in MOST:
        return 'What still works is found by mb.%s("arm", "%s").' % (MOST[way], what or "payload")
    near = closest(name, PUBLIC)
    way_out = "did you mean mechbench.%s?" % near if near else "dir(mechbench) lists what there is."
    return "mechbench has no %r; %s" % (name, way_out)
