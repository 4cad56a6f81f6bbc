"""A small sizing of the tests' own: a weight on a stick that a torque holds level."""

from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Sizing


class Pendulum(Sizing):
    """Is the torque enough to hold a weight at the end of a stick level?"""

    NAME = "pendulum"
    TITLE = "Pendulum"
    QUESTION = "Does this torque hold the weight level?"
    FIELDS = (
        Field("mass", "Mass at the end", "kg", 0.1, 5.0, 1.0, "What hangs at the end of the stick", group=JOB),
        Field("length", "Length of the stick", "mm", 50, 1000, 400, "From the pivot to the weight", group=JOB),
        Field("friction", "Friction at the pivot", "N·m", 0, 1, 0.2, "Torque lost in the pivot", group=JOB, more=True),
        Field("torque", "Torque of the drive", "N·m", 0.5, 20, 5, "What the drive gives at the pivot", group=CHOICE),
    )
    FINDINGS = (
        Finding("spare", "torque to spare", "N·m", "What is left of the torque", "at least", 0.0, scale=5.0),
        Finding("need", "torque needed", "N·m", "Weight times length", "at most", "torque"),
        Finding("share", "share of the torque used", "%", "Needed over given"),
    )
    SPREADS = {"mass": "mass", "friction": "friction"}

    @staticmethod
    def solve(x):
        need = 9.80665 * x.mass * x.length - 0.5 * x.friction
        if (x.mass * x.length > 4.5).any():
            raise ValueError(
                "mass times length is above 4.5 kg·m, but the stick bends there; choose less of one of them."
            )
        return {"spare": x.torque - need, "need": need, "share": need / x.torque}
