"""Print the calibration report: python -m tests.calibration [--second-seeds] [--builds 200] [--only NAME]."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator, Mapping
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat

from tests.calibration.real_logs import NAMES, line_of_log
from tests.calibration.report import HEADING, Case, cases_of, figures_of, line_of
from tests.calibration.worlds import MISFITS, REGIMES, SECOND_SEEDS, SEEDS

AT_ONCE = 10
"""Builds that one process takes at a time."""


def cases_by_regime(seeds: range, chosen: str = "", processes: int = 2) -> Iterator[tuple[str, list[Case]]]:
    """Yield the cases of every regime and misfit; but for the base, each takes a quarter of the builds, 40 at least."""
    with ProcessPoolExecutor(processes) as pool:
        for name, world in ({**REGIMES, **MISFITS}).items():
            if chosen in name:
                mine = seeds if name == "base" else seeds[: max(40, len(seeds) // 4)]
                lots = [mine[first : first + AT_ONCE] for first in range(0, len(mine), AT_ONCE)]
                yield name, [case for lot in pool.map(cases_of, repeat(world), lots) for case in lot]


def lines(seeds: range, chosen: str) -> Iterator[str]:
    """Yield the table line by line; what is pooled are the regimes, a misfit is none."""
    yield HEADING
    by_name: Mapping[str, list[Case]] = {}
    for name, cases in cases_by_regime(seeds, chosen):
        by_name = {**by_name, name: cases}
        yield line_of(name, figures_of(cases))
    for title, names in (("all regimes", REGIMES), ("all misfits", MISFITS)):
        pooled = [case for name in names for case in by_name.get(name, ())]
        if pooled:
            yield line_of(title, figures_of(pooled))
    for name in NAMES:
        yield line_of_log(name)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.calibration", description=__doc__)
    parser.add_argument("--second-seeds", action="store_true", help="the seeds that nothing is tuned on")
    parser.add_argument("--builds", type=int, default=200, help="simulated builds of the base, 200 at most")
    parser.add_argument("--only", default="", help="the regimes whose name has this in it")
    chosen = parser.parse_args()
    seeds = (SECOND_SEEDS if chosen.second_seeds else SEEDS)[: chosen.builds]
    for line in lines(seeds, chosen.only):
        sys.stdout.write(line + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    for library in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
        os.environ.setdefault(library, "1")
    main()
