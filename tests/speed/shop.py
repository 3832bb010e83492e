"""The data folder that is measured: a long record, beside it builds of one part, and somebody who is signed in."""

import json
import subprocess
import sys
from datetime import date, timedelta
from os import environ
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent.parent
LARGE, LARGE_LOGGED = "long-1", "long-2"
SMALL, SMALL_LOGGED = "one-part", "one-part-logged"
KINDS = ("sawing", "turning", "milling", "drilling", "tapping", "reaming", "fitting")


def run(folder: Path, *args: str) -> str:
    """Run Python on the project with this data folder, and return what it printed."""
    # The static files' place is there before anything is served, so that nothing warns of it.
    (folder / "static").mkdir(parents=True, exist_ok=True)
    done = subprocess.run(
        [sys.executable, *args],
        cwd=ROOT,
        env={**environ, "DATA_DIR": str(folder)},
        stdout=subprocess.PIPE,
        text=True,
        check=True,
    )
    return done.stdout


def manage(folder: Path, *args: str) -> str:
    return run(folder, "manage.py", *args)


def work(folder: Path, *args: str) -> Any:
    """What a work of `at_size` found in this data folder."""
    return json.loads(run(folder, "-m", "tests.speed.at_size", *args))


def one_part_record(name: str) -> dict[str, object]:
    """A build of one part and one entry. The part's route is as long as those of the long record."""
    day = date.today() - timedelta(days=3)
    operations = [
        {"number": 10 * n, "kind": kind, "setup_minutes": 10, "minutes_per_unit": 15}
        for n, kind in enumerate(KINDS, start=1)
    ]
    part = {"number": "1", "name": "Part 1", "quantity": 2, "operations": operations}
    entry = {"date": f"{day:%Y-%m-%d}", "part": "1", "operation": 10, "bench_minutes": 60, "good": 2}
    return {
        "format": "swarfbook-record",
        "version": 1,
        "build": {"name": name, "scale": "1:6", "on_board": True},
        "parts": [part],
        "entries": [entry],
    }
