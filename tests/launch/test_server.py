import http.server
import json
import sys
import threading
from pathlib import Path

import pytest

from mechbench.launch import server
from mechbench.launch.places import ROOT


@pytest.fixture
def answering():
    """A stand-in for a server: it answers /api/status to the right token."""

    class Handler(http.server.BaseHTTPRequestHandler):
        def do_GET(self):
            right = self.path == "/api/status" and self.headers["Authorization"] == "token secret"
            self.send_response(200 if right else 403)
            self.end_headers()

        def log_message(self, *_):
            pass

    web = http.server.HTTPServer(("127.0.0.1", 0), Handler)
    threading.Thread(target=web.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{web.server_port}/"
    web.shutdown()
    web.server_close()


def write(own, url, token="secret", name="jpserver-12.json"):
    server.runtime(own).mkdir(parents=True, exist_ok=True)
    (server.runtime(own) / name).write_text(json.dumps({"pid": 12, "url": url, "token": token, "root_dir": "/w"}))


def test_a_server_that_answers_is_found_from_its_own_file(tmp_path, answering):
    write(tmp_path, answering)
    assert server.running(tmp_path) == server.Running(12, answering, "secret")


def test_a_proxy_of_the_network_is_not_asked_about_the_own_machine(tmp_path, answering, monkeypatch):
    monkeypatch.setenv("http_proxy", "http://127.0.0.1:9/")
    monkeypatch.delenv("no_proxy", raising=False)
    write(tmp_path, answering)
    assert server.running(tmp_path)


def test_a_file_left_behind_by_a_crash_is_no_server(tmp_path, answering):
    write(tmp_path, "http://127.0.0.1:9/")
    assert server.running(tmp_path) is None
    write(tmp_path, answering, token="of another server on the same port")
    assert server.running(tmp_path) is None
    write(tmp_path, answering, name="jpserver-13.json")
    assert server.running(tmp_path)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        "{}",
        '{"pid": "x", "url": "http://127.0.0.1:9/", "token": ""}',
        '{"pid": 1, "url": "u", "token": "t"}',
    ],
)
def test_a_half_written_file_is_no_server(tmp_path, text):
    server.runtime(tmp_path).mkdir()
    (server.runtime(tmp_path) / "jpserver-1.json").write_text(text)
    assert server.running(tmp_path) is None


def test_the_address_opens_the_lesson():
    found = server.Running(1, "http://localhost:8889/", "ab+c")
    assert found.address("00 start.ipynb") == "http://localhost:8889/lab/tree/00%20start.ipynb?token=ab%2Bc"


def test_the_command_line_keeps_off_the_network():
    line = server.command("/v/bin/python", "/w", as_root=False)
    assert line[:3] == ["/v/bin/python", str(ROOT / "mechbench" / "own_jupyter.py"), "lab"]
    assert server.OWN_JUPYTER.is_file()
    assert "--LabApp.extension_manager=readonly" in line
    assert server.PAGE["disabledExtensions"]["@jupyterlab/apputils-extension:announcements"] is True
    assert "--allow-root" not in line and "--allow-root" in server.command("/v/bin/python", "/w", as_root=True)


def test_the_settings_of_other_jupyters_and_pythons_do_not_reach_ours(tmp_path):
    foreign = "PYTHONPATH PYTHONHOME PYTHONSTARTUP JUPYTER_CONFIG_PATH JUPYTER_PATH JUPYTER_TOKEN JUPYTER_NO_CONFIG"
    foreign += " JUPYTER_GATEWAY_URL JUPYTERLAB_DIR JUPYTERHUB_API_TOKEN IPYTHON_USE_PROGRAMDATA JPY_PARENT_PID"
    ours = {"JUPYTER_CONFIG_DIR": "config", "JUPYTER_DATA_DIR": "data", "IPYTHONDIR": "ipython"}
    found = server.settings(tmp_path, {**dict.fromkeys([*foreign.split(), *ours], "/x"), "HOME": "/home/ana"})
    assert not found.keys() & set(foreign.split())
    assert found["HOME"] == "/home/ana"
    assert {name: found[name] for name in ours} == {name: str(tmp_path / folder) for name, folder in ours.items()}
    assert found["JUPYTER_PREFER_ENV_PATH"] == "0"  # our folders first, then those of .venv


def test_what_was_taken_over_from_very_old_notebooks_goes_and_what_the_learner_chose_stays(tmp_path):
    chosen = tmp_path / "config" / "lab" / "user-settings" / "theme"
    chosen.parent.mkdir(parents=True)
    chosen.touch()
    (tmp_path / "config" / "jupyter_notebook_config.py").touch()
    server.prepare(sys.executable, tmp_path)
    assert chosen.exists() and not (tmp_path / "config" / "jupyter_notebook_config.py").exists()


def test_a_notebooks_python_is_what_the_packages_say_but_begins_in_our_way(tmp_path):
    server.prepare(sys.executable, tmp_path)
    theirs = Path(sys.prefix, "share", "jupyter", "kernels", "python3")
    ours = tmp_path / "data" / "kernels" / "python3"
    spec = json.loads((ours / "kernel.json").read_text())
    assert spec["argv"] == [sys.executable, str(server.OWN_JUPYTER), "kernel", "-f", "{connection_file}"]
    assert {**json.loads((theirs / "kernel.json").read_text()), "argv": spec["argv"]} == spec
    assert {file.name for file in theirs.iterdir()} == {file.name for file in ours.iterdir()}


def test_each_start_has_a_token_of_its_own(tmp_path):
    tokens = set()
    for _ in range(3):
        server.prepare(sys.executable, tmp_path)
        tokens.add((server.runtime(tmp_path) / server.TOKEN).read_text())
    assert len(tokens) == 3 and min(map(len, tokens)) >= 32


@pytest.mark.parametrize(
    "platform, environ, screen",
    [
        ("win32", {}, True),
        ("darwin", {}, True),
        ("linux", {}, False),
        ("linux", {"DISPLAY": ""}, False),
        ("linux", {"DISPLAY": ":0"}, True),
        ("linux", {"WAYLAND_DISPLAY": "wayland-0"}, True),
        ("linux", {"BROWSER": "a-browser"}, True),
    ],
)
def test_a_browser_is_opened_only_where_there_is_a_screen(platform, environ, screen):
    assert server.has_screen(platform, environ) is screen
