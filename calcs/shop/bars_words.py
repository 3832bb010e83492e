"""A plan of cutting in words: which bars are cut alike, what comes out of each, and whether another could be better."""

from collections import Counter
from collections.abc import Mapping

from calcs.messages import _
from calcs.shop.bars import CutBar, CuttingPlan


def how_sure(plan: CuttingPlan, *, by_price: bool = False) -> str:
    """Whether it is proved that nothing less would do, or what the best of all may be less at most."""
    if not plan.gap:
        if by_price:
            return _("There is no cheaper way: that is proved.")
        return _("There is no way that takes less bar: that is proved.")
    most = f"{100 * plan.gap:.0f}" if plan.gap >= 0.01 else _("less than 1")
    if by_price:
        return _("The best found in the time there was; the cheapest of all is at most {most} % cheaper.", most=most)
    return _("The best found in the time there was; the shortest of all is at most {most} % shorter.", most=most)


def cut_alike(plan: CuttingPlan) -> list[tuple[CutBar, int]]:
    """The bars of the rack first, then the longest, each with how many are cut like it."""
    return sorted(Counter(plan.bars).items(), key=lambda one: (one[0].bought, -one[0].stock_mm, one[0].left_mm))


def cuts_in_words(bar: CutBar, names: Mapping[float, str]) -> str:
    """Such as "2 × 118 mm, 3 × 35 mm". names: what each length is called."""
    return ", ".join(f"{number} × {names[length]}" for length, number in Counter(bar.pieces_mm).items())
