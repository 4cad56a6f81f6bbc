"""How often a test that draws at random draws: seldom every day, often when MECHBENCH_THOROUGH=1 is set.

LINES = tries(2_000, thorough=10_000)
"""

import os


def tries(usual, thorough):
    """The number for this run."""
    return thorough if os.environ.get("MECHBENCH_THOROUGH") else usual
