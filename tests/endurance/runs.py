"""The two runs: a server that is killed in the midst of writing, and many browsers at once."""

import threading
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.endurance.served import SLUG, Browser, Server, notes_kept

WRITERS = 4
PAGES = tuple(f"/builds/{SLUG}/{page}" for page in ("", "bench/", "log/", "forecast/", "events/"))
LONGEST_ROUND = 120.0
"""Seconds after which a round in which too little is written is given up."""


@dataclass(frozen=True)
class Outcome:
    acknowledged: int
    lost: tuple[str, ...]
    doubled: tuple[str, ...]
    errors: tuple[str, ...]
    kills: int = 0

    @property
    def right(self) -> bool:
        return bool(self.acknowledged) and not (self.lost or self.doubled or self.errors)


def kills(folder: Path, *, times: int, writes: int) -> Outcome:
    """Kill the server so many times, each after so many acknowledged writes, with more of them on their way."""
    browsers = [Browser(f"writer-{n}") for n in range(WRITERS)]
    for _time in range(times):
        server, over = Server(folder), threading.Event()
        wanted = answered(browsers) + writes
        threads = begin(browsers, server.port, over)
        give_up = time.monotonic() + LONGEST_ROUND
        while answered(browsers) < wanted and time.monotonic() < give_up and any(t.is_alive() for t in threads):
            time.sleep(0.005)
        over.set()
        server.kill()
        for thread in threads:
            thread.join(70)
    return outcome(folder, browsers, times)


def clients(folder: Path, *, number: int, seconds: float) -> Outcome:
    """So many browsers write and read for so long."""
    browsers = [Browser(f"client-{n}") for n in range(number)]
    server, over = Server(folder), threading.Event()
    try:
        threads = begin(browsers, server.port, over, PAGES)
        over.wait(seconds)
        over.set()
        for thread in threads:
            thread.join(70)
    finally:
        server.end()
    return outcome(folder, browsers)


def begin(
    browsers: Sequence[Browser], port: int, over: threading.Event, reads: tuple[str, ...] = ()
) -> list[threading.Thread]:
    threads = [threading.Thread(target=browser.go_on, args=(port, over, reads)) for browser in browsers]
    for thread in threads:
        thread.start()
    return threads


def answered(browsers: Sequence[Browser]) -> int:
    return sum(len(browser.answered) for browser in browsers)


def outcome(folder: Path, browsers: Sequence[Browser], times: int = 0) -> Outcome:
    """What the log holds against what was acknowledged. What was not may be there, but once."""
    kept = Counter(notes_kept(folder))
    acknowledged = [note for browser in browsers for note in browser.answered]
    return Outcome(
        acknowledged=len(acknowledged),
        lost=tuple(note for note in acknowledged if note not in kept),
        doubled=tuple(note for note, times in kept.items() if times > 1),
        errors=tuple(error for browser in browsers for error in browser.errors),
        kills=times,
    )
