"""What the browser paints, as it tells of it: a picture whenever it has painted something new, with the time of that.

Contents: Screencast.
"""

import json
import time
from urllib.request import urlopen

import websocket


class Screencast:
    """The browser's own account of its page."""

    def __init__(self, lab, wide, high):
        """wide, high: the most points of a picture."""
        address = lab.driver.capabilities["goog:chromeOptions"]["debuggerAddress"]
        pages = json.load(urlopen(f"http://{address}/json"))
        mine = next(page for page in pages if page["type"] == "page" and "/lab" in page["url"])
        self._socket = websocket.create_connection(mine["webSocketDebuggerUrl"], suppress_origin=True)
        self._number = 0
        self._say("Page.startScreencast", format="jpeg", quality=70, maxWidth=wide, maxHeight=high)

    def _say(self, method, **params):
        self._number += 1
        self._socket.send(json.dumps({"id": self._number, "method": method, "params": params}))

    def watch(self, seconds):
        """All that is painted within so many seconds, each picture once: its time [s], and its bytes in base64."""
        seen, end = [], time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            self._socket.settimeout(left)
            try:
                told = json.loads(self._socket.recv())
            except websocket.WebSocketTimeoutException:
                break
            if told.get("method") == "Page.screencastFrame":
                frame = told["params"]
                self._say("Page.screencastFrameAck", sessionId=frame["sessionId"])
                if not seen or frame["data"] != seen[-1][1]:
                    seen.append((frame["metadata"]["timestamp"], frame["data"]))
        return seen

    def close(self):
        """Stop it."""
        self._say("Page.stopScreencast")
        self._socket.close()
