"""Time from a key press to the change that it makes on the page, measured inside the page.

Contents: Stopwatch.

The clock starts with the event of the key itself and stops with the end of the first frame that shows the changed
thing: a text when it stands there, a picture when its bytes have come, and not before they are decoded. The same code
times all. test_stopwatch.py holds it against the browser's own account of when a picture was painted.
"""

import time

_SET = """
let root = arguments[0], content = () => {
  let img = root.querySelector('img');
  return img ? img.src : root.textContent.trim();
};
window.stopwatch = {start: null, end: null, before: content()};
let begin = e => { if (stopwatch.start === null) stopwatch.start = e.timeStamp; };
document.addEventListener('keydown', begin, {capture: true, once: true});
let seen = '', watch = new MutationObserver(() => {
  let now = content();
  if (stopwatch.start === null || now === '' || now === stopwatch.before || now === seen) return;
  seen = now;
  let picture = () => root.querySelector('img');
  let decode = () => picture() ? picture().decode() : Promise.resolve(), decoded = decode();
  let stop = () => { if (seen === now && stopwatch.end === null) {
    stopwatch.end = performance.now(); watch.disconnect(); } };
  let frame = () => requestAnimationFrame(() => {
    if (picture() && !picture().complete) return frame();
    let after = new MessageChannel();
    // A picture that was taken away is not decoded; the same one put in its place is.
    let again = () => { if (seen === now) { decoded = decode(); frame(); } };
    after.port1.onmessage = () => decoded.then(stop, again);
    after.port2.postMessage(0);
  });
  frame();
});
watch.observe(root, {subtree: true, childList: true, characterData: true, attributes: true, attributeFilter: ['src']});
"""

# The page has come to rest when it has painted twice and had nothing else to do.
_REST = """
let done = arguments[0];
requestAnimationFrame(() => requestAnimationFrame(() => requestIdleCallback(() => done(), {timeout: 500})));
"""

_END = """
let [timeout, done] = arguments, begun = performance.now();
let look = () => stopwatch.end !== null || performance.now() - begun > timeout ? done(stopwatch) : setTimeout(look, 60);
setTimeout(look, 60);
"""

GIVES_UP = 100.0  # s: before the driver does, which waits 120 s for an answer
FRAME = 1 / 60  # s
GOLDEN = 0.618034  # multiples of it, less their whole part, lie evenly between 0 and 1


class Stopwatch:
    """Times key presses on one control of a notebook, up to the change in one element of the page.

    The control has the focus and the page is at rest before the key is pressed, and nothing asks the page whether it is
    done while it works. A hand presses at any moment between two frames, so the presses are spread evenly over a frame.
    """

    def __init__(self, lab, control, element):
        self.lab, self.control, self.element = lab, control, element
        self._presses = 0

    def time(self, key):
        """Press the key once; give the milliseconds until the element shows something else."""
        driver = self.lab.driver
        self.control.focus()
        driver.execute_async_script(_REST)
        self.lab.js(_SET, self.element)
        self._presses += 1
        time.sleep(self._presses * GOLDEN % 1 * FRAME)
        self.lab.press(key)
        told = driver.execute_async_script(_END, 1000 * GIVES_UP)
        if told["end"] is None:
            raise TimeoutError(f"a change after {key!r} on {self.control.label!r}: not within {GIVES_UP:g} s")
        return told["end"] - told["start"]
