"""The shop on screen: pages for the browser on this machine, served to nobody else."""

from seamwright.screens.command import serve
from seamwright.screens.server import make_server

__all__ = ["make_server", "serve"]
