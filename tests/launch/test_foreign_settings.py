"""Foreign settings of Jupyter, IPython and Python, one hostile file in each place where one is looked for, and a real
JupyterLab started beside them.

Each file says in a folder that it was obeyed, and then opens the server to everybody: another address, no token, every
page of the world. The control starts JupyterLab in the plain way and sees that the files do what they say. The folders
of the whole system (in /etc and /usr) are not written to: a Python of the tests' own puts hostile ones in their place,
before JupyterLab or a notebook's Python begins.
"""

import json
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest
from jupyter_client.blocking import BlockingKernelClient

from mechbench.launch import server, workfolder
from mechbench.launch.places import ROOT, Places

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="modes of files, and a Python that is a script")

EVIL = "https://evil.example"
PATIENCE = 120  # s; ends only what hangs

# A file of settings is a program: what it does is seen by the file that it leaves.
OPEN = """
open({said!r}, "w").close()
c.ServerApp.ip = "0.0.0.0"
c.ServerApp.port = 0
c.ServerApp.allow_root = True
c.ServerApp.allow_origin = "*"
c.ServerApp.allow_remote_access = True
c.ServerApp.disable_check_xsrf = True
c.IdentityProvider.token = ""
c.ServerApp.token = ""
"""
SAY = "open({said!r}, 'w').close()\n"
PYTHON = """#!{python}
import runpy, site, sys
from IPython.core import application
from jupyter_core import paths
paths.SYSTEM_CONFIG_PATH[:] = [{etc!r} + "/jupyter"]
paths.SYSTEM_JUPYTER_PATH[:] = [{etc!r} + "/share"]
application.SYSTEM_CONFIG_DIRS[:] = [{etc!r} + "/ipython"]
site.ENABLE_USER_SITE = True  # as it is outside a virtual environment
first, *sys.argv = sys.argv[1:] if sys.argv[1] != "-m" else sys.argv[1:]
if first == "-m":
    runpy.run_module(sys.argv[0], run_name="__main__", alter_sys=True)
else:
    sys.argv = [first, *sys.argv]
    sys.path.insert(0, "to be taken away, as the script's own folder is")
    runpy.run_path(first, run_name="__main__")
"""
SERVER = "jupyter_server_config.py"
IPYTHON = Path("profile_default", "ipython_config.py")
STARTUP = Path("profile_default", "startup", "00.py")
# name of the attack -> file, what it holds
SERVER_FILES = {
    "JUPYTER_CONFIG_PATH": ("path/" + SERVER, OPEN),
    "JUPYTER_CONFIG_DIR": ("dir/" + SERVER, OPEN),
    "JUPYTER_CONFIG_DIR for all": ("dir/jupyter_config.py", OPEN),
    "home": ("home/.jupyter/" + SERVER, OPEN),
    "user's site": ("site/etc/jupyter/" + SERVER, OPEN),
    "system": ("etc/jupyter/" + SERVER, OPEN),
    "old notebooks in the home": ("home/.ipython/profile_default/ipython_notebook_config.py", OPEN),
}
KERNEL_FILES = {
    "IPYTHONDIR": (Path("ipython", IPYTHON), SAY),
    "IPYTHONDIR startup": (Path("ipython", STARTUP), SAY),
    "home IPython": (Path("home/.ipython", IPYTHON), SAY),
    "home IPython startup": (Path("home/.ipython", STARTUP), SAY),
    "system IPython": (Path("etc/ipython", IPYTHON.name), SAY),
    "system IPython startup": (Path("etc/ipython/startup/00.py"), SAY),
    "PYTHONSTARTUP": (Path("startup.py"), SAY),
}
KERNELS = {"JUPYTER_PATH": "JUPYTER_PATH", "home": "home/.local/share/jupyter"}
# What is not looked for where the environment names folders, and what where it names none.
ELSEWHERE = {"all": {"home", "old notebooks in the home"}, "home": {"JUPYTER_CONFIG_DIR", "JUPYTER_CONFIG_DIR for all"}}
NAMING = ("JUPYTER_CONFIG_DIR", "JUPYTER_PATH", "IPYTHONDIR")


class Trap:
    """A folder full of hostile settings, the environment that points at them, and who of them was obeyed."""

    def __init__(self, folder):
        self.folder, self.said = folder, folder / "said"
        self.said.mkdir()
        for name, (file, text) in {**SERVER_FILES, **KERNEL_FILES}.items():
            self.write(file, text.format(said=str(self.said / name)))
        for place in KERNELS:
            run = [sys.executable, "-c", SAY.format(said=str(self.said / f"kernel in {place}"))]
            spec = {"argv": run, "display_name": "evil", "language": "python"}
            self.write(f"{KERNELS[place]}/kernels/python3/kernel.json", json.dumps(spec))
        self.python = self.write("python", PYTHON.format(python=sys.executable, etc=str(folder / "etc")))
        self.python.chmod(0o755)

    def write(self, file, text):
        path = self.folder / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
        return path

    @property
    def environ(self):
        folder = str(self.folder)
        return {
            "HOME": folder + "/home",
            "PYTHONUSERBASE": folder + "/site",
            "PYTHONSTARTUP": folder + "/startup.py",
            "JUPYTER_CONFIG_PATH": folder + "/path",
            "JUPYTER_CONFIG_DIR": folder + "/dir",
            "JUPYTER_PATH": folder + "/JUPYTER_PATH",
            "IPYTHONDIR": folder + "/ipython",
            "JUPYTER_TOKEN": "foreign",
            "JUPYTER_PORT": "1",
            "JUPYTER_PREFER_ENV_PATH": "0",
            "JUPYTER_ALLOW_UNAUTHENTICATED_ACCESS": "true",
        }

    @property
    def obeyed(self):
        return {path.name for path in self.said.iterdir()}


def ask(found, path, token="", origin="", data=None, opener=urllib.request.build_opener()):
    """Ask the server; give its code, its headers and what it said."""
    given = {"Authorization": token and f"token {token}", "Origin": origin}
    question = urllib.request.Request(found.url + path, data, {name: text for name, text in given.items() if text})
    try:
        with opener.open(question, timeout=PATIENCE) as answer:
            return answer.status, answer.headers, answer.read()
    except urllib.error.HTTPError as error:
        return error.code, error.headers, b""


@contextmanager
def new_kernel(found, own):
    """Start a notebook's Python as JupyterLab does, and give a client for it."""
    code, _, said = ask(found, "api/kernels", found.token, data=b'{"name": "python3"}')
    assert code == 201
    name = json.loads(said)["id"]
    kernel = BlockingKernelClient(connection_file=str(server.runtime(own) / f"kernel-{name}.json"))
    kernel.load_connection_file()
    kernel.start_channels()
    try:
        _wait_for(kernel)
        yield kernel
    finally:
        kernel.stop_channels()


def _wait_for(kernel, tries=10):
    """Wait until it answers; on a busy machine a heartbeat that comes late is taken for death."""
    for left in reversed(range(tries)):
        try:
            return kernel.wait_for_ready(timeout=PATIENCE)
        except RuntimeError:
            if not left:
                raise


def value(kernel, expression):
    answer = kernel.execute("", user_expressions={"v": expression}, reply=True, timeout=PATIENCE)
    return answer["content"]["user_expressions"]["v"]["data"]["text/plain"]


@pytest.fixture(scope="module")
def trapped(tmp_path_factory):
    """A JupyterLab that the launcher started amid hostile settings, with one notebook's Python."""
    trap = Trap(tmp_path_factory.mktemp("trap"))
    where = Places(ROOT, trap.folder / ".venv", trap.folder / "work")
    where.own.mkdir(parents=True)
    workfolder.bring(where)
    # What lies beside the lessons is not taken for a part of JupyterLab.
    trap.write("work/" + SERVER, OPEN.format(said=str(trap.said / "work folder")))
    trap.write("work/tornado.py", SAY.format(said=str(trap.said / "a module in the work folder")) + "raise SystemExit")
    trap.write("work/mine.py", "ANSWER = 42\n")
    with pytest.MonkeyPatch.context() as patch:
        for name, setting in trap.environ.items():
            patch.setenv(name, setting)
        process, found = server.begin(trap.python, where)
    try:
        yield trap, where, process, found
    finally:
        process.terminate()
        process.wait()


@pytest.fixture(scope="module")
def kernel(trapped):
    """A notebook's Python of that JupyterLab."""
    _, where, _, found = trapped
    with new_kernel(found, where.own) as client:
        yield client


@pytest.mark.parametrize("looked, kernel", [("all", "JUPYTER_PATH"), ("home", "home")])
def test_the_files_do_what_they_say_where_jupyterlab_is_started_in_the_plain_way(tmp_path, looked, kernel):
    trap = Trap(tmp_path)
    own = {"JUPYTER_RUNTIME_DIR": str(server.runtime(tmp_path)), "JUPYTER_PORT": "0"}
    environ = {**os.environ, **trap.environ, **own}
    for name in ("JUPYTER_TOKEN", *(NAMING if looked == "home" else ())):
        del environ[name]
    line = [str(trap.python), "-m", "jupyterlab", "--no-browser", "--allow-root"]
    with open(tmp_path / server.LOG, "w") as log:
        process = subprocess.Popen(line, cwd=tmp_path, env=environ, stdout=log, stderr=log)
    try:
        found = server._wait(process, tmp_path)
        code, headers, _ = ask(found, "api/contents", origin=EVIL)
        assert (code, headers["Access-Control-Allow-Origin"], found.token) == (200, "*", "")
        expected = SERVER_FILES.keys() - ELSEWHERE[looked] | {f"kernel in {kernel}"}
        assert ask(found, "api/kernels", data=b'{"name": "python3"}')[0] == 201
        end = time.monotonic() + PATIENCE
        while trap.obeyed != expected and time.monotonic() < end:  # a hostile kernel begins a little later
            time.sleep(0.1)
    finally:
        process.terminate()
        process.wait()
    assert trap.obeyed == expected


@pytest.mark.parametrize("without", ["", "IPYTHONDIR"])
def test_the_files_do_what_they_say_where_ipython_is_started_in_the_plain_way(tmp_path, without):
    trap = Trap(tmp_path)
    environ = {name: setting for name, setting in {**os.environ, **trap.environ}.items() if name != without}
    line = [str(trap.python), "-m", "IPython", "--simple-prompt"]
    subprocess.run(line, cwd=tmp_path, env=environ, check=True, input="exit\n", text=True, stdout=subprocess.DEVNULL)
    elsewhere = {name for name in KERNEL_FILES if name.startswith("IPYTHONDIR" if without else "home")}
    assert trap.obeyed == KERNEL_FILES.keys() - elsewhere


def test_no_hostile_file_was_obeyed(trapped, request):
    trap, *_ = trapped
    assert trap.obeyed == set()
    request.getfixturevalue("kernel")
    assert trap.obeyed == set()


def test_the_address_is_this_machine_alone(trapped):
    _, _, _, found = trapped
    host, port = found.url.removeprefix("http://").rstrip("/").split(":")
    assert host == "127.0.0.1" and int(port) > 1023
    with socket.create_connection((host, int(port)), timeout=PATIENCE):
        pass
    if sys.platform.startswith("linux"):  # where all of 127.0.0.0/8 is this machine: a server on 0.0.0.0 would answer
        with pytest.raises(ConnectionRefusedError):
            socket.create_connection(("127.0.0.2", int(port)), timeout=PATIENCE)


def test_nothing_is_shown_without_the_token(trapped):
    _, _, _, found = trapped
    assert len(found.token) >= 32
    for token, code in ((found.token, 200), ("", 403), ("foreign", 403)):
        assert [ask(found, path, token)[0] for path in ("api/status", "api/contents")] == [code, code]


def test_no_other_page_is_let_in(trapped):
    _, _, _, found = trapped
    # A browser that is signed in: it has the cookie, and sends it along whatever page asks.
    browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
    assert ask(found, f"lab?token={found.token}", opener=browser)[0] == 200
    assert ask(found, "api/contents", opener=browser)[0] == 200
    for path, data in (("api/contents", None), ("api/kernels", b"{}")):
        code, headers, said = ask(found, path, origin=EVIL, data=data, opener=browser)
        assert code in (403, 404) and said == b""
        assert not [name for name in headers if name.startswith("Access-Control-Allow")]


def command_lines():
    """Give what every user can see of the processes of this machine."""
    if sys.platform.startswith("linux"):  # where ps reads it, if it is there
        found = []
        for file in Path("/proc").glob("[0-9]*/cmdline"):
            with suppress(OSError):  # it has just ended
                found.append(file.read_bytes().replace(b"\0", b" ").decode("utf-8", "replace"))
        return "\n".join(found)
    return subprocess.run(["ps", "axww", "-o", "args"], capture_output=True, text=True, check=True).stdout


def test_the_token_is_in_no_list_of_processes_and_not_in_a_notebooks_surroundings(trapped, kernel):
    _, _, _, found = trapped
    listed = command_lines()
    assert "own_jupyter.py" in listed and found.token not in listed
    assert value(kernel, f"{found.token!r} in str(dict(__import__('os').environ))") == "False"


def mode(path):
    return path.stat().st_mode & 0o777


def test_others_on_this_computer_can_read_nothing(trapped, kernel):
    _, where, _, found = trapped
    assert [mode(folder) for folder in (where.work, where.own, server.runtime(where.own))] == [0o700] * 3
    telling = [
        path
        for path in where.own.rglob("*")
        if path.is_file() and (found.token.encode() in path.read_bytes() or path.name == server.LOG)
    ]
    assert len(telling) >= 3 and {mode(path) for path in telling} == {0o600}


def test_a_notebooks_python_is_ours_sees_the_learners_files_and_keeps_no_history(trapped, kernel):
    trap, where, _, _ = trapped
    assert value(kernel, "__import__('mine').ANSWER") == "42"
    kernel.execute("secret_of_ana = 1", store_history=True, reply=True, timeout=PATIENCE)
    assert value(kernel, "get_ipython().history_manager.enabled") == "False"
    assert value(kernel, "_ih[-1]") == "'secret_of_ana = 1'"  # within the notebook it is there
    kernel.execute("get_ipython().history_manager.writeout_cache()", reply=True, timeout=PATIENCE)
    assert not list(trap.folder.rglob("history.sqlite*"))
    assert value(kernel, "get_ipython().ipython_dir") == repr(str(where.own / "ipython"))
