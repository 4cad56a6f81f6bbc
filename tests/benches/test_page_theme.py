"""Whether JupyterLab's page is light or dark is read where JupyterLab keeps it."""

import pytest

from mechbench.benches import page_theme

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
    monkeypatch.delenv("JUPYTERLAB_SETTINGS_DIR", raising=False)
    monkeypatch.setenv("JUPYTER_CONFIG_DIR", str(tmp_path))

    def write(text, folder=tmp_path / "lab" / "user-settings"):
        place = folder / page_theme.THEME
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))

    return write


def test_without_a_choice_the_page_is_light(choose):
    assert page_theme.look() == "light"


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
