"""What is said where the browser or its driver is not there."""

from mechbench.launch import chromium
from tests.browser.jupyterlab import missing


def test_what_is_missing_is_named(monkeypatch):
    monkeypatch.setattr(chromium, "find", lambda: chromium.Chromium("", ""))
    assert (
        "Chromium and chromedriver was not found" in missing()
        or "Chromium and chromedriver were not found" in missing()
    )
    monkeypatch.setattr(chromium, "find", lambda: chromium.Chromium("a", "b"))
    assert missing() == ""
