"""A bench opens with the picture that goes with JupyterLab's theme; who chooses a picture keeps it."""

import pytest

import mechbench as mb
from mechbench.benches import page_theme
from mechbench.benches.bench import Bench

# As JupyterLab 4 writes it: comments, then what the user chose.
DARK = """{
    // Theme
    // @jupyterlab/apputils-extension:themes
    // *************************************

    // Selected Theme
    // "theme": "JupyterLab Light"
    "adaptive-theme": false,
    "theme": "JupyterLab Dark"
}"""


@pytest.fixture
def choose(tmp_path, monkeypatch):
    """Keep a text as JupyterLab's own setting of its theme."""
    monkeypatch.setattr(Bench, "_chosen", {"system": "metric", "look": None})
    monkeypatch.delenv("JUPYTERLAB_SETTINGS_DIR", raising=False)
    monkeypatch.setenv("JUPYTER_CONFIG_DIR", str(tmp_path))

    def write(text, folder=tmp_path / "lab" / "user-settings"):
        place = folder / page_theme.THEME
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))

    return write


def test_without_a_choice_the_page_is_light(choose):
    assert page_theme.look() == "light"
    assert mb.bench("trips")._look == "light"


@pytest.mark.parametrize(
    "text, look",
    [
        (DARK, "dark"),
        ('{"theme": "JupyterLab Dark High Contrast"}', "dark"),
        (DARK.replace("JupyterLab Dark", "JupyterLab Light"), "light"),
        ('{\n // "theme": "JupyterLab Dark"\n}', "light"),
        ("{}", "light"),
        ("", "light"),
        (b"\xff\xfe\x00", "light"),
    ],
)
def test_the_theme_that_was_chosen_tells_the_look(choose, text, look):
    choose(text)
    assert page_theme.look() == look


def test_settings_in_a_folder_of_their_own(choose, tmp_path, monkeypatch):
    choose(DARK, tmp_path / "elsewhere")
    assert page_theme.look() == "light"
    monkeypatch.setenv("JUPYTERLAB_SETTINGS_DIR", str(tmp_path / "elsewhere"))
    assert page_theme.look() == "dark"


def test_benches_follow_the_theme_until_somebody_chooses_a_picture(choose):
    choose(DARK)
    first = mb.bench("trips")
    assert first._look == "dark" and first._screen.picture.look.name == "dark"
    first._switch("look", "light")
    assert mb.bench("trips")._look == "light"
