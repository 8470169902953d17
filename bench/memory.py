"""What a process and all it has split off hold in memory at most: proportional set size, sampled.

    with Watched() as memory:
        ...
    print(memory.most_mb)

Pages that several processes share are counted once (Linux, `smaps_rollup`). Run as a program it
watches the process whose number it is given until its input ends.
"""

from __future__ import annotations

import os
import select
import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from types import TracebackType

_EVERY_S = 0.25


class Watched:
    """Watches this process meanwhile; from another one, so that it stays the only thread here."""

    most_mb = 0.0

    def __enter__(self) -> Watched:
        self._watcher = subprocess.Popen(
            [sys.executable, __file__, str(os.getpid())],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        told, _ = self._watcher.communicate()
        self.most_mb = float(told)


def held_mb(process: int) -> float:
    """What a process and those it split off hold now [MB]."""
    held = 0.0
    with suppress(OSError):
        for line in Path(f"/proc/{process}/smaps_rollup").read_text("ascii").splitlines():
            if line.startswith("Pss:"):
                held = int(line.split()[1]) / 1024
        for task in Path(f"/proc/{process}/task").iterdir():
            for child in (task / "children").read_text("ascii").split():
                if int(child) != os.getpid():
                    held += held_mb(int(child))
    return held


def main() -> None:
    most = 0.0
    while True:
        most = max(most, held_mb(int(sys.argv[1])))
        if select.select([sys.stdin], [], [], _EVERY_S)[0]:
            print(most)
            return


if __name__ == "__main__":
    main()
