"""``seamwright serve``."""

from __future__ import annotations

import socket
import sys
import webbrowser
from contextlib import suppress

import click
import uvicorn

from seamwright.app.stores import default_store
from seamwright.screens.server import make_server

PORT = 8417


@click.command()
@click.option("--port", type=click.IntRange(0, 65535), default=PORT, show_default=True,
              help="0 takes any free one.")  # fmt: skip
@click.option("--store", "address", envvar="SEAMWRIGHT_STORE", metavar="URL",
              help="Where jobs are kept: sqlite:///FILE, postgresql://USER@HOST/NAME")  # fmt: skip
@click.option("--browser/--no-browser", default=True, help="Open a browser window.")
def serve(port: int, address: str | None, browser: bool) -> None:
    """Open the shop on screen, in the browser of this machine.

    Jobs are kept as they are drawn. Nothing leaves this machine; other machines are refused.
    Ctrl-C ends it.
    """
    server = make_server(address or default_store())
    listening = _listen(port)
    place = f"http://127.0.0.1:{listening.getsockname()[1]}/"
    click.echo(f"The shop is open at {place} (Ctrl-C closes it)")
    sys.stdout.flush()
    if browser:
        webbrowser.open(place)
    config = uvicorn.Config(server, log_level="warning", timeout_graceful_shutdown=2)
    with suppress(KeyboardInterrupt):
        uvicorn.Server(config).run(sockets=[listening])
    click.echo("The shop is closed; everything is kept.")


def _listen(port: int) -> socket.socket:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind(("127.0.0.1", port))
        listening.listen(64)
    except OSError:
        raise click.ClickException(f"Port {port} is taken: choose another with --port.") from None
    return listening
