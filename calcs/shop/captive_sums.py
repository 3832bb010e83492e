"""The sums of a core in its frame, line by line, and which sizes cannot be.

Source: plane and solid geometry, set out in `captive_core`.
"""

from __future__ import annotations

from dataclasses import dataclass

from calcs.messages import _, gettext_noop
from calcs.shop.captive_core import SHAPES, Core, Frame, Shape, comes_free, stays_in, turns
from calcs.units.argument_checks import Quantity, amount
from calcs.units.kinds import LENGTH
from calcs.units.quantity_text import format_quantity
from calcs.units.registry import registry
from calcs.working.builder import WorkingBuilder
from calcs.working.result import Working

# What the size of a core is, and its letter. In the sums {x} stands for it, {u} for the width behind the wall.
_SIZE = {
    "ball": ("d", gettext_noop("diameter of the ball")),
    "cube": ("c", gettext_noop("edge of the cube")),
    "star": ("p", gettext_noop("star from point to point")),
}
_REACH = {"ball": "{x} ÷ 2", "cube": "{x} × √3 ÷ 2", "star": "{x} ÷ 2"}
_SECTION = {"ball": "{x}", "cube": "{x} × √2", "star": "{x} ÷ √2"}
_AT_RIM = {
    "ball": "{a} ÷ 2 − √(({x} ÷ 2)² − ({u} ÷ 2)²)",
    "cube": "{a} ÷ 2 − {x} ÷ 2",
    "star": "{a} ÷ 2 − ({x} ÷ 2 − {u} ÷ 2)",
}


@dataclass(frozen=True)
class Captive:
    """Whether a core is free, turns and stays in (None: it does not pass straight, and might tilted), with the sums.

    clearance: all round while it turns about its middle; wider: its narrowest section through the middle, less the
    window. Either is negative where it falls short. depth: of the cut in the middle of a face; meeting: as deep as the
    inner corners, where three cuts meet. bar, corner: what is left along an edge, and of a corner on the diagonal.
    """

    frame: Frame
    core: Core
    free: bool
    turns: bool
    held: bool | None
    clearance: Quantity
    wider: Quantity
    depth: Quantity
    meeting: Quantity
    bar: Quantity
    corner: Quantity
    workings: tuple[Working, ...]


def captive_core(
    shape: Shape,
    block: Quantity,
    window: Quantity,
    core: Quantity,
    widened: Quantity | None = None,
    wall: Quantity | None = None,
) -> Captive:
    """Return whether a core turned inside a cubic block is free, turns and cannot come out, and how deep it is cut.

    core: a ball's diameter, a cube's edge, a star from point to point. widened: across the room that is turned behind
    a wall of that thickness; without both the windows are straight. ValueError for what cannot be.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> found = captive_core("ball", Q(60, "mm"), Q(40, "mm"), Q(46, "mm"))
    >>> found.turns, found.held, round(found.clearance.magnitude, 3)
    (True, True, 1.495)
    """
    if shape not in SHAPES:
        raise ValueError(_("The core is a ball, a cube or a star."))
    if found := what_cannot_be(shape, block, window, core, widened, wall):
        raise ValueError(found[1])
    across = [amount(size, LENGTH, name) for size, name in zip((block, window, core), _names(shape), strict=True)]
    straight = widened is None or wall is None
    room = across[1] if straight else amount(widened, LENGTH, _("width behind the wall"))
    frame = Frame(across[0], across[1], room, 0.0 if straight else amount(wall, LENGTH, _("wall")))
    return _sums(frame, Core(shape, across[2]), block)


def _names(shape: Shape) -> tuple[str, str, str]:
    return _("edge of the block"), _("window"), _(_SIZE[shape][1])


def what_cannot_be(
    shape: Shape, block: Quantity, window: Quantity, core: Quantity, widened: Quantity | None, wall: Quantity | None
) -> tuple[str, str] | None:
    """Return which of the sizes cannot be (its name as an argument) with a sentence, or None. ValueError as `amount`.

    A star's points may lie flush with the faces; ball and cube are smaller than the block.
    """
    edge, opening, size = (
        amount(one, LENGTH, name) for one, name in zip((block, window, core), _names(shape), strict=True)
    )
    given = {"block": format_quantity(block), "window": format_quantity(window)}
    if opening >= edge:
        return "window", _("Windows as wide as the block cut the frame apart. Make them less than {block}.", **given)
    if size > edge:
        return "core", _("That is larger than the block of {block}.", **given)
    if size == edge and shape != "star":
        return "core", _("That is as large as the block, so there is nothing to cut it out of.")
    if widened is None and wall is None:
        return None
    if wall is None:
        return "wall", _("How thick is the wall left round the window?")
    if widened is None:
        return "widened", _("How wide is it behind the wall? Or leave the wall empty, for straight windows.")
    return _room_that_cannot_be(edge, opening, widened, wall, given["window"])


def _room_that_cannot_be(
    edge: float, opening: float, widened: Quantity, wall: Quantity, window: str
) -> tuple[str, str] | None:
    """Which of width and wall leaves no room, or cuts into the walls beside it."""
    room, thick = amount(widened, LENGTH, _("width behind the wall")), amount(wall, LENGTH, _("wall"))

    def as_text(size: float) -> str:
        return format_quantity(registry().Quantity(size, "mm").to(widened.units))

    if room < opening:
        return "widened", _("Behind the wall it is no narrower than the window of {window}.", window=window)
    if 2 * thick > (edge - opening) * (1 + 1e-12):
        most = as_text((edge - opening) / 2)
        return "wall", _("That leaves no room behind it. Beside this window a wall is at most {most}.", most=most)
    if room > (edge - 2 * thick) * (1 + 1e-12):
        most = as_text(edge - 2 * thick)
        return "widened", _("That cuts into the walls of the next faces. It can be at most {most}.", most=most)
    return None


class _Sum(WorkingBuilder):
    """A sum whose lines are written once and filled twice: with letters, and with figures."""

    def __init__(self, title: str, frame: Frame, core: Core, like: Quantity) -> None:
        super().__init__(title, like)
        self.straight = frame.widened == frame.window
        letter, words = _SIZE[core.shape]
        self._sizes = {
            "a": ("a", _("edge of the block"), frame.block),
            "w": ("w", _("window"), frame.window),
            "u": ("w", _("window"), frame.window) if self.straight else ("u", _("behind the wall"), frame.widened),
            "t": ("t", _("wall"), frame.wall),
            "x": (letter, _(words), core.size),
        }
        self._letters = {key: size[0] for key, size in self._sizes.items()}
        self._figures = {key: self.show(size[2], "length") for key, size in self._sizes.items()}

    def begin(self, keys: str) -> None:
        """Write down the sizes that the sum takes."""
        for key in keys:
            self.given(*self._sizes[key], "length")

    def filled(self, symbol: str, sum_of: str, value: float, note: str = "") -> Quantity:
        """Write down a line."""
        formula = sum_of.format(**self._letters)
        numbers = sum_of.format(**self._figures) if sum_of != "{x}" else ""
        return self.line(symbol, f"{formula}, {note}" if note else formula, numbers, value, "length")

    def less(self, symbol: str, formula: str, size: float, other: float) -> Quantity:
        """Write down one size less another."""
        numbers = f"{self.show(size, 'length')} − {self.show(other, 'length')}"
        return self.line(symbol, formula, numbers, size - other, "length")


def _sums(frame: Frame, core: Core, like: Quantity) -> Captive:
    free, turning, held = comes_free(frame, core), turns(frame, core), stays_in(frame, core)
    loose, depth, meeting = _coming_free(frame, core, like, free)
    turned, clearance = _turning(frame, core, like, turning)
    staying, wider = _staying_in(frame, core, like, held)
    left, bar, corner = _what_is_left(frame, core, like)
    workings = (loose, turned, staying, left)
    return Captive(frame, core, free, turning, held, clearance, wider, depth, meeting, bar, corner, workings)


def _coming_free(frame: Frame, core: Core, like: Quantity, free: bool) -> tuple[Working, Quantity, Quantity]:
    """Depth of cut in the middle and at the inner corners, against where the core begins at the rim."""
    sums = _Sum(_("How deep each face is cut, and whether the core comes free"), frame, core, like)
    sums.begin("aux")
    depth = sums.filled(_("in the middle"), "({a} − {x}) ÷ 2", frame.half - core.size / 2)
    met = _("where three cuts meet")
    meeting = sums.filled(_("inner corners"), "{a} ÷ 2 − {u} ÷ √8", frame.half - frame.meeting, met)
    at_rim, note = _AT_RIM[core.shape], ""
    if core.shape == "ball" and core.size <= frame.widened:
        at_rim, note = "{a} ÷ 2", _("since the ball ends before the rim")
    sums.filled(_("core at the rim"), at_rim, frame.half - core.height_at(frame.widened / 2), note)
    if core.shape == "star" and not sums.straight:
        at_window = "{a} ÷ 2 − ({x} ÷ 2 − {w} ÷ 2) − {t}"
        behind = frame.inside - core.height_at(frame.window / 2)
        sums.filled(_("points behind the wall"), at_window, behind, _("beside the window"))
    said = {
        True: _("it comes free: at the rim the core lies deeper than the inner corners"),
        False: _("it stays joined: metal is left between core and frame"),
    }
    sums.remark(_("so"), said[free])
    return sums.working(), depth, meeting


def _turning(frame: Frame, core: Core, like: Quantity, turning: bool) -> tuple[Working, Quantity]:
    """The room round the middle against the farthest point of the core."""
    sums = _Sum(_("Whether it turns: all measured from the middle"), frame, core, like)
    sums.begin("ux" if sums.straight else "awutx")
    corner, edge = _("inner corner"), _("edge of the wall")
    sums.filled(corner, "√(3 ÷ 8) × {u}", frame.corner)
    if not sums.straight:
        sums.filled(edge, "√(({a} ÷ 2 − {t})² + ({w} ÷ 2)²)", frame.wall_edge)
    sums.filled(_("reach of the core"), _REACH[core.shape], core.reach)
    nearest = edge if frame.wall_edge < frame.corner else corner
    less = _("{nearest} − reach of the core", nearest=nearest)
    clearance = sums.less(_("clearance"), less, frame.room, core.reach)
    sums.remark(_("so"), _("it turns all ways about its middle") if turning else _("it does not turn all ways"))
    return sums.working(), clearance


def _staying_in(frame: Frame, core: Core, like: Quantity, held: bool | None) -> tuple[Working, Quantity]:
    """The narrowest section through the middle against the window."""
    sums = _Sum(_("Whether it can come out"), frame, core, like)
    sums.begin("wx")
    sums.filled(_("narrowest section"), _SECTION[core.shape], core.least_section)
    if core.shape == "star":
        sums.filled(_("narrowest outline"), "√(2 ÷ 3) × {x}", core.least_outline, _("three points first"))
    wider = sums.less(_("wider"), _("narrowest section − w"), core.least_section, frame.window)
    said = {
        True: _("it stays in: however it lies, its middle does not pass a window"),
        False: _("it comes out of a window"),
        None: _("it does not pass a window straight; tilted, it might"),
    }
    sums.remark(_("so"), said[held])
    return sums.working(), wider


def _what_is_left(frame: Frame, core: Core, like: Quantity) -> tuple[Working, Quantity, Quantity]:
    """The frame at its thinnest: along the edges, and at the corners on the diagonal of the block."""
    sums = _Sum(_("What is left of the frame"), frame, core, like)
    sums.begin("au")
    bar = sums.filled(_("along an edge"), "({a} − {u}) ÷ 2", frame.bar, _("square"))
    corner = sums.filled(_("corner"), "√3 × ({a} ÷ 2 − {u} ÷ √8)", frame.corner_thickness, _("on the diagonal"))
    return sums.working(), bar, corner
