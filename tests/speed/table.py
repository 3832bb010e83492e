"""The table that is printed: each figure, its floor, the bar and whether it is met; then how figures grow with size."""

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

from tests.speed.serving import Served

Figure = Mapping[str, Any]
SLOPES = {
    **dict.fromkeys(("bench page", "part page", "amend", "logging, and the page after", "builds list"), 0.1),
    **dict.fromkeys(("import", "export"), 1.05),
}
MEGABYTE = 1e6
HEADING = f"{'what':29} {'ms':>9} {'queries':>8} {'kB':>8}  {'floor':22} {'ms':>9} {'ratio':>8}  bar"


def line(figure: Figure) -> str:
    ratio, rows = figure["ratio"], figure["rows"]
    size = "" if figure["bytes"] is None else f"{figure['bytes'] / 1000:.1f}"
    queries = "" if figure["queries"] is None else figure["queries"]
    a_row = f" a row ({rows:,} rows)" if rows else ""
    return (
        f"{figure['name']:29} {1000 * figure['seconds']:9.2f} {queries:>8} {size:>8}  {figure['floor_name']:22} "
        f"{1000 * figure['floor']:9.2f} {ratio:8.2f}  {verdict(ratio, figure['bar'])}{a_row}"
    )


def verdict(value: float, bar: float | None, unit: str = "") -> str:
    """At most so much, and whether that is so."""
    return "no bar" if bar is None else f"≤ {bar:g}{unit} {'met' if value <= bar else 'NOT MET'}"


def screens(figures: Sequence[Figure]) -> Iterator[str]:
    """What two hundred screens cost that ask for the board every fifteen seconds."""
    for figure in figures:
        if figure["name"] == "board 304":
            cores = 200 / 15 * figure["seconds"]
            yield f"200 board screens at 15 s: {cores:.3f} cores  {verdict(cores, 0.1)}"


def memory(held: Mapping[str, int]) -> Iterator[str]:
    bars = {"all pages": 250.0, "export": 400.0, "import": 400.0}
    for name, size in held.items():
        yield f"memory, {name}: {size / MEGABYTE:.0f} MB  {verdict(size / MEGABYTE, bars[name], ' MB')}"


def served(pages: Served) -> Iterator[str]:
    """Bench pages a second; by the processor's own seconds where these are known, as other programs may run beside."""
    a_second = pages.by_core or pages.by_wall
    met = "met" if a_second >= 50 else "NOT MET"
    yield f"bench pages a second of one core: {a_second:.1f}  ≥ 50 {met}  ({pages.by_wall:.1f} by the wall's clock)"


def painted(paints: Mapping[str, float]) -> Iterator[str]:
    for name, milliseconds in paints.items():
        said = verdict(milliseconds / 1000, 3.0, " s")
        yield f"first paint of the {name}, slow 3G, processor 4 × slower, cold: {milliseconds / 1000:.1f} s  {said}"


def growth(by_size: Mapping[float, Sequence[Figure]]) -> Iterator[str]:
    """The slope of the logarithm of time over that of size, from the smallest to the largest and between neighbours."""
    sizes = sorted(by_size)
    seconds = {size: {one["name"]: one["seconds"] for one in by_size[size]} for size in sizes}
    for name in seconds[sizes[0]]:
        steps = [slope(seconds[a][name], seconds[b][name], b / a) for a, b in pairwise(sizes)]
        whole = slope(seconds[sizes[0]][name], seconds[sizes[-1]][name], sizes[-1] / sizes[0])
        between = ", ".join(f"{step:.2f}" for step in steps)
        yield f"growth of {name:29} {whole:6.2f}  ({between})  {verdict(whole, SLOPES.get(name))}"


def slope(before: float, after: float, times: float) -> float:
    return math.log(after / before) / math.log(times)
