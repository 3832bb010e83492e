"""The program as it runs: how long it takes to start, and how many pages a second it serves over the wire."""

import http.client
import os
import re
import resource
import signal
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.speed.shop import ROOT, work

SECONDS, RUNS = 5.0, 7
NOT_HANDED_ON = {"DJANGO_SETTINGS_MODULE", "PYTHONDONTWRITEBYTECODE"}


@dataclass(frozen=True)
class Served:
    """Bench pages a second by the clock on the wall, and by the server's own processor time (None where not known).

    The second is what one core has to give where nothing else runs on it.
    """

    by_wall: float
    by_core: float | None


def requests_a_second(folder: Path) -> Served:
    """What `manage.py serve` on one core gives a signed-in asker, one connection at a time."""
    found = work(folder, "cookie")
    with serving(folder) as (pid, port):
        return count_answers(pid, port, f"/builds/{found['slug']}/bench/", found["cookie"])


@contextmanager
def serving(folder: Path) -> Iterator[tuple[int, int]]:
    """`manage.py serve` on one core: its process and its port."""
    process = subprocess.Popen(
        [sys.executable, "manage.py", "serve", "--port", "0"],
        cwd=ROOT,
        env={**os.environ, "DATA_DIR": str(folder), "PYTHONUNBUFFERED": "1"},
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        keep_to_one_core(process.pid)
        yield process.pid, port_said(process)
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            process.wait(20)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def port_said(process: subprocess.Popen[str]) -> int:
    """The port that the server says it serves on, once it does."""
    assert process.stdout is not None
    said, port = "", None
    while not said.startswith("Ctrl-C"):
        said = process.stdout.readline()
        if not said:
            raise RuntimeError("The server ended before it served.")
        port = re.search(r"Serving http://[^:]+:(\d+)", said) or port
    if port is None:
        raise RuntimeError("The server did not say where it serves.")
    return int(port[1])


def count_answers(pid: int, port: int, address: str, cookie: str) -> Served:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)

    def ask() -> None:
        connection.request("GET", address, headers={"Cookie": cookie})
        answer = connection.getresponse()
        answer.read()
        if answer.status != 200:
            raise RuntimeError(f"The bench page answered {answer.status}.")

    for _warm_up in range(3):
        ask()
    answered, begun, spent = 0, time.monotonic(), spent_by(pid)
    while time.monotonic() - begun < SECONDS:
        ask()
        answered += 1
    wall, core = time.monotonic() - begun, spent_by(pid) - spent
    return Served(answered / wall, answered / core if core else None)


def spent_by(pid: int) -> float:
    """Processor seconds of another process, where the system tells; 0 elsewhere."""
    told = Path(f"/proc/{pid}/stat")
    if not told.is_file():
        return 0.0
    user, system = told.read_text().rpartition(")")[2].split()[11:13]
    return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")


def keep_to_one_core(pid: int) -> None:
    """Hold a process to one core, where the system can."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(pid, {min(os.sched_getaffinity(pid))})


def start_up(place: Path) -> tuple[float, float]:
    """Processor seconds of `manage.py check`, here and in a project that has nothing but Django's own applications."""
    subprocess.run([sys.executable, "-m", "django", "startproject", "bare", str(place)], check=True)
    for project in (ROOT, place):
        check(project, place / "data")
    ours, bare = [], []
    for _turn in range(RUNS):
        ours.append(check(ROOT, place / "data"))
        bare.append(check(place, place / "data"))
    return statistics.median(ours), statistics.median(bare)


def check(project: Path, folder: Path) -> float:
    # Bytecode is kept, as where the program is used, and here beside the data, so that nothing is written elsewhere.
    environment = {name: value for name, value in os.environ.items() if name not in NOT_HANDED_ON}
    before = spent_by_children()
    subprocess.run(
        [sys.executable, "manage.py", "check"],
        cwd=project,
        env={**environment, "DATA_DIR": str(folder), "PYTHONPYCACHEPREFIX": str(folder.parent / "bytecode")},
        stdout=subprocess.DEVNULL,
        check=True,
    )
    return spent_by_children() - before


def spent_by_children() -> float:
    spent = resource.getrusage(resource.RUSAGE_CHILDREN)
    return spent.ru_utime + spent.ru_stime
