"""Measure the program on long records and print the table: python -m tests.speed [--sizes 0.1 1 4] [--only NAME].

Every time is a median of processor time; every ratio is to a floor measured in the same run. It is a report: it ends
well whatever it finds. Size 1 takes some minutes, size 4 a quarter of an hour.
"""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.speed import serving, table
from tests.speed.first_paint import first_paints
from tests.speed.shop import manage, work


def at_size(size: float, only: str, found: dict[float, list[table.Figure]]) -> Iterator[str]:
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as place:
        folder = Path(place) / "data"
        yield f"Size {size:g}"
        work(folder, "fill", str(size))
        if not only:
            yield from table.memory(held_by_pages(folder))
        found[size] = work(folder, "figures", only)
        yield table.HEADING
        yield from map(table.line, found[size])
        yield from table.screens(found[size])
        if only:
            return
        yield from table.memory(held_by_carrying(folder, Path(place)))
        yield from table.served(serving.requests_a_second(folder))
        yield from table.painted(first_paints(folder))


def held_by_pages(folder: Path) -> dict[str, int]:
    return {"all pages": work(folder, "pages")}


def held_by_carrying(folder: Path, place: Path) -> dict[str, int]:
    """Export of all builds in one process, and import of all into an empty shop in another."""
    records, empty = place / "records", place / "empty"
    records.mkdir()
    exported = work(folder, "export", str(records))
    manage(empty, "migrate", "-v", "0")
    files = sorted(str(file) for file in records.iterdir())
    return {"export": exported, "import": work(empty, "import", *files)}


def lines(sizes: list[float], only: str) -> Iterator[str]:
    found: dict[float, list[table.Figure]] = {}
    for size in sizes:
        yield from at_size(size, only, found)
        yield ""
    if len(sizes) > 1:
        yield from table.growth(found)
    if not only:
        with tempfile.TemporaryDirectory() as place:
            ours, bare = serving.start_up(Path(place))
        yield (
            f"start-up (manage.py check): {1000 * ours:.0f} ms, bare Django {1000 * bare:.0f} ms, "
            f"{ours / bare:.2f}  {table.verdict(ours / bare, 2.0)}"
        )


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.speed", description=__doc__)
    parser.add_argument("--sizes", type=float, nargs="+", default=[0.1, 1.0, 4.0], help="0.1 1 4 unless said otherwise")
    parser.add_argument("--only", default="", metavar="NAME", help="only what has this in its name")
    chosen = parser.parse_args()
    for line in lines(chosen.sizes, chosen.only):
        print(line, flush=True)


if __name__ == "__main__":
    main()
