"""Who holds what with the power off: a sizing's own verdict (`power_off` of a sizing), and the words around it.

Contents: tells, told, sentence, CAUTION.
"""

from mechbench.engine.judge import Report
from mechbench.engine.spec import Sizing

STAYS = "Rope or pin it all the same before hands go in."
CAUTION = "Rope or pin what is raised before hands go in, also what stays."


def tells(sizing: type[Sizing]) -> bool:
    """Whether a sizing has a verdict of its own on the power being off."""
    own, base = sizing.power_off, Sizing.power_off
    return sizing.POWER_OFF is not None or getattr(own, "__func__", own) is not getattr(base, "__func__", base)


def told(report: Report, system: str = "metric") -> tuple[bool, str] | None:
    """Whether it stays where it is with the power off, and what holds it, as a clause; None where nothing can fall."""
    return report.sizing.power_off(report, system)


def sentence(report: Report, system: str = "metric") -> str:
    """What happens with the power off, with the caution; empty where nothing can fall."""
    found = told(report, system)
    if found is None:
        return ""
    (stays, words), (falls, caution) = found, report.sizing.FALLS
    return f"With the power off it {'stays' if stays else falls}: {words}. {STAYS if stays else caution}"
