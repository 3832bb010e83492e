"""The open work of a milestone as a network, left to right: boxes and lines with their places in pixels.

Lines mean what they mean on a drawing: continuous thick is done, dashed is still to make.
"""

from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise
from statistics import mean
from typing import NamedTuple

from builds.charts.drawing import shortened
from builds.queries.forecast.holds import MilestoneWork
from builds.queries.plan.waiting import waits
from calcs.messages import _
from calcs.parts.needs import Place
from calcs.parts.network import Stretch

WIDTH, HEIGHT = 184, 46
APART, BELOW = 52, 12
MARGIN = 6
LETTERS = 25
# Work that nothing stands before or after is laid out in rows of so many.
MOST_ACROSS = 4


@dataclass(frozen=True)
class Box:
    """A stretch of a part's route; `head` names part and operations, `name` the part."""

    x: int
    y: int
    head: str
    name: str
    done: bool
    waits: bool
    on_chain: bool

    @property
    def text_x(self) -> int:
        return self.x + 9

    @property
    def head_y(self) -> int:
        return self.y + 18

    @property
    def name_y(self) -> int:
        return self.y + 36

    @property
    def mark_x(self) -> int:
        return self.x + WIDTH - 14

    @property
    def mark_y(self) -> int:
        return self.y + 14


@dataclass(frozen=True)
class Line:
    """From what comes first to what needs it; `path` as an SVG has it."""

    path: str
    done: bool
    on_chain: bool


class Stroke(NamedTuple):
    """All lines or boxes (`kind`) that look alike."""

    kind: str
    done: bool
    on_chain: bool
    path: str


@dataclass(frozen=True)
class NetworkDrawing:
    """A network drawn; `id` is unique on its page."""

    id: str
    title: str
    description: str
    width: int
    height: int
    boxes: tuple[Box, ...]
    lines: tuple[Line, ...]
    box_width: int = WIDTH
    box_height: int = HEIGHT

    @property
    def strokes(self) -> tuple[Stroke, ...]:
        """Lines, then boxes: what looks alike is one path."""
        paths: defaultdict[tuple[str, bool, bool], str] = defaultdict(str)
        for line in self.lines:
            paths["line", line.done, line.on_chain] += line.path
        for box in self.boxes:
            paths["box", box.done, box.on_chain] += f"M{box.x} {box.y}h{WIDTH}v{HEIGHT}h-{WIDTH}z"
        return tuple(Stroke(*look, path) for look, path in paths.items())


def network_drawing(work: MilestoneWork) -> NetworkDrawing | None:
    """Draw what is open, and what was done right before it. None where nothing is said about the order of it."""
    shown = _Shown(work)
    if not shown.lines:
        return None
    places = shown.places()
    across = max(x for x, _y in places.values()) + WIDTH + MARGIN
    down = max(y for _x, y in places.values()) + HEIGHT + MARGIN
    return NetworkDrawing(
        id=f"network-{work.milestone.pk}",
        title=_("What leads to {milestone}", milestone=work.milestone.name),
        description=_(
            "Parts from left to right, each behind what it needs first. What is drawn dashed is still to make, the "
            "heavy lines are the chain with the most hours. The list says the same."
        ),
        width=across,
        height=down,
        boxes=tuple(shown.box(number, *places[number]) for number in shown.stretches),
        lines=tuple(shown.line(places, *ends) for ends in shown.lines),
    )


# A stretch by its number, or where a line between two of them goes through a column.
Spot = int | tuple[int, int, int]


class _Shown:
    """The stretches of a milestone's network that are drawn, by their number."""

    def __init__(self, work: MilestoneWork) -> None:
        self.work = work
        everything = dict(enumerate(work.network.stretches))
        self.is_open = {number for number, stretch in everything.items() if not self._done(stretch)}
        lines = [line for line in work.network.lines if line[1] in self.is_open]
        drawn = self.is_open | {before for before, _behind in lines}
        self.stretches = {number: stretch for number, stretch in everything.items() if number in drawn}
        self.lines = lines
        self.chain = work.chain_numbers
        chain = [number for number in self.stretches if self._on_chain(number)]
        self.chain_lines = set(pairwise(sorted(chain, key=lambda number: self.stretches[number].layer)))

    def _steps(self, stretch: Stretch) -> list[Place]:
        return [Place(stretch.part, number) for number in stretch.operations] or [Place(stretch.part)]

    def _done(self, stretch: Stretch) -> bool:
        return all(self.work.needs.at(place).done for place in self._steps(stretch))

    def places(self) -> dict[Spot, tuple[int, int]]:
        """Where each stands, and where lines go through the columns between: what has no lines is in rows below."""
        layers = self._layers()
        columns: defaultdict[int, list[Spot]] = defaultdict(list)
        before: defaultdict[Spot, list[Spot]] = defaultdict(list)
        for number, layer in layers.items():
            columns[layer].append(number)
        for line in self.lines:
            for one, behind in pairwise(self._spots(line, layers)):
                before[behind].append(one)
                if behind not in layers:
                    columns[behind[2]].append(behind)
        at: dict[Spot, tuple[int, int]] = {}
        rows: dict[Spot, int] = {}
        for column in sorted(columns):
            # Beside what it needs, so that lines stay short.
            wished = {spot: mean([rows[one] for one in before[spot]] or [0]) for spot in columns[column]}
            for row, spot in enumerate(sorted(columns[column], key=wished.__getitem__)):
                rows[spot] = row
                at[spot] = _corner(column, row)
        first = max(rows.values(), default=-1) + 1
        across = max(len(columns), MOST_ACROSS)
        for place, number in enumerate(number for number in self.stretches if number not in layers):
            at[number] = _corner(place % across, first + place // across)
        return at

    def _layers(self) -> dict[int, int]:
        """The columns of what has lines: each one behind all that it needs and is drawn."""
        layers = dict.fromkeys((number for line in self.lines for number in line), 0)
        for one, behind in sorted(self.lines, key=lambda line: self.stretches[line[1]].layer):
            layers[behind] = max(layers[behind], layers[one] + 1)
        # What was done stands right before the first that needs it.
        for number in layers.keys() - self.is_open:
            layers[number] = min(layers[behind] for one, behind in self.lines if one == number) - 1
        return layers

    @staticmethod
    def _spots(line: tuple[int, int], layers: dict[int, int]) -> list[Spot]:
        """The way of a line: its ends, and a spot of its own in each column between them."""
        one, behind = line
        return [one, *((one, behind, layer) for layer in range(layers[one] + 1, layers[behind])), behind]

    def box(self, number: int, x: int, y: int) -> Box:
        stretch = self.stretches[number]
        row = self.work.needs.at(Place(stretch.part)).row
        head = stretch.part if stretch.whole else f"{stretch.part} · {_numbers(stretch)}"
        done = number not in self.is_open
        name = shortened(row.part.name, LETTERS)
        return Box(x, y, shortened(head, LETTERS - 3), name, done, not done and waits(row), self._on_chain(number))

    def _on_chain(self, number: int) -> bool:
        return any(place in self.chain for place in self._steps(self.stretches[number]))

    def line(self, places: dict[Spot, tuple[int, int]], before: int, behind: int) -> Line:
        between = sorted(spot for spot in places if isinstance(spot, tuple) and spot[:2] == (before, behind))
        x, y = places[before][0] + WIDTH, places[before][1] + HEIGHT // 2
        path = f"M{x} {y}"
        for spot in (*between, behind):
            to_x, to_y = places[spot][0], places[spot][1] + HEIGHT // 2
            path += f"C{x + APART // 2} {y} {to_x - APART // 2} {to_y} {to_x} {to_y}"
            x, y = to_x + WIDTH, to_y
            path += f"H{x}" if spot != behind else ""
        return Line(path, before not in self.is_open, (before, behind) in self.chain_lines)


def _corner(column: int, row: int) -> tuple[int, int]:
    return MARGIN + column * (WIDTH + APART), MARGIN + row * (HEIGHT + BELOW)


def _numbers(stretch: Stretch) -> str:
    first, last = stretch.operations[0], stretch.operations[-1]
    return str(first) if first == last else f"{first}–{last}"
