"""Time from a key press to the change that it makes on the page, measured inside the page.

Contents: Stopwatch.

The clock starts with the event of the key itself and stops when the changed thing has been painted: a picture when its
bytes are decoded, a text when it stands there, then in both cases the end of the next frame. The same code times all.
"""

_SET = """
let root = arguments[0], content = () => {
  let img = root.querySelector('img');
  return img ? img.src : root.textContent.trim();
};
window.stopwatch = {start: null, end: null, before: content()};
let begin = e => { if (stopwatch.start === null) stopwatch.start = e.timeStamp; };
document.addEventListener('keydown', begin, {capture: true, once: true});
let watch = new MutationObserver(async () => {
  let now = content();
  if (stopwatch.start === null || stopwatch.end !== null || now === '' || now === stopwatch.before) return;
  let img = root.querySelector('img');
  if (img) { try { await img.decode(); } catch (e) { return; } }
  requestAnimationFrame(() => {
    let after = new MessageChannel();
    after.port1.onmessage = () => { if (stopwatch.end === null) { stopwatch.end = performance.now(); watch.disconnect(); } };
    after.port2.postMessage(0);
  });
});
watch.observe(root, {subtree: true, childList: true, characterData: true, attributes: true, attributeFilter: ['src']});
"""


# The page has come to rest when it has painted twice and had nothing else to do.
_REST = """
let done = arguments[0];
requestAnimationFrame(() => requestAnimationFrame(() => requestIdleCallback(() => done(), {timeout: 500})));
"""


class Stopwatch:
    """Times key presses on one control of a notebook, up to the change in one element of the page."""

    def __init__(self, lab, control, element):
        self.lab, self.control, self.element = lab, control, element

    def time(self, key, timeout=20):
        """Press the key once; give the milliseconds until the element shows something else."""
        self.lab.driver.execute_async_script(_REST)
        self.lab.js(_SET, self.element)
        self.control.press(key)
        script = "return stopwatch.end === null ? null : [stopwatch.end - stopwatch.start]"
        return self.lab.wait(lambda: self.lab.js(script), timeout, f"a change after {key!r} on {self.control.label!r}")[0]
