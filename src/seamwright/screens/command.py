"""``seamwright serve``."""

from __future__ import annotations

import socket
import sys
import webbrowser
from contextlib import suppress

import click
import uvicorn

from seamwright.app.stores import default_store
from seamwright.screens.pairing import Gate, own_addresses
from seamwright.screens.server import make_server

PORT = 8417


@click.command()
@click.option("--port", type=click.IntRange(0, 65535), default=PORT, show_default=True,
              help="0 takes any free one.")  # fmt: skip
@click.option("--store", "address", envvar="SEAMWRIGHT_STORE", metavar="URL",
              help="Where jobs are kept: sqlite:///FILE, postgresql://USER@HOST/NAME")  # fmt: skip
@click.option("--browser/--no-browser", default=True, help="Open a browser window.")
@click.option("--network", is_flag=True,
              help="Let devices of the shop's own network in, with a code shown here.")  # fmt: skip
def serve(port: int, address: str | None, browser: bool, network: bool) -> None:
    """Open the shop on screen, in the browser of this machine.

    Jobs are kept as they are drawn. Nothing leaves this machine; other machines are refused,
    unless --network lets those of the shop's own network in. Ctrl-C ends it.
    """
    gate = Gate(own_addresses()) if network else None
    if gate is not None and not gate.addresses:
        raise click.ClickException("This machine has no address in a network of its own.")
    server = make_server(address or default_store(), gate=gate)
    listening = [_listen("127.0.0.1", port)]
    taken = listening[0].getsockname()[1]
    place = f"http://127.0.0.1:{taken}/"
    click.echo(f"The shop is open at {place} (Ctrl-C closes it)")
    if gate is not None:
        listening += [_listen(each, taken) for each in sorted(gate.addresses)]
        for each in sorted(gate.addresses):
            click.echo(
                f"From the shop's network: http://{each}:{taken}/ with the code {gate.shown_code}"
            )
        click.echo("Whoever is on that network can read along: at home or in your own shop only.")
    sys.stdout.flush()
    if browser:
        webbrowser.open(place)
    config = uvicorn.Config(
        server, log_level="warning", timeout_graceful_shutdown=2, proxy_headers=False
    )
    with suppress(KeyboardInterrupt):
        uvicorn.Server(config).run(sockets=listening)
    click.echo("The shop is closed; everything is kept.")


def _listen(address: str, port: int) -> socket.socket:
    # named as TCP, so that asyncio sends at once: else the end of every answer waits 40 ms
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((address, port))
        listening.listen(64)
    except OSError:
        raise click.ClickException(f"Port {port} is taken: choose another with --port.") from None
    return listening
