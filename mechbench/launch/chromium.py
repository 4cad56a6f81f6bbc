"""The browser that the browser tests drive, and the program that drives it."""

import os
import shutil
import sys
from dataclasses import dataclass

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
DRIVERS = ("chromedriver", "chromium.chromedriver")
USUAL = {
    "darwin": (
        "/Applications/Chromium.app/Contents/MacOS/Chromium",
        "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    ),
    "win32": (
        r"%ProgramFiles%\Chromium\Application\chrome.exe",
        r"%ProgramFiles%\Google\Chrome\Application\chrome.exe",
        r"%ProgramFiles(x86)%\Google\Chrome\Application\chrome.exe",
        r"%LocalAppData%\Chromium\Application\chrome.exe",
        r"%LocalAppData%\Google\Chrome\Application\chrome.exe",
    ),
}
HOW = {
    "linux": "on Debian type `sudo apt install chromium chromium-driver`, elsewhere install Chromium and chromedriver",
    "darwin": "install Chromium, and a chromedriver of the same version in a folder of PATH",
    "win32": "install Chromium, and a chromedriver.exe of the same version in a folder of PATH",
}


@dataclass(frozen=True)
class Chromium:
    """Paths of the browser and of the driver; an empty text for what was not found."""

    browser: str
    driver: str

    def __bool__(self):
        return bool(self.browser and self.driver)

    def missing(self, platform=sys.platform):
        """Say what is missing and how to get it."""
        what = " and ".join(
            name for name, path in (("Chromium", self.browser), ("chromedriver", self.driver)) if not path
        )
        verb = "was" if self.browser or self.driver else "were"
        return f"{what} {verb} not found; to run them, {HOW.get(platform, HOW['linux'])}."


def find(environ=os.environ, platform=sys.platform, which=shutil.which, exists=os.path.exists):
    """Find the browser and its driver on PATH, or where this platform usually puts them."""
    browser = next(filter(None, map(which, NAMES)), "")
    usual = [expand(path, environ) for path in USUAL.get(platform, ())]
    browser = browser or next(filter(exists, usual), "")
    driver = next(filter(None, map(which, DRIVERS)), "")
    return Chromium(browser, driver)


def expand(path, environ):
    """Put the values of %NAME% into a Windows path, without regard to case."""
    parts = path.split("%")
    values = {name.lower(): value for name, value in environ.items()}
    return "".join(values.get(part.lower(), "") if i % 2 else part for i, part in enumerate(parts))
