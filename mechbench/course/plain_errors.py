"""In a learner's notebook: one sentence instead of many lines of Python where a name is not known yet or an input is
refused.

Contents: speak_plainly, sentence.
"""

import re
import traceback

# Where our own look-up of a name says what was meant; a name that is missing elsewhere is a fault of ours.
LOOK_UP = {"__getattr__", "__getitem__", "__missing__", "by_dot"}
RUN_ABOVE = "Run the cells above first: in the menu, Run > Run All Above Selected Cell."


def speak_plainly():
    """Let the notebook's Python show these errors as one sentence; outside a notebook nothing changes."""
    try:
        from IPython import get_ipython
    except ImportError:
        return
    shell = get_ipython()
    if shell is not None:
        shell.set_custom_exc((NameError, ValueError, AttributeError, KeyError), _shown)


def _shown(shell, kind, error, trace, tb_offset=None):
    said = sentence(error, trace)
    if said is None:
        return shell.showtraceback((kind, error, trace), tb_offset=tb_offset)
    print(said)
    return [said]


def sentence(error, trace):
    """What a learner should read for this error; None where the whole of Python's own report is better."""
    if isinstance(error, NameError):
        name = error.name or next(iter(re.findall(r"'(\w+)'", str(error))), "a name")
        if _stands_as_nickname(name, trace):
            return f'{name} is no nickname yet: write it between quotes, mb.learner("{name}").'
        return f"{name!r} is not known yet. {RUN_ABOVE} Or look for a slip in its spelling."
    if isinstance(error, ValueError | AttributeError | KeyError) and _came_from_us(error, trace):
        return " ".join(str(error).split())
    return None


def _came_from_us(error, trace):
    """Whether the error was raised in mechbench, with a sentence of its own."""
    frames = traceback.extract_tb(trace)
    if not frames or "mechbench" not in frames[-1].filename.replace("\\", "/").split("/"):
        return False
    return isinstance(error, ValueError) or frames[-1].name in LOOK_UP


def _stands_as_nickname(name, trace):
    """Whether the line that failed gives this name, without quotes, as the learner's."""
    frames = traceback.extract_tb(trace)
    return bool(frames) and bool(re.search(rf"\blearner\( *(?:name *= *)?{re.escape(name)}\b", frames[-1].line or ""))
