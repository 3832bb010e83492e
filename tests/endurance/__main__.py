"""Nothing that was acknowledged is lost or doubled: `python -m tests.endurance kills` and `… clients`.

`kills` kills the serving process again and again in the midst of writing; `clients` has several browsers write and read
at once. Both serve this machine alone, on SQLite, or on the empty PostgreSQL that DATABASE_URL names.
"""

import sys
import tempfile
import time
from argparse import ArgumentParser
from pathlib import Path

from tests.endurance.runs import Outcome, clients, kills
from tests.endurance.served import make_ready


def main() -> int:
    parser = ArgumentParser(prog="python -m tests.endurance", description=__doc__)
    parser.add_argument("what", choices=["kills", "clients"])
    parser.add_argument("--times", type=int, default=20, help="how often the server is killed (default 20)")
    parser.add_argument("--writes", type=int, default=200, help="acknowledged writes before each (default 200)")
    parser.add_argument("--clients", type=int, default=8, help="browsers at once (default 8)")
    parser.add_argument("--seconds", type=float, default=30, help="how long they go on (default 30)")
    given = parser.parse_args()
    begun = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="swarfbook-") as place:
        make_ready(Path(place))
        if given.what == "kills":
            outcome = kills(Path(place), times=given.times, writes=given.writes)
        else:
            outcome = clients(Path(place), number=given.clients, seconds=given.seconds)
    return said(outcome, time.monotonic() - begun)


def said(outcome: Outcome, seconds: float) -> int:
    sys.stdout.write(
        f"{outcome.acknowledged} writes acknowledged, {len(outcome.lost)} lost, {len(outcome.doubled)} doubled, "
        f"{outcome.kills} kills, {len(outcome.errors)} errors, {seconds:.0f} s\n"
    )
    for wrong in (*outcome.lost, *outcome.doubled, *outcome.errors):
        sys.stdout.write(f"  {wrong}\n")
    return 0 if outcome.right else 1


if __name__ == "__main__":
    sys.exit(main())
