"""Who holds a notebook: an operating system lock on a small file beside it.

The system gives the lock back when the holder ends, however it ends, so nothing stale can stand
in the way. What the small file says (host, pid, since) is only for telling people.
"""

from __future__ import annotations

import contextlib
import json
import os
import socket
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from trialbench.model.errors import HeldElsewhere
from trialbench.model.message import msg

_LOCKED_BYTE = 1 << 20
"""Far behind the text, because on some systems a locked byte cannot be read by others."""


@dataclass(frozen=True, slots=True)
class Holding:
    """Where the notebook is open: name of the machine, process id, UTC instant."""

    host: str
    pid: int
    since_utc: str


def _lock(fd: int) -> bool:
    """Take the lock without waiting. False when somebody else has it."""
    if os.name == "nt":  # pragma: no cover
        import msvcrt

        os.lseek(fd, _LOCKED_BYTE, os.SEEK_SET)
        try:
            msvcrt.locking(fd, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined, unused-ignore]
        except OSError:
            return False
        return True
    import fcntl

    try:
        fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        # A file system without locks: SQLite's own and the numbers of history still guard it.
        return True
    return True


class Holder:
    """Holds one notebook until `release`. Raises HeldElsewhere, OSError (folder not writable)."""

    def __init__(self, notebook: Path, since_utc: str) -> None:
        self.path = notebook.with_name(notebook.name + ".held")
        self._fd = self._take(Holding(socket.gethostname(), os.getpid(), since_utc))

    def _take(self, mine: Holding) -> int:
        while True:
            fd = os.open(self.path, os.O_RDWR | os.O_CREAT, 0o644)
            with _closed_unless_taken(fd) as taken:
                if not _lock(fd):
                    raise held_error(self.path)
                if self._still_there(fd):
                    os.ftruncate(fd, 0)
                    os.lseek(fd, 0, os.SEEK_SET)
                    os.write(fd, json.dumps(asdict(mine)).encode())
                    taken.append(fd)
                    return fd

    def _still_there(self, fd: int) -> bool:
        """Whether the file that was locked is the one that bears the name now."""
        try:
            return os.path.samestat(os.fstat(fd), self.path.stat())
        except FileNotFoundError:
            return False

    def release(self) -> None:
        """Give the notebook free. Harmless when called twice."""
        if self._fd < 0:
            return
        fd, self._fd = self._fd, -1
        if os.name != "nt":
            self.path.unlink(missing_ok=True)
        os.close(fd)
        if os.name == "nt":  # pragma: no cover
            with contextlib.suppress(OSError):
                self.path.unlink()


@contextlib.contextmanager
def _closed_unless_taken(fd: int) -> Iterator[list[int]]:
    taken: list[int] = []
    try:
        yield taken
    finally:
        if not taken:
            os.close(fd)


def holding_of(path: Path) -> Holding | None:
    """What the small file says, or None when it says nothing readable."""
    try:
        said = json.loads(path.read_text(encoding="utf-8"))
        return Holding(str(said["host"]), int(said["pid"]), str(said["since_utc"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def held_error(path: Path) -> HeldElsewhere:
    """The error that says who holds the notebook."""
    said = msg("Another window has this notebook open. This one only reads until that is closed.")
    holding = holding_of(path)
    if holding is None:
        return HeldElsewhere(said)
    who = f"{holding.host}, process {holding.pid}, since {holding.since_utc}"
    return HeldElsewhere(
        msg(
            "Another window has this notebook open ({host}, process {pid}, since {since})."
            " This one only reads until that one is closed.",
            host=holding.host,
            pid=holding.pid,
            since=holding.since_utc,
        ),
        cause=who,
    )
