"""Who holds what with the power off: a sizing's own verdict (`power_off` of a sizing), and the words around it.

Contents: tells, told, sentence, CAUTION.
"""

from mechbench.engine.judge import Report
from mechbench.engine.spec import Sizing

FALLS = "Keep hands out, and rope or pin it before they go in."
STAYS = "Rope or pin it all the same before hands go in."
CAUTION = "Rope or pin what is raised before hands go in, also what stays."


def tells(sizing: type[Sizing]) -> bool:
    """Whether a sizing has a verdict of its own on the power being off."""
    own, base = (getattr(one, "power_off", None) for one in (sizing, Sizing))
    return own is not None and getattr(own, "__func__", own) is not getattr(base, "__func__", base)


def told(report: Report) -> tuple[bool, str] | None:
    """Whether it stays where it is with the power off, and what holds it, as a clause; None where nothing can fall."""
    if not tells(report.sizing):
        return None
    return report.sizing.power_off(report)  # type: ignore[attr-defined]


def sentence(report: Report) -> str:
    """What happens with the power off, with the caution; empty where nothing can fall."""
    found = told(report)
    if found is None:
        return ""
    stays, words = found
    because = f": {words.rstrip('.')}" if words else ""
    return f"With the power off it {'stays' if stays else 'falls'}{because}. {STAYS if stays else FALLS}"
