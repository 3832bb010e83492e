"""The board's drawings of parts and pieces, a mark or a box for each; and of hours beside their plan."""

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from builds.charts.drawing import BLUE, BRASS, INK, LEAD, QUIET
from builds.queries.plan.piece_row import PieceRow
from builds.queries.visitors.hardest import OverPlan

# Fill, ink, width of the line in pixels and its dashes, by the state of a part or piece.
BOXES = {"good": (BRASS, INK, 2, "none"), "work": ("none", BLUE, 7, "none"), "make": ("none", QUIET, 2, "9 6")}
# The marks of a row of pieces (piece.css), each in a square of 100.
_SQUARE = "M10 10h80v80h-80z"
MARKS = {
    "good": format_html('<path d="{}" fill="{}" stroke="{}"/>', _SQUARE, BRASS, INK),
    "reworked": format_html('<path d="M10 10h42v38h38v42h-80z" fill="{}" stroke="{}"/>', BRASS, INK),
    "work": format_html('<path d="{}" fill="none" stroke="{}" stroke-width="16"/>', _SQUARE, BLUE),
    "make": format_html('<path d="{}" fill="none" stroke="{}" stroke-dasharray="14 9"/>', _SQUARE, QUIET),
    "spare": format_html('<circle cx="50" cy="50" r="40" fill="{}" stroke="{}"/>', BRASS, INK),
    "scrap": format_html('<path d="{}M10 10L90 90M10 90L90 10" fill="none" stroke="{}"/>', _SQUARE, LEAD),
}


def boxes(row: PieceRow) -> SafeString:
    """A box for each part or piece across the whole width: filled is done, thick is in work, dashed is to make."""
    states = _each(row)
    wide = 1000 / max(len(states), 1)
    gap = min(8.0, wide / 5)
    drawn = (
        (f"{n * wide + gap / 2:.1f}", f"{wide - gap:.1f}", *BOXES.get(state, BOXES["good"]))
        for n, state in enumerate(states)
    )
    box = '<rect x="{}" y="1" width="{}" height="98" fill="{}" stroke="{}" stroke-width="{}" stroke-dasharray="{}"/>'
    return format_html(
        '<svg class="board__boxes" viewBox="0 0 1000 100" preserveAspectRatio="none" role="img" '
        'aria-label="{}">{}</svg>',
        row.sentence, format_html_join("", box, drawn),
    )  # fmt: skip


def pieces(row: PieceRow) -> SafeString:
    """Every piece as its mark, in so many rows that they are as large as they can be."""
    states = _each(row)
    across = max(range(1, len(states) + 1), key=lambda n: min(1600 / n, 460 / -(-len(states) // n)))
    drawn = (
        (f"translate({100 * (n % across)} {100 * (n // across)})", MARKS.get(state, MARKS["good"]))
        for n, state in enumerate(states)
    )
    return format_html(
        '<svg class="board__drawing" viewBox="0 0 {} {}" role="img" aria-label="{}" stroke-width="5">{}</svg>',
        100 * across, 100 * -(-len(states) // across), row.sentence,
        format_html_join("", '<g transform="{}">{}</g>', drawn),
    )  # fmt: skip


def over_plan(over: OverPlan) -> SafeString:
    """What was planned, dashed, above what it took."""
    return format_html(
        '<svg class="board__drawing" viewBox="-4 0 1608 420" role="img" aria-label="{}" stroke-width="6">'
        '<path d="{}" fill="none" stroke="{}" stroke-dasharray="18 12"/><path d="{}" fill="{}" stroke="{}"/></svg>',
        over.sentence, f"M0 10h{1600 * over.planned / over.actual:.0f}v180H0z", QUIET, "M0 230h1600v180H0z", BRASS, INK,
    )  # fmt: skip


def _each(row: PieceRow) -> list[str]:
    return [group.state for group in row.groups for _n in range(group.count)]
