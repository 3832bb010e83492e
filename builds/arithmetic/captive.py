"""A core turned inside a block through round windows: whether it is free, turns and stays in, and how it is cut."""

from __future__ import annotations

import math
from typing import Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact
from builds.arithmetic.captive_drawing import drawing_of
from builds.arithmetic.captive_steps import SOURCES, faces_in_order, ways_of_holding
from builds.arithmetic.fields import LengthField
from builds.arithmetic.forms import Kind, SumForm
from calcs.messages import _, gettext_noop
from calcs.shop.captive_core import Shape, sizes_that_do
from calcs.shop.captive_sums import Captive, captive_core, what_cannot_be
from calcs.units.figures import format_plain
from calcs.units.quantity_text import format_both, format_quantity
from calcs.units.registry import registry

# What is asked about, and the sizes that do: {low} and {high} are lengths.
_ABOUT = {
    "ball": gettext_noop("The ball of {core}, once all six faces are cut"),
    "cube": gettext_noop("The cube of {core}, once all six faces are cut"),
    "star": gettext_noop("The star of {core}, once all six faces are cut"),
}
_DOES = {
    "ball": gettext_noop("In this block a ball from {low} to {high} is held and turns."),
    "cube": gettext_noop("In this block a cube from {low} to {high} along an edge is held and turns."),
    "star": gettext_noop("In this block a star from {low} to {high} from point to point is held and turns."),
}
_NONE_DOES = {
    "cube": gettext_noop(
        "Straight windows set no cube free that they also hold: it needs an undercut behind the wall, wider than the "
        "window."
    ),
    "star": gettext_noop(
        "No star is held here and turns as well: that needs an undercut of more than {needed} behind the wall. "
        "Without, a star can be held that only rocks."
    ),
}
_FLOOR = {
    "ball": gettext_noop("down to the ball, whose round the floor follows"),
    "cube": gettext_noop("the floor is flat, out to the rim"),
    "star": gettext_noop("down to the point; the floor slopes from it at 45°"),
}
_MARGIN = gettext_noop("These ends are geometry alone: stay well away from them, for tool, burr and wear.")
# By how much a size that is said to do lies within its bounds: a hundredth of a millimetre, a thou.
_FINE, _DUST = {"mm": 100, "in": 1000}, 1e-6


def of_shape(shape: Shape) -> Any:
    """The sum of a page about a ball, a cube or a star."""

    def worked(form: SumForm) -> Answer:
        found = captive_core(shape, **form.given("block", "window", "core", "widened", "wall"))
        size = format_quantity(form.cleaned_data["core"])
        verdict, why = _verdict(found)
        return Answer(
            _(_ABOUT[shape]).format(core=size),
            verdict,
            why,
            _facts(found, form),
            remarks=_remarks(found, form),
            drawing=drawing_of(found.frame, found.core, _drawn(found, size)),
            tables=(faces_in_order(), ways_of_holding()),
            workings=found.workings,
            sources=tuple(_(source) for source in SOURCES),
            operation="captive core",
        )

    return worked


def _verdict(found: Captive) -> tuple[str, str]:
    """What becomes of the core, and why."""
    if not found.free:
        return _("Still joined to the frame"), _("metal is left between them at the inner corners or behind the wall")
    if found.held is False:
        return _("Free, but it comes out"), _("the windows are wide enough to let it slip out")
    if found.held is None:
        return _("Free, but perhaps not held"), _("it does not pass a window straight; tilted, it might")
    if not found.turns:
        return _("Held, but it only rocks"), _("it cannot come out, and is too long to turn right round")
    return _("Held, and free to turn"), _("it cannot come out, and turns all ways about its middle")


def _facts(found: Captive, form: SumForm) -> tuple[Fact, ...]:
    facts = [_clearance(found), _against_window(found)]
    facts.append(Fact(_("Cut each face, in the middle"), format_both(found.depth), _(_FLOOR[found.core.shape])))
    past = _("past the inner corners, where three cuts meet")
    facts.append(Fact(_("Cut each face, at the rim"), _("over {depth}", depth=format_both(found.meeting)), past))
    facts.append(Fact(_("Left along the edges"), format_both(found.bar), _("square, at its thinnest")))
    facts.append(Fact(_("Left at the corners"), format_both(found.corner), _("on the diagonal of the block")))
    if found.frame.widened > found.frame.window:
        hook = (form.cleaned_data["widened"] - form.cleaned_data["window"]) / 2
        pass_in = _("beyond the rim; hook and shank go in through the window")
        facts.append(Fact(_("The hooked tool reaches"), format_both(hook), pass_in))
    return tuple(facts)


def _clearance(found: Captive) -> Fact:
    label, room = _("Clearance while it turns"), found.clearance
    if found.clearance.magnitude > 0:
        return Fact(label, format_both(room), _("all round, with the core in the middle"))
    return Fact(label, _("none"), _("too large by {size}, from the middle outward", size=format_both(-room)))


def _against_window(found: Captive) -> Fact:
    note = "" if found.core.shape == "ball" else _("where a cut through its middle is narrowest")
    if found.wider.magnitude > 0:
        return Fact(_("Wider than the window by"), format_both(found.wider), note)
    return Fact(_("Narrower than the window by"), format_both(-found.wider), note)


def _remarks(found: Captive, form: SumForm) -> tuple[str, ...]:
    """Which sizes would do in this block, inside their bounds by what can be measured."""
    shape, unit = found.core.shape, form.of_unit
    ends = sizes_that_do(found.frame, shape)
    if ends is None:
        return (_none_does(found),)
    fine = _FINE[unit] / (25.4 if unit == "in" else 1.0)
    low, high = math.floor(ends[0] * fine + _DUST) + 1, math.ceil(ends[1] * fine - _DUST) - 1
    if low > high:
        return ()
    said = {"low": f"{format_plain(low / _FINE[unit])} {unit}", "high": f"{format_plain(high / _FINE[unit])} {unit}"}
    return (_(_DOES[shape]).format(**said) + " " + _(_MARGIN),)


def _none_does(found: Captive) -> str:
    """Why no size does: the block is too small, or the room behind the windows is."""

    def as_text(size: float) -> str:
        return format_quantity(registry().Quantity(size, "mm").to(found.depth.units))

    if found.core.shape == "star" and found.frame.window * math.sqrt(2) >= found.frame.block:
        most = as_text(found.frame.block / math.sqrt(2))
        return _("A star that such windows hold is larger than the block: make them less than {most}.", most=most)
    return _(_NONE_DOES[found.core.shape]).format(needed=as_text(found.frame.window * 2 / math.sqrt(3)))


def _drawn(found: Captive, size: str) -> str:
    words = _(
        "A core of {size} in its frame, cut open across the middle, and through two opposite edges, where they come "
        "nearest. True to the sizes; core and frame are hatched each its own way.",
        size=size,
    )
    return words if found.free else words + " " + _("Where the two hatchings cross, metal is left.")


_GIVEN, _UNDERCUT = ("block", "window", "core"), ("widened", "wall")


class SizeField(LengthField):
    """A length that may be left out, and is more than zero where it is not."""

    more_than_zero = True


class CaptiveForm(SumForm):
    """Block, windows and core; what cannot be is said beside its field."""

    asks = gettext_lazy("Core")

    block = LengthField(gettext_lazy("Block, along an edge"), ("60 mm", "2-1/2 in"))
    window = LengthField(gettext_lazy("Window, across"), ("30 mm", "1-1/4 in"))
    core = LengthField(gettext_lazy("Core"), ("46 mm", "1-7/8 in"))
    widened = SizeField(
        gettext_lazy("Undercut, across"),
        ("46 mm", "1-7/8 in"),
        help_text=gettext_lazy("Behind the wall, turned with a hooked tool. Empty: straight windows."),
    )
    wall = SizeField(
        gettext_lazy("Wall"),
        ("5 mm", "3/16 in"),
        help_text=gettext_lazy("From the face to where the undercut begins."),
    )

    kinds: ClassVar[dict[str, Kind]] = {
        "ball": Kind(
            gettext_lazy("A ball"),
            of_shape("ball"),
            _GIVEN,
            _UNDERCUT,
            needed=_GIVEN,
            labels={"core": gettext_lazy("Ball, across")},
            examples={"window": ("40 mm", "1-5/8 in"), "widened": ("", ""), "wall": ("", "")},
        ),
        "cube": Kind(
            gettext_lazy("A cube"),
            of_shape("cube"),
            (*_GIVEN, *_UNDERCUT),
            needed=_GIVEN,
            labels={"core": gettext_lazy("Cube, along an edge")},
            examples={"core": ("28 mm", "1-1/8 in")},
        ),
        "star": Kind(
            gettext_lazy("A star"),
            of_shape("star"),
            (*_GIVEN, *_UNDERCUT),
            needed=_GIVEN,
            labels={"core": gettext_lazy("Star, from point to point")},
            examples={"core": ("50 mm", "2 in")},
            help={"core": gettext_lazy("A point toward each window, turned to 90° from each face.")},
        ),
    }

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors:
            sizes = {name: cleaned.get(name) for name in (*_GIVEN, *_UNDERCUT)}
            try:
                found = what_cannot_be(self.asked, **sizes)  # type: ignore[arg-type]
            except ValueError:  # The sum says so itself.
                return cleaned
            if found:
                self.add_error(*found)
        return cleaned
