"""The drawings of the board: plain lines, made without Matplotlib, so that a board is drawn in an instant.

Letters in a drawing only repeat what stands beside it in words. Inks as in `charts.drawing`; the sheet re-inks them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from builds.charts.drawing import BLUE, BRASS, INK, QUIET, RULE, SHEET
from builds.queries.visitors.figures import FOOT, INCH, length_in_words
from builds.queries.visitors.sizes import Extent
from builds.queries.visitors.way import StepOnTheWay, WayTold
from calcs.messages import _

# Heights in mm, so that eye and hand have a measure: common practice, rounded.
PERSON, HAND = 1750.0, 185.0
_PERSON = (
    "M-55-1530C-60-1490-120-1470-190-1445C-235-1430-250-1380-252-1320L-268-1000-262-760C-255-720-215-720-212-760"
    "L-205-1000-185-1260-178-980-172-880-150-420-140-60C-175-30-180-5-150 0L-60 0C-50-10-52-40-55-60L-40-450 0-820"
    " 40-450 55-60C52-40 50-10 60 0L150 0C180-5 175-30 140-60L150-420 172-880 178-980 185-1260 205-1000 212-760"
    "C215-720 255-720 262-760L268-1000 252-1320C250-1380 235-1430 190-1445C120-1470 60-1490 55-1530"
    "M0-1525A88 112 0 1 0-.1-1525"
)
_HAND = (
    "M-28 0L-32-40C-40-60-60-85-70-105C-76-118-62-126-54-114L-38-88-41-160C-41-171-25-171-24-160L-22-112-20-174"
    "C-20-187-3-187-3-174L-1-112 3-165C4-177 20-177 19-164L17-108 26-140C28-151 41-149 40-138L34-80C34-50 30-30 28 0Z"
)
STEPS = {"mm": (10, 50, 100, 500, 1000, 5000, 10_000), "in": (INCH, 6 * INCH, FOOT, 5 * FOOT, 25 * FOOT, 100 * FOOT)}
MOST_SQUARES = 14
# How tall a step's line is, of 1012 units across.
TALL = 61


@dataclass(frozen=True)
class ToScale:
    """A drawing to scale, and how large each square of it is, in words."""

    svg: SafeString
    square: str


def to_scale(extent: Extent, *, hand: bool) -> ToScale | None:
    """How large something is beside a person, or beside a hand. None where no length is known."""
    length, height = extent.length, extent.height or 0.0
    if not length:
        return None
    beside, tall, wide = (_HAND, HAND, 120.0) if hand else (_PERSON, PERSON, 560.0)
    top = max(height, tall)
    gap, letters = 0.08 * top, 0.085 * max(top, 0.4 * length)
    step = next(
        (one for one in STEPS[extent.unit] if max(length, height) / one <= MOST_SQUARES), STEPS[extent.unit][-1]
    )
    full = length + 2 * gap + wide
    left = 2.1 * letters if height else letters
    box = f"{-left:.0f} {-top - gap:.0f} {full + left + 0.2 * letters:.0f} {top + gap + 2.4 * letters:.0f}"
    sentence = _("{size}, to scale beside a hand") if hand else _("{size}, to scale beside a person")
    svg = format_html(
        '<svg class="board__drawing" viewBox="{}" role="img" aria-label="{}" fill="none" stroke="{}"'
        ' stroke-width="{}">{}{}<path d="{}" transform="translate({} 0)"/><path d="M0 0H{}"/></svg>',
        box, sentence.format(size=extent.words), INK, f"{top / 160:.1f}", _squares(length, height, step),
        _dimensions(extent, length, height, letters), beside, f"{length + 2 * gap + wide / 2:.0f}", f"{full:.0f}",
    )  # fmt: skip
    return ToScale(svg, length_in_words(step, extent.unit))


def _squares(length: float, height: float, step: float) -> SafeString:
    """What it fills as section paper, with a thick edge; a line where its height is not known."""
    lines = [f"M{n * step:.1f} 0V{-height:.1f}" for n in range(1, int(length / step) + 1) if height]
    lines += [f"M0 {-n * step:.1f}H{length:.1f}" for n in range(1, int(height / step) + 1)]
    large = max(length, height)
    return format_html(
        '<path d="{}" stroke="{}" stroke-width="{}"/><path d="{}" stroke="{}" stroke-width="{}"/>',
        "".join(lines), RULE, f"{large / 300:.1f}", f"M0 0H{length:.1f}V{-height:.1f}H0Z", BLUE, f"{large / 80:.1f}",
    )  # fmt: skip


def _dimensions(extent: Extent, length: float, height: float, letters: float) -> SafeString:
    """Lines with their arrows below the length and beside the height, with their figures."""
    across = _dimension(length, letters, length_in_words(length, extent.unit))
    if not height:
        return across
    up = _dimension(height, -letters, length_in_words(height, extent.unit))
    return across + format_html('<g transform="rotate(-90)">{}</g>', up)


def _dimension(size: float, letters: float, words: str) -> SafeString:
    """From 0 to the right: below the line that is measured, or above it where `letters` is less than nothing."""
    at, arrow, half = 0.6 * letters, 0.3 * abs(letters), 0.15 * letters
    line = f"M0 {at:.1f}H{size:.1f}M{arrow:.1f} {at - half:.1f}L0 {at:.1f} {arrow:.1f} {at + half:.1f}"
    below = at + (1.2 * letters if letters > 0 else 0.25 * letters)
    return format_html(
        '<path d="{}"/><text x="{}" y="{}" font-size="{}" text-anchor="middle" fill="{}" stroke="none">{}</text>',
        f"{line}M{size - arrow:.1f} {at - half:.1f}L{size:.1f} {at:.1f} {size - arrow:.1f} {at + half:.1f}",
        f"{size / 2:.1f}", f"{below:.1f}", f"{abs(letters):.1f}", INK, words,
    )  # fmt: skip


def months(hours: Sequence[tuple[date, float]], words: str) -> SafeString:
    """A column a month, as high as its hours; the years stand below."""
    wide, high = 1600.0, 360.0
    each, most = wide / max(len(hours), 12), max((one for _day, one in hours), default=0.0) or 1.0
    columns = "".join(
        f"M{(n + 0.12) * each:.1f} {high:.1f}v{-high * one / most:.1f}h{0.76 * each:.1f}V{high:.1f}z"
        for n, (_day, one) in enumerate(hours)
        if one > 0
    )
    return format_html(
        '<svg class="board__drawing" viewBox="0 0 1600 440" role="img" aria-label="{}"><path fill="{}" stroke="{}" '
        'stroke-width="3" d="{}"/><path d="M0 360H1600" stroke="{}" stroke-width="6"/>{}</svg>',
        words, BRASS, INK, columns, INK, _years(hours, each),
    )  # fmt: skip


def _years(hours: Sequence[tuple[date, float]], each: float) -> SafeString:
    at: dict[int, list[int]] = {}
    for n, (day, _hours) in enumerate(hours):
        at.setdefault(day.year, []).append(n)
    # A year of a few months has no room for its figure.
    told = [(f"{(ns[0] + ns[-1] + 1) / 2 * each:.1f}", year) for year, ns in at.items() if len(ns) * each >= 120]
    ticks = "".join(f"M{ns[0] * each:.1f} 360V400" for ns in at.values())
    return format_html(
        '<path d="{1}" stroke="{0}" stroke-width="4"/><g fill="{0}" font-size="52" text-anchor="middle">{2}</g>',
        INK,
        ticks,
        format_html_join("", '<text x="{}" y="425">{}</text>', told),
    )


def chips(percent: int, words: str) -> SafeString:
    """A hundred grams: those that stay as bars, those that are cut away as curls."""
    cells = [(80 * (n % 20), 92 * (n // 20)) for n in range(100)]
    stay = "".join(f"M{x + 10} {y + 12}h60v68h-60z" for x, y in cells[percent:])
    curl = "c12-46 52-44 54-8s-38 40-40 12 26-22 24-4"
    away = "".join(f"M{x + 12} {y + 52}{curl}" for x, y in cells[:percent])
    return format_html(
        '<svg class="board__drawing" viewBox="0 0 1600 460" role="img" aria-label="{}"><path fill="{}" stroke="{}" '
        'stroke-width="4" d="{}"/><path d="{}" fill="none" stroke="{}" stroke-width="6"/></svg>',
        words, BRASS, INK, stay, away, BLUE,
    )  # fmt: skip


def masses(grams: Sequence[float], words: str) -> SafeString:
    """An area for each mass, the largest first, with its number."""
    areas = list(_areas(list(grams), 0.0, 0.0, 1200.0, 640.0))
    fills = (BRASS, SHEET, RULE)
    outlines = [(f"M{x:.0f} {y:.0f}h{w:.0f}v{h:.0f}h{-w:.0f}z", fills[n % 3]) for n, (x, y, w, h) in enumerate(areas)]
    return format_html(
        '<svg class="board__drawing" viewBox="-3 -3 1206 646" role="img" aria-label="{}"><g stroke="{}" '
        'stroke-width="6">{}</g><g fill="{}" font-size="48" text-anchor="middle">{}</g></svg>',
        words, INK, format_html_join("", '<path d="{}" fill="{}"/>', outlines), INK,
        format_html_join("", "{}", ((_number(n, *area),) for n, area in enumerate(areas, start=1))),
    )  # fmt: skip


def _number(n: int, x: float, y: float, w: float, h: float) -> SafeString:
    """Its number on a disc; nothing where the area is too small for it."""
    if min(w, h) < 76:
        return SafeString("")
    across, down = f"{x + w / 2:.1f}", y + h / 2
    return format_html(
        '<circle cx="{0}" cy="{1}" r="34" fill="{3}" stroke="{4}" stroke-width="3"/><text x="{0}" y="{2}">{5}</text>',
        across, f"{down:.1f}", f"{down + 17:.1f}", SHEET, INK, n,
    )  # fmt: skip


def _areas(shares: list[float], x: float, y: float, w: float, h: float) -> Iterator[tuple[float, float, float, float]]:
    """A rectangle for each share of a rectangle: cut in two across its longer side, as near to halves as it goes."""
    if len(shares) < 2:
        yield from [(x, y, w, h)] * len(shares)
        return
    total = sum(shares)
    cut = min(range(1, len(shares)), key=lambda n: abs(sum(shares[:n]) - total / 2))
    share = sum(shares[:cut]) / total
    if w >= h:
        yield from _areas(shares[:cut], x, y, w * share, h)
        yield from _areas(shares[cut:], x + w * share, y, w * (1 - share), h)
    else:
        yield from _areas(shares[:cut], x, y, w, h * share)
        yield from _areas(shares[cut:], x, y + h * share, w, h * (1 - share))


@dataclass(frozen=True)
class _Time:
    """The time from the start to the last day that is told, as a line of a thousand units."""

    first: date
    last: date

    def at(self, day: date | None) -> float:
        """Where a day stands; None lies beyond the end."""
        days = max((self.last - self.first).days, 1)
        return 1000.0 if day is None else max(0.0, min(1000.0, 1000 * (day - self.first).days / days))


def stretches(way: WayTold) -> list[tuple[StepOnTheWay, SafeString]]:
    """Each step with its line, all to one scale; without a line where nothing is told of its time.

    Continuous is the time so far, dashed what is ahead, hatched when it may be reached.
    """
    rows = [*way.steps, *([way.end] if way.end else [])]
    days = [one for row in rows for one in (row.early, row.late) if one]
    if not days or way.begun_on is None:
        return [(row, SafeString("")) for row in rows]
    time = _Time(way.begun_on, max(*days, way.as_of))
    return [(row, _stretch(row, time, time.at(way.as_of)) if row.when else SafeString("")) for row in rows]


def _stretch(row: StepOnTheWay, time: _Time, now: float) -> SafeString:
    early = time.at(row.early)
    lines = _to(early) if row.reached else _ahead(now, early, max(time.at(row.late), early + 12))
    return format_html('<svg class="board__stretch" viewBox="0 0 1012 {}" aria-hidden="true">{}</svg>', TALL, lines)


def _to(end: float) -> SafeString:
    end = max(end, 8)
    return format_html(
        '<path d="{}" stroke="{}" stroke-width="10"/>', f"M0 {TALL / 2}H{end:.1f}M{end:.1f} 4V{TALL - 4}", INK
    )


def _ahead(now: float, early: float, late: float) -> SafeString:
    low, high, middle = TALL - 4, 4, TALL / 2
    hatch = "".join(
        f"M{x:.0f} {low}L{min(x + low - high, late):.0f} {max(high, low - late + x):.0f}"
        for x in _every(early, late, 20)
    )
    return format_html(
        '<path d="{}" stroke="{}" stroke-width="10"/><path d="{}" stroke="{}" stroke-width="8" '
        'stroke-dasharray="18 12"/><path d="{}" stroke="{}" stroke-width="5" fill="none"/>',
        f"M0 {middle}H{now:.1f}", INK, f"M{now:.1f} {middle}H{early:.1f}", QUIET,
        f"M{early:.1f} {high}H{late:.1f}V{low}H{early:.1f}Z{hatch}", BLUE,
    )  # fmt: skip


def _every(first: float, last: float, step: float) -> Iterator[float]:
    while first < last:
        yield first
        first += step
