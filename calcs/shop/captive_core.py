"""A core held captive in its frame: a ball, cube or star turned inside a cubic block through six round windows.

Every cut is a solid of revolution about the middle of its face: a window through the wall, where wanted a wider room
behind the wall, and down to the core. The six are alike, so a point of the block is taken away, if at all, by the cut
of the face it lies nearest to. What is left is the core, and the frame: all points that lie outside of the six
windows and rooms. From that follows, with R the window's radius, U the room's, B from the middle to the wall:

- The frame comes nearest to the middle at its eight inner corners, √1.5·U away, or at the wall's inner edge, √(B² + R²)
  away. What fits into a ball of that radius turns round its middle.
- The core is off the frame where its surface, U from an axis, lies lower than the point U/√2 up where three rooms meet.
- A core leaves through a window only if its middle passes the window's plane, and then its section there lies in the
  window. Every section through the middle is at least as wide as the ball, as √2 edges of the cube, as 1/√2 of the star
  from point to point: what is wider than the window there stays in, however it is tilted.
- Ball and cube pass straight out of a window of just that width, the star out of one of √(2/3) of its size.
  Between its two bounds a star does not pass straight, and this sum does not know whether it does tilted.

Source: plane and solid geometry; the tests cut such blocks out of small cubes and turn the cores in all directions.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, get_args

Shape = Literal["ball", "cube", "star"]
SHAPES: tuple[Shape, ...] = get_args(Shape)


@dataclass(frozen=True)
class Frame:
    """The block with its six windows, in mm. Straight windows: `widened` is the window and `wall` is 0."""

    block: float
    window: float
    widened: float
    wall: float

    @property
    def half(self) -> float:
        """From the middle to a face."""
        return self.block / 2

    @property
    def inside(self) -> float:
        """From the middle to the wall."""
        return self.half - self.wall

    @property
    def corner(self) -> float:
        """From the middle to an inner corner, where three rooms meet."""
        return math.sqrt(1.5) * self.widened / 2

    @property
    def wall_edge(self) -> float:
        """From the middle to the wall's inner edge round a window."""
        return math.hypot(self.inside, self.window / 2)

    @property
    def room(self) -> float:
        """The radius of the largest ball in the frame."""
        return min(self.corner, self.wall_edge)

    @property
    def meeting(self) -> float:
        """How far towards each face an inner corner lies from the middle."""
        return self.widened / math.sqrt(8)

    @property
    def bar(self) -> float:
        """The side of the square bar left along the middle of an edge."""
        return self.half - self.widened / 2

    @property
    def corner_thickness(self) -> float:
        """What is left of a corner, on the block's diagonal."""
        return math.sqrt(3) * (self.half - self.meeting)


@dataclass(frozen=True)
class Core:
    """A ball by its diameter, a cube by its edge, a star from point to point; in mm.

    A star has a point toward each window, turned to 90° from each of the six faces. It holds the octahedron of its
    points, and bulges a little beyond it.
    """

    shape: Shape
    size: float

    @property
    def reach(self) -> float:
        """From the middle to its farthest point."""
        return self.size / 2 * (math.sqrt(3) if self.shape == "cube" else 1)

    @property
    def least_section(self) -> float:
        """Of all sections through the middle, across the circle round the narrowest; of the star a little less."""
        return self.size * {"ball": 1.0, "cube": math.sqrt(2), "star": math.sqrt(0.5)}[self.shape]

    @property
    def least_outline(self) -> float:
        """Across the narrowest ring that it passes straight."""
        return self.size * {"ball": 1.0, "cube": math.sqrt(2), "star": math.sqrt(2 / 3)}[self.shape]

    def height_at(self, out: float) -> float:
        """How high its surface, as it is turned from a face, lies over the middle, `out` from that face's axis."""
        if self.shape == "ball":
            return math.sqrt(max(0.0, (self.size / 2) ** 2 - out**2))
        return self.size / 2 - (out if self.shape == "star" else 0.0)


def comes_free(frame: Frame, core: Core) -> bool:
    """Whether nothing joins the core to the frame once all six faces are cut."""
    off_corners = core.height_at(frame.widened / 2) < frame.meeting
    return off_corners and core.height_at(frame.window / 2) < frame.inside


def turns(frame: Frame, core: Core) -> bool:
    """Whether the core turns in every direction about its middle."""
    return comes_free(frame, core) and core.reach < frame.room


def stays_in(frame: Frame, core: Core) -> bool | None:
    """Whether the core cannot leave by a window; None where it does not pass straight and might pass tilted."""
    if core.least_section > frame.window:
        return True
    return False if core.least_outline <= frame.window else None


def sizes_that_do(frame: Frame, shape: Shape) -> tuple[float, float] | None:
    """Between which sizes a core comes free, turns and stays in, both ends left out; None where no size does."""
    one = Core(shape, 1.0)
    low, high = frame.window / one.least_section, min(frame.room / one.reach, frame.block)
    # Straight windows leave a cube one size that would just do, and the dust of rounding round it.
    return (low, high) if high - low > 1e-9 * high else None
