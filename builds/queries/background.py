"""Work that no request waits for: one thread of the process does the jobs in turn, a step at a time.

Between two steps it lets the pages that are being answered go first. A second process does not know of this one's
jobs, so what a job keeps must bear being made twice.
"""

import atexit
import logging
from collections.abc import Callable, Iterator
from threading import Condition, Event, Lock, Thread
from time import monotonic

from django.core.signals import request_finished, request_started
from django.db import connections

Job = Callable[[], Iterator[object]]
log = logging.getLogger(__name__)

PAUSE = 0.05
"""Seconds between two steps."""
PATIENCE = 2.0
"""Seconds for which pages go first at the most, so that a busy day does not keep a job for ever."""
AFTER_TROUBLE = 60.0
"""Seconds for which a job that went wrong is not begun again."""
LONGEST_STEP = 10.0
"""Seconds that the end of the process waits for the step under way."""


class Requests:
    """How many requests this process is answering."""

    def __init__(self) -> None:
        self._number = 0
        self._changed = Condition()

    def begun(self, **_signal: object) -> None:
        with self._changed:
            self._number += 1

    def answered(self, **_signal: object) -> None:
        with self._changed:
            self._number = max(0, self._number - 1)
            self._changed.notify_all()

    def wait_for_none(self, seconds: float) -> None:
        with self._changed:
            self._changed.wait_for(lambda: not self._number, seconds)


class Background:
    """Jobs known by a key. The thread begins with the first of them and ends after the last."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._jobs: dict[str, Job] = {}
        self._went_wrong: dict[str, float] = {}
        self._thread: Thread | None = None
        self._ending = Event()

    def ask(self, key: str, job: Job) -> None:
        """Have a job done, unless it is on its way already or went wrong a moment ago."""
        with self._lock:
            if key in self._jobs or self.went_wrong(key):
                return
            self._jobs[key] = job
            # A process that was forked has a thread on its books that does not live.
            if self._thread is None or not self._thread.is_alive():
                self._thread = Thread(target=self._run, name="background", daemon=True)
                self._thread.start()

    def has(self, key: str) -> bool:
        """Whether a job waits to be done, or is being done."""
        return key in self._jobs

    def went_wrong(self, key: str) -> bool:
        """Whether a job went wrong a moment ago, so that it is not begun again yet."""
        wrong = self._went_wrong.get(key)
        return wrong is not None and monotonic() - wrong < AFTER_TROUBLE

    def wait(self, seconds: float | None = None) -> None:
        """Wait until there is nothing left to do."""
        if thread := self._thread:
            thread.join(seconds)

    def end(self) -> None:
        """Stop after the step under way: a thread that is cut off in the midst of NumPy can take the process down."""
        self._ending.set()
        self.wait(LONGEST_STEP)

    def _run(self) -> None:
        while (key := self._next()) is not None:
            try:
                self._do(self._jobs[key])
                self._went_wrong.pop(key, None)
            except Exception:
                log.exception("Work in the background went wrong: %s", key)
                self._went_wrong[key] = monotonic()
            finally:
                connections.close_all()
                with self._lock:
                    del self._jobs[key]

    def _next(self) -> str | None:
        with self._lock:
            if self._jobs and not self._ending.is_set():
                return next(iter(self._jobs))
            self._thread = None
            return None

    def _do(self, job: Job) -> None:
        for _step in job():
            requests.wait_for_none(PATIENCE)
            if self._ending.wait(PAUSE):
                return


requests = Requests()
request_started.connect(requests.begun)
request_finished.connect(requests.answered)
background = Background()
atexit.register(background.end)
