"""How the notebook's server passes on what a kernel says: at once, so that a slider's picture is not held back.

Contents: Connection.

A web socket usually waits with a small message until the one before it is confirmed (Nagle's algorithm, RFC 1122,
section 4.2.3.4), and the machine at the other end may confirm late: about 40 ms on the Linux machine where it was
timed. A slider's picture comes after other small messages, and waited that long.
"""

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class Connection(ZMQChannelsWebsocketConnection):
    """A kernel's messages on a web socket that does not wait; given to JupyterLab by launch/server.py."""

    def connect(self):
        """Begin to pass messages on."""
        self.websocket_handler.set_nodelay(True)
        return super().connect()
