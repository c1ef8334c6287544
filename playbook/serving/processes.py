"""Child processes: started, started again when they die, and stopped with their parent."""

from __future__ import annotations

import ctypes
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

STOP_S = 30.0
LONGEST_PAUSE_S = 30.0
QUICK_S = 10.0  # who lives shorter is started again after a pause, longer each time


@dataclass(slots=True)
class Child:
    """One process that is to run all the time."""

    name: str
    command: Sequence[str]
    environment: Mapping[str, str]
    handles: Sequence[int] = ()
    process: subprocess.Popen[bytes] | None = None
    started: float = 0.0
    pause_s: float = 0.0
    due: float = field(default=0.0)

    def start(self) -> None:
        """Starts it in a session of its own, so that Ctrl-C reaches the parent alone; it dies with the parent."""
        self.process = subprocess.Popen(
            self.command,
            env=dict(self.environment),
            pass_fds=self.handles,
            stdin=subprocess.DEVNULL,
            start_new_session=True,
            preexec_fn=_die_with_parent if sys.platform == "linux" else None,
        )
        self.started, self.due = time.monotonic(), 0.0

    def watch(self, say: Callable[[str], Any]) -> None:
        """Starts it again when it is dead, after a pause where it did not live long."""
        now = time.monotonic()
        if self.process is not None and self.process.poll() is not None:
            quick = now - self.started < QUICK_S
            self.pause_s = min(max(1.0, 2 * self.pause_s), LONGEST_PAUSE_S) if quick else 0.0
            say(f"The {self.name} ended ({_how(self.process.returncode)}) and is started again.")
            self.process, self.due = None, now + self.pause_s
        if self.process is None and now >= self.due:
            self.start()


def stop(children: Sequence[Child]) -> None:
    """Stops all of them: they may end what they are at, for half a minute at most."""
    alive = [child.process for child in children if child.process is not None]
    for process in alive:
        if process.poll() is None:
            process.terminate()
    until = time.monotonic() + STOP_S
    for process in alive:
        try:
            process.wait(timeout=max(0.1, until - time.monotonic()))
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def _how(code: int) -> str:
    return f"signal {signal.Signals(-code).name}" if code < 0 else f"exit code {code}"


_libc = ctypes.CDLL(None, use_errno=True) if sys.platform == "linux" else None


def _die_with_parent() -> None:
    assert _libc is not None
    _libc.prctl(1, signal.SIGTERM)  # PR_SET_PDEATHSIG
