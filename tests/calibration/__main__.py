"""Print the calibration report: python -m tests.calibration [--second-seeds] [--builds 200] [--only NAME] [--keep]."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat

from tests.calibration.measured import keep
from tests.calibration.real_logs import NAMES, line_of_log
from tests.calibration.report import HEADING, Case, Figures, cases_of, figures_of, line_of
from tests.calibration.towards import line_of_milestones, milestone_cases, of_liking
from tests.calibration.worlds import MISFITS, REGIMES, SECOND_SEEDS, SEEDS

AT_ONCE = 10
"""Builds that one process takes at a time."""
ALL_REGIMES = "all regimes"


def cases_by_regime(seeds: range, chosen: str = "", processes: int = 2) -> Iterator[tuple[str, list[Case]]]:
    """Yield the cases of every regime and misfit; but for the base, each takes a quarter of the builds, 40 at least."""
    with ProcessPoolExecutor(processes) as pool:
        for name, world in ({**REGIMES, **MISFITS}).items():
            if chosen in name:
                mine = seeds if name == "base" else seeds[: max(40, len(seeds) // 4)]
                lots = [mine[first : first + AT_ONCE] for first in range(0, len(mine), AT_ONCE)]
                yield name, [case for lot in pool.map(cases_of, repeat(world), lots) for case in lot]


def measured(seeds: range, chosen: str) -> Iterator[tuple[str, Figures]]:
    """Yield what was measured, sort after sort; what is pooled are the regimes, a misfit is none."""
    by_name: dict[str, list[Case]] = {}
    for name, cases in cases_by_regime(seeds, chosen):
        by_name[name] = cases
        yield name, figures_of(cases)
    for title, names in ((ALL_REGIMES, REGIMES), ("all misfits", MISFITS)):
        pooled = [case for name in names for case in by_name.get(name, ())]
        if pooled:
            yield title, figures_of(pooled)


def lines_of_milestones(seeds: range, processes: int = 2) -> list[str]:
    """Return how the dates of milestones held, all together and by how much time goes into what is liked."""
    lots = [seeds[first : first + AT_ONCE] for first in range(0, len(seeds), AT_ONCE)]
    with ProcessPoolExecutor(processes) as pool:
        cases = [case for lot in pool.map(milestone_cases, lots) for case in lot]
    return [line_of_milestones(name, some) for name, some in of_liking(cases)]


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.calibration", description=__doc__)
    parser.add_argument("--second-seeds", action="store_true", help="the seeds that nothing is tuned on")
    parser.add_argument("--builds", type=int, default=200, help="simulated builds of the base, 200 at most")
    parser.add_argument("--only", default="", help="the regimes whose name has this in it")
    parser.add_argument("--keep", action="store_true", help="keep the figures where the program quotes them")
    chosen = parser.parse_args()
    seeds = (SECOND_SEEDS if chosen.second_seeds else SEEDS)[: chosen.builds]
    found = []
    print(HEADING, flush=True)
    for name, figures in measured(seeds, chosen.only):
        found.append((name, figures))
        print(line_of(name, figures), flush=True)
    for line in lines_of_milestones(seeds):
        print(line, flush=True)
    for log in NAMES:
        print(line_of_log(log), flush=True)
    if chosen.keep:
        keep((name, figures) for name, figures in found if name in (*REGIMES, ALL_REGIMES))


if __name__ == "__main__":
    for library in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
        os.environ.setdefault(library, "1")
    main()
