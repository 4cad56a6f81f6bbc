"""The web socket of a kernel does not wait, and JupyterLab can be told so by the setting that the launcher gives."""

from types import SimpleNamespace

from jupyter_server.services.kernels.connection.base import BaseKernelWebsocketConnection
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from traitlets.config import Config

from mechbench.benches.websocket_nodelay import Connection
from mechbench.launch.server import AT_ONCE, command


def test_the_servers_own_setting_takes_it():
    from jupyter_server.serverapp import ServerApp

    name, _, value = AT_ONCE.removeprefix("--").partition("=")
    app = ServerApp(config=Config({"ServerApp": {name.split(".")[1]: value}}))
    assert app.kernel_websocket_connection_class is Connection and issubclass(Connection, BaseKernelWebsocketConnection)
    assert AT_ONCE in command("python", "work", as_root=False)


def test_it_asks_the_socket_not_to_wait_before_anything_is_passed_on(monkeypatch):
    done = []
    monkeypatch.setattr(ZMQChannelsWebsocketConnection, "connect", lambda self: done.append("connected"))
    monkeypatch.setattr(Connection, "websocket_handler", SimpleNamespace(set_nodelay=lambda yes: done.append(yes)))
    object.__new__(Connection).connect()
    assert done == [True, "connected"]
