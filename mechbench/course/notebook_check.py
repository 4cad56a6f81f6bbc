"""The second half of the command `check`, inside .venv: packages, kit, progress file, kernel, widgets, a slider's way.

    python -m mechbench.course.notebook_check "numpy>=1.26,<3" ...     the packages that are needed; exit code 0 when
    all is well

A notebook's Python (its kernel) is started as JupyterLab starts it. Then a bench is opened in it, its first slider is
moved as a browser would, and its picture has to come back changed. Nothing is left behind.
"""

import shutil
import sys
import tempfile
import time
import uuid
from contextlib import contextmanager, suppress
from importlib import metadata
from pathlib import Path
from queue import Empty

from jupyter_client.kernelspec import NoSuchKernel
from jupyter_client.manager import KernelManager
from jupyter_core.paths import jupyter_path
from packaging.requirements import Requirement

from mechbench.course import kit_rows, offered, progress
from mechbench.course.progress import Attempt, Store
from mechbench.kits import kit
from mechbench.kits.faults import Faults, KitError
from mechbench.kits.load import passed_over
from mechbench.whole_robot.build import build

BENCH = "import mechbench\nmechbench.bench('motor')"
WIDGETS_IN_THE_PAGE = Path("@jupyter-widgets", "jupyterlab-manager", "package.json")
START_SECONDS, ANSWER_SECONDS = 60, 30
FAULTS = (OSError, ValueError, RuntimeError, LookupError, ImportError, NoSuchKernel)


class Fault(Exception):
    """What is wrong and the way out, in one sentence."""


def main(needed):
    """Do every check and show one line for each; give the exit code."""
    passed = [
        _told("Versions", lambda: versions(needed)),
        _told("Kit", kit_and_exercises),
        _told("Answers", progress_file),
        _told("Widgets", widgets_in_the_page),
    ]
    with tempfile.TemporaryDirectory(prefix="mechbench-check-") as scratch:
        with _kernel(Path(scratch)) as (kernel, fault):
            passed.append(_told("Kernel", lambda: kernel_answers(kernel, fault)))
            if passed[-1]:
                passed.append(_told("Slider", lambda: slider_moves_picture(kernel)))
    return 0 if all(passed) else 1


def _told(name, look):
    """Show one line; what is not foreseen is shown too, and counts as not well."""
    try:
        sign, words = "ok    ", look()
    except KitError as error:
        sign, words = "NOT OK", f"{len(error.faults)} to mend in your kit's files:" if error.faults[1:] else str(error)
        words = "\n        ".join([words, *error.faults]) if error.faults[1:] else words
    except Fault as fault:  # a whole sentence already
        sign, words = "NOT OK", str(fault)
    except FAULTS as error:
        sign, words = "NOT OK", f"{type(error).__name__}: {' '.join(str(error).split())[:300]}."
    print(f"{sign}  {name}: {words}", flush=True)
    return sign == "ok    "


# --- packages, kit, answers ----------------------------------------------------------------------------------------


def versions(needed):
    """Compare what is installed with what is asked for."""
    found = []
    for line in needed:
        asked = Requirement(line)
        try:
            there = metadata.version(asked.name)
        except metadata.PackageNotFoundError:
            raise Fault(f"{asked.name} is missing: type start again, which puts it right.") from None
        if not asked.specifier.contains(there, prereleases=True):
            raise Fault(
                f"{asked.name} is {there}, but {asked.specifier} is asked for: type start again, which puts it right."
            )
        found.append(f"{asked.name} {there}")
    return ", ".join(found)


def kit_and_exercises():
    """Read the kit in force, build its robots, and make the numbers of every exercise from it."""
    chosen, faults = kit(), Faults()
    for plan in chosen.robots:
        with faults.caught():
            build(plan.name, chosen)
    faults.tell()
    offer = offered.of_lesson(kit=chosen)
    exercises = offer.exercises
    for exercise in exercises:
        try:
            kit_rows.made(exercise, chosen)
        except (ValueError, LookupError, ArithmeticError) as error:
            raise Fault(
                f"{chosen.name} can be read, but {exercise.id} can't take its numbers from it ({error})."
            ) from None
    told = [f"{chosen.name} ({chosen.digest}), {len(exercises)} exercises, in {chosen.folder}"]
    if passed_over():
        told.append(passed_over())
    if offer.left_out:
        told.append(offered.left_out_line(offer))
    if chosen.borrowed:
        told.append(f"The kit has none of these, so they are the course's own: {', '.join(chosen.borrowed)}.")
    return "\n        ".join([*told, *(f"Look: {note}" for note in chosen.notes)])


def progress_file():
    """Keep an answer where answers are kept and read it back, in a folder of its own; look at the real file too."""
    home = progress.folder()
    was_there = home.exists()
    trial = home / f"check-{uuid.uuid4().hex}"
    try:
        _there_and_back(Store(trial))
    finally:
        shutil.rmtree(trial, ignore_errors=True)
        if not was_there:
            with suppress(OSError):
                home.rmdir()
    count = len(Store(home).learners())
    return f"kept in {home} and read back; {count} learner{'s' * (count != 1)} there"


def _there_and_back(store):
    learner = store.learner("check")
    sent = Attempt(exercise="check", revision=1, kit_digest="check", raw="1 N·m", state="right")
    receipt = store.record(learner, sent)
    back = store.attempts(learner)
    if not receipt.confirmed or [one.raw for one in back] != [sent.raw]:
        raise Fault(f"an answer could not be kept: {receipt.message} Or set MECHBENCH_HOME to a folder of your own.")


def widgets_in_the_page():
    """Find the part of ipywidgets that JupyterLab loads into the page."""
    for folder in jupyter_path("labextensions"):
        if Path(folder, WIDGETS_IN_THE_PAGE).is_file():
            return f"ipywidgets {metadata.version('ipywidgets')}, and its part in JupyterLab's page"
    raise Fault(
        "the part of ipywidgets that stands in JupyterLab's page is missing: delete .venv and type start again."
    )


# --- the kernel ----------------------------------------------------------------------------------------------------


@contextmanager
def _kernel(scratch):
    """Start a notebook's Python and give (a client for it, ""), or (None, what is wrong)."""
    manager = KernelManager(kernel_name="python3", connection_file=str(scratch / "kernel.json"))
    client = None
    try:
        try:
            # The kernel warns that it talks in plain text, which it does with this machine only.
            quiet = ["--log-level=ERROR", "--HistoryManager.enabled=False"]
            manager.start_kernel(cwd=str(scratch), extra_arguments=quiet)
            client = manager.blocking_client()
            client.start_channels()
            client.wait_for_ready(timeout=START_SECONDS)
            fault = ""
        except FAULTS as error:
            fault = f"a notebook's Python does not start ({error}): type start again, or delete .venv and start."
        yield client, fault
    finally:
        if client is not None:
            client.stop_channels()
        if manager.has_kernel:
            manager.shutdown_kernel(now=True)


def kernel_answers(kernel, fault=""):
    """Let the notebook's Python say which one it is: it has to be this one."""
    if fault:
        raise Fault(fault)
    begun = time.perf_counter()
    said = _run(kernel, "import sys; sys.prefix")
    shown = next((m["content"]["data"]["text/plain"] for m in said if m["msg_type"] == "execute_result"), "")
    if shown != repr(sys.prefix):
        raise Fault(
            f"notebooks run in another Python ({shown}): set JUPYTER_PREFER_ENV_PATH=1, or use the command start."
        )
    return f"answers in {1000 * (time.perf_counter() - begun):.0f} ms"


def slider_moves_picture(kernel):
    """Open a bench, move its first slider as a browser does, and wait for its picture to change."""
    opened = _run(kernel, BENCH)
    states = {m["content"]["comm_id"]: m["content"]["data"]["state"] for m in opened if m["msg_type"] == "comm_open"}
    slider, picture = (
        next((id for id, state in states.items() if state.get("_model_name") == model), None)
        for model in ("FloatSliderModel", "ImageModel")
    )
    before = _pictures(opened, picture)
    if not slider or not before:
        raise Fault("a bench opens without a slider or without a picture: delete .venv and type start again.")
    begun = time.perf_counter()
    after = _pictures(_move(kernel, slider, states[slider]), picture)
    if not after or after[-1] == before[-1]:
        raise Fault("a slider was moved, but its picture did not change: delete .venv and type start again.")
    return f"moved, and the picture changed after {1000 * (time.perf_counter() - begun):.0f} ms"


def _pictures(messages, picture):
    """The pictures that were sent to a page, in order."""
    sent = [m for m in messages if m["msg_type"] in ("comm_open", "comm_msg") and m["content"]["comm_id"] == picture]
    return [bytes(m["buffers"][0]) for m in sent if ["value"] in m["content"]["data"].get("buffer_paths", ())]


def _move(kernel, slider, state):
    value = state["min"] if state["value"] != state["min"] else state["max"]
    data = {"method": "update", "state": {"value": value}, "buffer_paths": []}
    message = kernel.session.msg("comm_msg", {"comm_id": slider, "data": data})
    kernel.shell_channel.send(message)
    return _told_about(kernel, message["header"]["msg_id"])


def _run(kernel, code):
    # Else the kernel throws away what is asked right after an error.
    return _told_about(kernel, kernel.execute(code, stop_on_error=False))


def _told_about(kernel, asked):
    """Collect what the kernel tells everyone about one message until it has done it; an error in it is a Fault."""
    said = []
    end = time.monotonic() + ANSWER_SECONDS
    while time.monotonic() < end:
        try:
            message = kernel.get_iopub_msg(timeout=max(0.01, end - time.monotonic()))
        except Empty:
            break
        if message["parent_header"].get("msg_id") != asked:
            continue
        if message["msg_type"] == "error":
            raise Fault(
                f"a notebook's Python stops with {message['content']['ename']} ({message['content']['evalue']})."
            )
        if message["msg_type"] == "status" and message["content"]["execution_state"] == "idle":
            return said
        said.append(message)
    raise Fault(f"a notebook's Python gave no answer within {ANSWER_SECONDS} s: close other programs and try again.")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
