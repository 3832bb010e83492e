"""Print the calibration report: python -m tests.calibration [--second-seeds] [--builds 200] [--aside]."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator

import numpy as np

from tests.calibration.real_logs import NAMES, held_on, read_log
from tests.calibration.report import HEADING, cases_of, figures_of, line_of
from tests.calibration.world import World
from tests.calibration.worlds import ASIDE, MISFITS, SECOND_SEEDS, SEEDS


def lines(seeds: range, aside: bool) -> Iterator[str]:
    """Yield the table line by line; misfits and worlds aside take a quarter of the builds each."""
    yield HEADING
    yield line_of("simulated builds", figures_of(cases_of(World(), seeds)))
    few = seeds[: max(1, len(seeds) // 4)]
    for name, world in {**MISFITS, **(ASIDE if aside else {})}.items():
        yield line_of(name, figures_of(cases_of(world, few)))
    for name in NAMES:
        held = held_on(read_log(name))
        yield f"{name}: weeks left held {100 * np.mean(held):.0f} % of {len(held)}"


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.calibration", description=__doc__)
    parser.add_argument("--second-seeds", action="store_true", help="the seeds that nothing is tuned on")
    parser.add_argument("--builds", type=int, default=200, help="simulated builds, 200 at most")
    parser.add_argument("--aside", action="store_true", help="other worlds within the assumptions as well")
    chosen = parser.parse_args()
    seeds = (SECOND_SEEDS if chosen.second_seeds else SEEDS)[: chosen.builds]
    for line in lines(seeds, chosen.aside):
        sys.stdout.write(line + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
