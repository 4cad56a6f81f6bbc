import pytest

from mechbench.launch import chromium


def find(platform, on_path=(), on_disk=(), environ=None):
    return chromium.find(
        environ or {},
        platform,
        which=lambda name: f"/bin/{name}" if name in on_path else None,
        exists=lambda path: path in on_disk,
    )


def test_on_path():
    found = find("linux", on_path=["chromium-browser", "chromedriver"])
    assert found and found == chromium.Chromium("/bin/chromium-browser", "/bin/chromedriver")


def test_the_usual_place_of_macos():
    path = "/Applications/Chromium.app/Contents/MacOS/Chromium"
    assert find("darwin", ["chromedriver"], [path]).browser == path


def test_the_usual_place_of_windows():
    path = r"C:\Program Files\Chromium\Application\chrome.exe"
    assert find("win32", ["chromedriver"], [path], {"PROGRAMFILES": r"C:\Program Files"}).browser == path
    path = r"C:\Program Files (x86)\Google\Chrome\Application\chrome.exe"
    assert find("win32", ["chromedriver"], [path], {"PROGRAMFILES(X86)": r"C:\Program Files (x86)"}).browser == path


def test_a_usual_place_of_another_platform_does_not_count():
    assert not find("linux", ["chromedriver"], ["/Applications/Chromium.app/Contents/MacOS/Chromium"]).browser


@pytest.mark.parametrize(
    "on_path, missing",
    [
        ([], "Chromium and chromedriver were not found"),
        (["chromium"], "chromedriver was"),
        (["chromedriver"], "Chromium was"),
    ],
)
@pytest.mark.parametrize("platform", ["linux", "darwin", "win32", "freebsd14"])
def test_without_one_of_them_it_says_which_and_how_to_get_it(platform, on_path, missing):
    found = find(platform, on_path)
    assert not found
    said = found.missing(platform)
    assert said.startswith(missing) and "install" in said
