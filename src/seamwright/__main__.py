"""``python -m seamwright``: the command line, with the shop on screen as one of its commands."""

from seamwright.cli import main, seamwright
from seamwright.screens import serve

seamwright.add_command(serve)

if __name__ == "__main__":
    main()
