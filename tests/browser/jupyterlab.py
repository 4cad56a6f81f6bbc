"""A real JupyterLab in a real browser, for tests.

Contents: missing, start_browser, wait, Lab (server and browser), Notebook (one open notebook), Control (one slider,
box, list or
button).

    with Lab(folder, scratch) as lab:
        notebook = lab.open("02_gearing.ipynb")
        notebook.run_all()
        torque = notebook.control("Load torque")
        torque.press("right", 3)
        notebook.wait_text("gear-07", "Works")

The server runs in a home folder of its own and the browser can reach nothing but this machine, so a page that asks the
network for something shows an error in `console_errors`.
"""

import base64
import json
import os
import subprocess
import sys
import time
from pathlib import Path

from selenium import webdriver
from selenium.common.exceptions import ElementClickInterceptedException, TimeoutException
from selenium.webdriver.chrome.service import Service
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

from mechbench.launch import chromium, keyboard_shortcuts
from mechbench.launch.server import AT_ONCE

FLAGS = """--headless=new --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking
--disable-component-update --disable-sync --disable-dev-shm-usage --disable-background-timer-throttling
--disable-renderer-backgrounding""".split()
PATIENCE = 300  # s; ends only what hangs, however busy the machine is
ONLY_THIS_MACHINE = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE localhost, EXCLUDE 127.0.0.1"
KEYS = {
    "left": Keys.ARROW_LEFT,
    "right": Keys.ARROW_RIGHT,
    "up": Keys.ARROW_UP,
    "down": Keys.ARROW_DOWN,
    "home": Keys.HOME,
    "end": Keys.END,
    "page up": Keys.PAGE_UP,
    "page down": Keys.PAGE_DOWN,
    "enter": Keys.ENTER,
    "tab": Keys.TAB,
    "space": Keys.SPACE,
    "escape": Keys.ESCAPE,
}


def missing():
    """Say in one sentence what browser tests lack on this machine, or give an empty text."""
    found = chromium.find()
    return "" if found else found.missing()


def start_browser(profile):
    """Start a browser with a fresh profile in a folder; it can reach nothing but this machine, and keeps what pages
    complain of.
    """
    options = webdriver.ChromeOptions()
    found = chromium.find()
    options.binary_location = found.browser
    for flag in (*FLAGS, ONLY_THIS_MACHINE, f"--user-data-dir={profile}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options=options, service=Service(found.driver))
    driver.set_script_timeout(PATIENCE)
    return driver


def wait(look, what, timeout=PATIENCE):
    """Call look() until it gives something true, and give that; a TimeoutError after `timeout` seconds names `what`."""
    end = time.monotonic() + timeout
    while not (answer := look()):
        if time.monotonic() > end:
            raise TimeoutError(f"{what}: not within {timeout:g} s")
        time.sleep(0.05)
    return answer


class Lab:
    """One JupyterLab server and one browser window on it; a context manager.

    folder is what JupyterLab shows as its files; scratch is an empty folder for the home of server and browser;
    env adds to the environment of the server and so of every kernel.
    """

    def __init__(self, folder, scratch, size=(1280, 800), env=None):
        self.folder, self.scratch, self._size, self._env = Path(folder), Path(scratch), size, env or {}
        self.server = self.driver = None

    def __enter__(self):
        try:
            self._start_server()
            self._start_browser()
        except BaseException:
            self.stop()
            raise
        return self

    def __exit__(self, *_):
        self.stop()

    def _environment(self, home, runtime):
        own = {
            "HOME": home,
            "USERPROFILE": home,
            "MECHBENCH_HOME": home / "mechbench",
            "JUPYTER_RUNTIME_DIR": runtime,
            "JUPYTER_CONFIG_DIR": home / "jupyter",
            "JUPYTER_DATA_DIR": home / "data",
            "JUPYTER_PREFER_ENV_PATH": 1,
        }
        return {**os.environ, **{name: str(value) for name, value in own.items()}, **self._env}

    def _start_server(self):
        home, runtime, log = self.scratch / "home", self.scratch / "runtime", self.scratch / "server.log"
        news = home / "jupyter/lab/user-settings/@jupyterlab/apputils-extension/notification.jupyterlab-settings"
        news.parent.mkdir(parents=True)
        news.write_text('{"fetchNews": "false", "checkForUpdates": false}')
        runtime.mkdir()
        keyboard_shortcuts.write(home / "jupyter", sys.executable)
        settings = [
            "--ServerApp.port=0",
            "--ServerApp.ip=127.0.0.1",
            "--ServerApp.allow_root=True",
            "--ServerApp.open_browser=False",
            f"--ServerApp.root_dir={self.folder}",
            "--LabApp.news_url=None",
            "--LabApp.expose_app_in_browser=True",
            "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
            AT_ONCE,
        ]
        command = [sys.executable, "-m", "jupyterlab", *settings]
        with open(log, "w") as out:
            env = self._environment(home, runtime)
            self.server = subprocess.Popen(command, env=env, cwd=self.folder, stdout=out, stderr=subprocess.STDOUT)

        def info():
            if self.server.poll() is not None:
                raise RuntimeError("JupyterLab did not start:\n" + log.read_text()[-2000:])
            found = [p.read_text().strip() for p in runtime.glob("jpserver-*.json")]
            return json.loads(found[0]) if found and found[0].endswith("}") else None

        told = self.wait(info, "start of JupyterLab")
        self.url, self.token = f"http://127.0.0.1:{told['port']}/", told["token"]

    def _start_browser(self):
        self.driver = start_browser(self.scratch / "browser")
        self.resize(*self._size)

    def stop(self):
        """Close the browser and the server with its kernels."""
        if self.driver is not None:
            self.driver.quit()
        if self.server is not None:
            self.server.terminate()
            try:
                self.server.wait(PATIENCE)
            except subprocess.TimeoutExpired:
                self.server.kill()
                self.server.wait()
        self.driver = self.server = None

    def open(self, path, page_anew=True):
        """Open a notebook of the folder by its relative path, with a fresh kernel; kernels of notebooks opened before
        end.

        The page is loaded anew, as a learner's is at first; without that JupyterLab opens the file itself, in a third
        of the time.
        """
        loaded = self.js("return window.jupyterapp !== undefined")
        if loaded:
            self.driver.execute_async_script(_CLOSE)
            self.console_errors()  # what the notebook before had to say ends with it
        if page_anew or not loaded:
            self.driver.get("about:blank")
            self.driver.get(f"{self.url}lab/tree/{path}?reset&token={self.token}")
        else:
            self.command("docmanager:open", {"path": path})
        notebook = Notebook(self, path)
        notebook.wait_kernel()
        return notebook

    def resize(self, width, height):
        """Make the inside of the browser's window that many pixels wide and high."""
        metrics = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)

    def theme(self, name):
        """Switch JupyterLab's own theme: "light" or "dark"."""
        full = {"light": "JupyterLab Light", "dark": "JupyterLab Dark"}[name]
        self.command("apputils:change-theme", {"theme": full})
        is_light = "true" if name == "light" else "false"
        self.wait(lambda: self.js("return document.body.dataset.jpThemeLight") == is_light, f"theme {name}")

    def side_panel(self, shown):
        """Show or hide the list of files at the left."""
        self.js("let s = jupyterapp.shell; arguments[0] ? s.expandLeft() : s.collapseLeft();", shown)

    def press(self, key, times=1):
        """Press a key wherever the page has its focus now."""
        for _ in range(times):
            ActionChains(self.driver).send_keys(KEYS.get(key, key)).perform()

    def command(self, name, args=None):
        """Run a command of JupyterLab by its identifier and wait until it is done."""
        script = """let [name, args, done] = arguments;
            jupyterapp.commands.execute(name, args || {}).then(() => done(''), e => done(String(e)))"""
        try:
            answer = self.driver.execute_async_script(script, name, args)
        except TimeoutException:
            raise TimeoutError(f"JupyterLab's command {name}: not within {PATIENCE} s") from None
        if answer:
            raise RuntimeError(f"JupyterLab's command {name}: {answer}")

    def js(self, script, *args):
        """Run JavaScript in the page and give what it returns."""
        return self.driver.execute_script(script, *args)

    wait = staticmethod(wait)

    def screenshot(self, path):
        """Save what the window shows as PNG."""
        Path(path).write_bytes(base64.b64decode(self.driver.get_screenshot_as_base64()))

    def console_errors(self):
        """Errors that the page wrote to the browser's console since the last call."""
        return [line["message"] for line in self.driver.get_log("browser") if line["level"] == "SEVERE"]


# Closes all notebooks without a question, then ends their kernels.
_CLOSE = """
let done = arguments[0];
for (let panel of [...jupyterapp.shell.widgets('main')]) {
  if (panel.context) panel.context.model.dirty = false;
  panel.dispose();
}
jupyterapp.serviceManager.sessions.shutdownAll().then(done, done);
"""

# Gives the kernel's state, and keeps what kernels report outside cells (a slider's callback that fails, for example).
_KERNEL = """
let panel = window.jupyterapp && jupyterapp.shell.currentWidget, session = panel && panel.sessionContext;
if (!session || !session.session || !session.session.kernel) return '';
if (!panel.heard) {
  panel.heard = [];
  session.iopubMessage.connect((_, m) => {
    let c = m.content;
    if (m.header.msg_type == 'error') panel.heard.push(c.ename + ': ' + c.evalue);
    // The widgets' own question to a kernel that has not loaded them yet is answered by this message;
    // nothing is wrong then.
    let ordinary = /^No such comm/.test(c.text || '');
    if (m.header.msg_type == 'stream' && c.name == 'stderr' && !ordinary) panel.heard.push(c.text);
  });
}
return session.session.kernel.connectionStatus == 'connected' ? session.session.kernel.status : '';
"""

_CELLS = """
return jupyterapp.shell.currentWidget.content.widgets.map(c => ({
  id: c.model.id, type: c.model.type, count: c.model.executionCount || null,
  running: c.model.executionState == 'running',
  outputs: c.model.outputs ? c.model.outputs.toJSON() : []}));
"""

_SHOW = """
let [id, block] = arguments, cell = jupyterapp.shell.currentWidget.content.widgets.find(c => c.model.id == id);
if (!cell) return null;
(cell.node.querySelector('.jp-OutputArea-child') || cell.node).scrollIntoView({block: block});
return cell.node;
"""

# Whole text of a label or button first; then title, placeholder or name for screen readers.
_FIND = r"""
let [root, label] = arguments, seen = e => e.getClientRects().length;
let clean = t => (t || '').replace(/\s+/g, ' ').trim();
let by = (css, text) => [...root.querySelectorAll(css)].filter(e => seen(e) && clean(text(e)) == label);
return [...by('label, .widget-label, button, summary, [role=button], [role=tab]', e => e.innerText),
        ...by('input, select, textarea, button, [role=slider]', e => e.title || e.placeholder || e.ariaLabel)];
"""

_PARTS = """
let [e, css] = arguments, self = 'button, input, select, textarea, summary, [role]';
if (e.matches(self)) return e.matches(css) ? [e] : [];
let block = e.closest('.mechbench-control') || e.closest('.jupyter-widgets') || e.parentElement;
return [...block.querySelectorAll(css)];
"""


class Notebook:
    """One notebook open in JupyterLab. Cells are named by their id (`gear-07`)."""

    def __init__(self, lab, path):
        self.lab, self.path = lab, path

    def wait_kernel(self):
        """Wait until the notebook's kernel is connected and idle."""
        self.lab.wait(lambda: self.lab.js(_KERNEL) == "idle", f"kernel of {self.path}")

    def run_all(self):
        """Run All, then wait until every cell is done; any error raises AssertionError with its text."""
        self.lab.command("notebook:run-all-cells")
        self.lab.wait(lambda: not any(cell["running"] for cell in self.cells()), f"Run All of {self.path}")
        self.wait_kernel()
        if problems := self.errors():
            raise AssertionError(f"{self.path}: " + "; ".join(f"{cell}: {text}" for cell, text in problems))

    def run(self, cell):
        """Run one cell."""
        self.show(cell)
        self.lab.js(
            "let c = jupyterapp.shell.currentWidget.content; c.deselectAll();"
            "c.activeCellIndex = c.widgets.findIndex(x => x.model.id == arguments[0])",
            cell,
        )
        self.lab.command("notebook:run-cell")
        self.wait_kernel()

    def restart(self):
        """Restart the kernel as the menu does, its question answered by yes; nothing is run again."""
        self.lab.js("jupyterapp.commands.execute('notebook:restart-kernel')")
        find = lambda css: self.lab.js("return document.querySelector(arguments[0])", css)
        self.lab.wait(lambda: find(".jp-Dialog .jp-mod-accept"), "question before restart").click()
        self.lab.wait(lambda: not find(".jp-Dialog"), "answer to the question")
        self.wait_kernel()

    def save(self):
        """Save the notebook's file."""
        self.lab.command("docmanager:save")

    def cells(self):
        """All cells: dicts with id, type, count, running and outputs (as in the notebook's file)."""
        return self.lab.js(_CELLS)

    def outputs(self, cell):
        """Outputs of one cell, as in the notebook's file."""
        return next(c["outputs"] for c in self.cells() if c["id"] == cell)

    def errors(self):
        """What went wrong, as (cell id, "page" or "kernel"; text): in cells, in broken widgets, in messages outside
        cells.
        """
        found = [
            (cell["id"], f"{out['ename']}: {out['evalue']}")
            for cell in self.cells()
            for out in cell["outputs"]
            if out["output_type"] == "error"
        ]
        broken = self.lab.js("return document.querySelectorAll('.jupyter-widgets-error-widget').length")
        if broken:
            found.append(("page", f"{broken} widgets that could not be shown"))
        return found + [("kernel", text) for text in self.lab.js("return jupyterapp.shell.currentWidget.heard || []")]

    def show(self, cell, block="start"):
        """Scroll to a cell's output (block: "start", "center", "end") and give the cell's element."""
        node = self.lab.js(_SHOW, cell, block)
        if node is None:
            raise LookupError(f"{self.path} has no cell {cell!r}; it has {[c['id'] for c in self.cells()]}")
        return node

    def text(self, cell):
        """What a reader sees in a cell and its output now, as text."""
        return self.show(cell).text

    def wait_text(self, cell, words):
        """Wait until those words stand in a cell or its output; give the whole text."""
        return self.lab.wait(lambda: text if words in (text := self.text(cell)) else None, f"{words!r} in {cell}")

    def control(self, label, cell=None, place=0, timeout=PATIENCE):
        """Find a slider, box, list or button by the label that a reader sees; with `cell`, in that cell only.

        Where several bear the label, `place` counts them from 0.
        """

        def look():
            found = self.lab.js(_FIND, self._root(cell), label)
            return found[place] if len(found) > place else None

        return Control(self.lab, label, self.lab.wait(look, f"control {label!r} in {self.path}", timeout))

    def labels(self, cell=None):
        """Labels and button names that can be seen in the outputs, in the order of the page."""
        found = self._root(cell).find_elements(
            "css selector", ".jp-OutputArea :is(label, .widget-label, button, summary)"
        )
        return [text for e in found if (text := e.text.strip())]

    def picture(self, cell, place=0):
        """The element of a picture in a cell's output."""
        script = "return arguments[0].querySelectorAll('.jp-OutputArea img')[arguments[1]]"
        return self.lab.wait(lambda: self.lab.js(script, self.show(cell), place), f"picture in {cell}")

    def picture_bytes(self, cell, place=0):
        """The PNG bytes of the picture shown, to compare two states."""
        script = """let [img, done] = arguments; fetch(img.src).then(r => r.blob()).then(b => {
            let f = new FileReader(); f.onload = () => done(f.result.split(',')[1]); f.readAsDataURL(b)})"""
        return base64.b64decode(self.lab.driver.execute_async_script(script, self.picture(cell, place)))

    def _root(self, cell):
        return self.show(cell) if cell else self.lab.js("return jupyterapp.shell.currentWidget.node")


class Control:
    """One control on the page, found by its label. Every way to use it is one that a person has."""

    def __init__(self, lab, label, element):
        self.lab, self.label, self._element = lab, label, element

    def parts(self, css):
        """The elements of that CSS selector which belong to the label: boxes, slider handles, lists, buttons."""
        return self.lab.js(_PARTS, self._element, css)

    def _part(self, css, kind):
        found = self.parts(css)
        if not found:
            raise LookupError(f"{self.label!r} is no {kind}")
        return found[0]

    @property
    def handle(self):
        """The handle of a slider."""
        return self._part("[role=slider]", "slider")

    @property
    def box(self):
        """The box to type in."""
        return self._part("input:not([type=checkbox]), textarea", "box to type in")

    @property
    def number(self):
        """Where a slider's handle stands, in the slider's own unit."""
        return float(self.handle.get_attribute("aria-valuetext"))

    @property
    def value(self):
        """The text in the box, the choice of a list, or the number of a slider without box."""
        boxes = self.parts("input, textarea, select")
        return boxes[0].get_property("value") if boxes else self.handle.get_attribute("aria-valuetext")

    def focus(self):
        """Put the page's focus on the slider, list, box or button, where the window shows it."""
        target = (self.parts("[role=slider]") or self.parts("select, input, textarea, button") or [self._element])[0]
        self.lab.js(
            "arguments[0].scrollIntoView({block: 'nearest'}); arguments[0].focus({preventScroll: true})", target
        )

    def press(self, key, times=1):
        """Press a key ("left", "right", "home", "page up", "enter", "tab" ... or a letter) on the slider, list or
        button.
        """
        self.focus()
        self.lab.press(key, times)

    def type(self, text, enter=True):
        """Type text into the box in place of what stands there; Enter at the end unless enter=False."""
        self.lab.js("arguments[0].scrollIntoView({block: 'nearest'})", self.box)
        self.box.click()
        self.box.send_keys(Keys.CONTROL, "a", Keys.NULL, Keys.DELETE, text, *([Keys.ENTER] if enter else []))

    def choose(self, option):
        """Choose from a list, or click the button of that name in a row of buttons, by the text that a reader sees."""
        for choice in self.parts("option, button"):
            if choice.text.strip() == option:
                choice.click()
                return
        raise LookupError(f"{self.label!r} has no choice {option!r}")

    def click(self):
        """Click it (a button, a box to tick, a line that opens)."""
        target = (self.parts("button, summary, input[type=checkbox], [role]") or [self._element])[0]
        self.lab.js("arguments[0].scrollIntoView({block: 'center'})", target)
        try:
            target.click()
        except ElementClickInterceptedException:
            # The cell's tool bar appears over it when the pointer comes near: move there first, as a hand does.
            ActionChains(self.lab.driver).move_to_element(target).pause(0.3).click().perform()
