import json
import sys
from pathlib import Path

import pytest

from mechbench.launch import keyboard_shortcuts


@pytest.fixture
def written(tmp_path):
    keyboard_shortcuts.write(tmp_path, sys.executable)
    whole = json.loads((tmp_path / keyboard_shortcuts.OVERRIDES).read_text("utf-8"))
    return whole["@jupyterlab/shortcuts-extension:shortcuts"]["shortcuts"]


def test_arrows_and_letters_work_on_the_cell_alone(written):
    moved = {shortcut["keys"][0] for shortcut in written if shortcut["selector"] == keyboard_shortcuts.ON_CELL}
    assert {"ArrowDown", "ArrowUp", "ArrowLeft", "ArrowRight", "A", "B", "D", "M", "X", "Z"} <= moved
    off = {shortcut["keys"][0] for shortcut in written if shortcut.get("disabled")}
    assert off == moved and all(s["selector"] == keyboard_shortcuts.ANYWHERE for s in written if s.get("disabled"))


def test_keys_that_lead_out_and_keys_with_control_stay(written):
    assert not [s for s in written if s["keys"][0] in ("J", "K") or s["keys"][0].startswith(("Accel", "Ctrl", "Alt"))]


def test_a_jupyterlab_that_is_built_otherwise_keeps_its_keys(tmp_path):
    keyboard_shortcuts.write(tmp_path / "none", tmp_path / "bin" / "python")
    schema = tmp_path / keyboard_shortcuts.SCHEMA
    schema.parent.mkdir(parents=True)
    for text in ("{", "{}"):
        schema.write_text(text)
        keyboard_shortcuts.write(tmp_path / "none", tmp_path / "bin" / "python")
    assert not Path(tmp_path / "none").exists()
