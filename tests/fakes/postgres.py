"""A PostgreSQL server of our own for one test run: a fresh data folder, any free port."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import tempfile
from pathlib import Path
from types import TracebackType


def programs() -> Path | None:
    """Where the server's programs lie; None where there is no server."""
    for place in sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True):
        if (place / "initdb").exists():
            return place
    found = shutil.which("initdb")
    return Path(found).parent if found else None


class Server:
    """Runs while it is entered; its data go when it is left."""

    def __enter__(self) -> Server:
        self._bin = programs()
        assert self._bin is not None
        self._home = Path(tempfile.mkdtemp(prefix="seamwright-pg-"))
        self._count = 0
        # the server refuses to run as root
        self._user = "postgres" if os.geteuid() == 0 else None
        if self._user:
            shutil.chown(self._home, self._user)
        self._run("initdb", "-D", str(self._home / "data"), "-U", "shop", "-A", "trust", "-N")
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self._port = probe.getsockname()[1]
        options = f"-p {self._port} -c listen_addresses=127.0.0.1 -k {self._home} -c fsync=off"
        log = str(self._home / "log")
        self._run("pg_ctl", "-D", str(self._home / "data"), "-o", options, "-l", log, "-w", "start")
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._run("pg_ctl", "-D", str(self._home / "data"), "-m", "immediate", "-w", "stop")
        shutil.rmtree(self._home, ignore_errors=True)

    def fresh_database(self) -> str:
        """The address of a database with nothing in it."""
        self._count += 1
        name = f"shop{self._count}"
        at = ("-h", "127.0.0.1", "-p", str(self._port), "-U", "shop")
        self._run("createdb", *at, name)
        return f"postgresql://shop@127.0.0.1:{self._port}/{name}"

    def _run(self, program: str, *words: str) -> None:
        assert self._bin is not None
        subprocess.run(
            [str(self._bin / program), *words],
            check=True,
            user=self._user,
            cwd=self._home,
            stdout=subprocess.DEVNULL,
            stdin=subprocess.DEVNULL,
        )
