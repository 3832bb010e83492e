"""What must be bought, and what the saw cuts, as tables."""

from collections.abc import Iterator

from builds.queries.shop.to_buy import ToBuy
from builds.queries.shop.to_buy_lines import CutLine, SectionCuts, cut_lines, purchase_lines
from builds.transfer.tables.out import TableOut, Value
from calcs.messages import _


def to_buy_table(page: ToBuy) -> TableOut:
    """Material by section and length, then what comes by post, then blanks whose size could not be read."""
    headings = (
        _("material"), _("section"), _("size"), _("pieces"), _("mass (kg)"), _("price of one"), _("cost"),
        _("supplier"), _("part"), _("ordered on"), _("arrived on"),
    )  # fmt: skip
    return TableOut("to buy", headings, _to_buy_rows(page))


def _to_buy_rows(page: ToBuy) -> Iterator[tuple[Value, ...]]:
    for line in purchase_lines(page):
        kilograms = None if line.grams is None else line.grams / 1000
        amounts = (None if one is None else float(one) for one in (line.price, line.cost))
        yield (line.material, line.section, line.size, line.number, kilograms, *amounts, line.supplier, *[None] * 3)
    posted = {one.line.part.pk for one in page.by_post}
    unread = [one for one in page.unread if one.line.part.pk not in posted]
    for one in (*page.by_post, *unread):
        part = one.line.part
        price = None if part.blank_cost is None else float(part.blank_cost)
        cost = None if price is None else price * one.blanks
        said = (str(part.material or ""), None, part.blank, one.blanks, None, price, cost, part.supplier)
        yield (*said, str(part), part.ordered_on, part.arrived_on)


def cutting_table(page: ToBuy) -> TableOut:
    """Bars that are cut alike, with what comes out of each."""
    headings = (
        _("material"), _("section"), _("bars"), _("length"), _("from"), _("cut from each"), _("left of each"),
    )  # fmt: skip
    rows = (_cut_row(section, line) for section in cut_lines(page) for line in section.lines)
    return TableOut("cutting list", headings, rows)


def _cut_row(section: SectionCuts, line: CutLine) -> tuple[Value, ...]:
    where = _("to buy") if line.bought else _("rack")
    return (section.material, section.section, line.number, line.bar, where, line.cuts, line.left)
