"""A drawing sheet as an office draws it: lines after ISO 128, sizes after ISO 129-1, frame after ISO 5457 (A4, lying),
title block after ISO 7200. Places and lengths are millimetres from the lower left corner; parts are drawn twice
their size.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees, hypot
from pathlib import Path
from typing import Any

WIDE, HIGH = 297.0, 210.0
INK = "#1b2026"
THICK, THIN = 1.4, 0.6
"""Points: 0.5 and 0.2 mm, two to one as the standard has it."""
CENTRE, HIDDEN = (0, (12, 3, 1.5, 3)), (0, (6, 3))
SCALE = 2 * 25.4

Place = tuple[float, float]


@dataclass(frozen=True)
class Title:
    """What stands in the title block."""

    number: str
    revision: str
    title: str
    parts: str
    material: str


class DrawingSheet:
    """One sheet with its frame and title block, drawn on by lines, sizes and notes."""

    def __init__(self, title: Title) -> None:
        from matplotlib.figure import Figure

        self.figure = Figure(figsize=(WIDE / 25.4, HIGH / 25.4))
        self.axes: Any = self.figure.add_axes((0, 0, 1, 1))
        self.axes.set(xlim=(0, WIDE), ylim=(0, HIGH))
        self.axes.axis("off")
        self._frame()
        self._title_block(title)

    def write(self, file: Path) -> None:
        """The sheet as a PDF that is the same to the byte each time."""
        told = {"CreationDate": None, "Producer": None, "Creator": None}
        self.figure.savefig(file, format="pdf", metadata=told)

    # ---- lines ------------------------------------------------------------------------------------------------------
    def edge(self, *places: Place, width: float = THICK, style: Any = "-") -> None:
        """Lines from place to place: thick and continuous for what is seen."""
        self.axes.plot(*zip(*places, strict=True), color=INK, lw=width, ls=style, solid_joinstyle="round")

    def closed(self, *places: Place) -> None:
        """A closed outline."""
        self.edge(*places, places[0])

    def hidden(self, *places: Place) -> None:
        """An edge that is not seen from here."""
        self.edge(*places, width=THIN, style=HIDDEN)

    def centre(self, start: Place, end: Place) -> None:
        """An axis."""
        self.edge(start, end, width=THIN, style=CENTRE)

    def circle(self, at: Place, diameter: float, *, width: float = THICK, style: Any = "-") -> None:
        """A circle by its diameter."""
        from matplotlib.patches import Circle

        self.axes.add_patch(Circle(at, diameter / 2, fill=False, ec=INK, lw=width, ls=style))

    def cut(self, *places: Place) -> None:
        """A face that is cut: hatched at 45 degrees inside its thick outline."""
        from matplotlib.patches import Polygon

        self.axes.add_patch(Polygon(places, closed=True, fill=False, ec=INK, lw=0, hatch="///"))
        self.closed(*places)

    # ---- words and sizes --------------------------------------------------------------------------------------------
    def note(self, at: Place, text: str, size: float = 8, ha: str = "left", turned: float = 0) -> None:
        """Letters; a size of 8 points stands 2 mm high."""
        self.axes.text(*at, text, size=size, color=INK, ha=ha, va="center", rotation=turned)

    def size(self, start: Place, end: Place, away: float, text: str) -> None:
        """The distance of two places, on a line so far from them, to the left of the way from one to the other."""
        length = hypot(end[0] - start[0], end[1] - start[1])
        along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
        left = (-along[1], along[0])
        sign = 1 if away > 0 else -1
        ends = []
        for place in (start, end):
            foot = (place[0] + left[0] * away, place[1] + left[1] * away)
            near = (place[0] + left[0] * sign, place[1] + left[1] * sign)
            past = (foot[0] + left[0] * 1.5 * sign, foot[1] + left[1] * 1.5 * sign)
            self.edge(near, past, width=THIN)
            ends.append(foot)
        self._arrows(ends[0], ends[1], inside=length > 9)
        if length <= 9:
            self.note((ends[1][0] + along[0] * 7.5, ends[1][1] + along[1] * 7.5), text)
            return
        middle = ((ends[0][0] + ends[1][0]) / 2 + left[0] * 2.2, (ends[0][1] + ends[1][1]) / 2 + left[1] * 2.2)
        turned = degrees(atan2(along[1], along[0]))
        self.note(middle, text, ha="center", turned=turned if -90 < turned <= 90 else turned - 180)

    def leader(self, to: Place, corner: Place, text: str) -> None:
        """A line with an arrow to a place, its words on a shelf."""
        right = corner[0] >= to[0]
        shelf = corner[0] + (3 if right else -3)
        self.edge((shelf, corner[1]), corner, width=THIN)
        self._arrow(corner, to)
        self.note((shelf + (1 if right else -1), corner[1]), text, ha="left" if right else "right")

    def _arrows(self, start: Place, end: Place, inside: bool) -> None:
        if inside:
            self._arrow(start, end)
            self._arrow(end, start)
            return
        length = hypot(end[0] - start[0], end[1] - start[1])
        step = ((end[0] - start[0]) / length * 6, (end[1] - start[1]) / length * 6)
        self._arrow((start[0] - step[0], start[1] - step[1]), start)
        self._arrow((end[0] + step[0], end[1] + step[1]), end)
        self.edge(start, end, width=THIN)

    def _arrow(self, start: Place, tip: Place) -> None:
        how = {
            "arrowstyle": "-|>,head_length=0.5,head_width=0.13",
            "color": INK,
            "lw": THIN,
            "shrinkA": 0,
            "shrinkB": 0,
        }
        self.axes.annotate("", xy=tip, xytext=start, arrowprops=how)

    # ---- frame and title block --------------------------------------------------------------------------------------
    def _frame(self) -> None:
        self.closed((20, 10), (WIDE - 10, 10), (WIDE - 10, HIGH - 10), (20, HIGH - 10))
        for x, y, dx, dy in ((153.5, 10, 0, -5), (153.5, 200, 0, 5), (20, 105, -5, 0), (287, 105, 5, 0)):
            self.edge((x, y), (x + dx, y + dy))
        for number in range(6):
            self.note((20 + 267 / 6 * (number + 0.5), HIGH - 7), str(number + 1), 7, "center")
        for number, letter in enumerate("DCBA"):
            self.note((17, 10 + 190 / 4 * (number + 0.5)), letter, 7, "center")

    def _title_block(self, title: Title) -> None:
        """180 mm would fill the width, so it is 150: what the standard asks for, in two rows beside the title."""
        left, foot, right, top = 137.0, 10.0, 287.0, 46.0
        self.closed((left, foot), (right, foot), (right, top), (left, top))
        rows: Sequence[Sequence[tuple[float, str, str]]] = (
            (
                (36, "Owner", "Launch engine shop"), (44, "Part", title.parts), (42, "Material", title.material),
                (28, "General tolerance", "ISO 2768-m"),
            ),
            ((50, "Document type", "Detail drawing"), (60, "Title", title.title), (40, "Number", title.number)),
            ((50, "Drawn by", "Maren"), (26, "Approved", "Oke"), (34, "Issued", "2023-05-14")),
        )  # fmt: skip
        for number, row in enumerate(rows):
            y, x = top - 12 * (number + 1), left
            self.edge((left, y), (right, y), width=THIN)
            for wide, name, said in row:
                self._field(x, y, wide, name, said)
                x += wide
        for x, wide, name, said in (
            (247.0, 12, "Rev.", title.revision),
            (259.0, 14, "Lang.", "en"),
            (273.0, 14, "Sheet", "1/1"),
        ):
            self._field(x, foot, wide, name, said)
        self._first_angle(112, 20)
        self.note((100, 14), "2:1   sizes in inches", 7, "center")

    def _field(self, x: float, y: float, wide: float, name: str, said: str) -> None:
        self.edge((x + wide, y), (x + wide, y + 12), width=THIN)
        self.note((x + 1.2, y + 9.6), name, 4.5)
        self.note((x + 1.6, y + 4.2), said, 7.5 if len(said) < wide / 1.9 else 6)

    def _first_angle(self, x: float, y: float) -> None:
        """The sign that says from which side each view is looked at."""
        self.circle((x, y + 8), 8)
        self.circle((x, y + 8), 4.5)
        self.closed((x - 22, y + 4), (x - 22, y + 12), (x - 12, y + 10.25), (x - 12, y + 5.75))
        self.centre((x - 25, y + 8), (x + 6, y + 8))
        self.centre((x, y + 2), (x, y + 14))
