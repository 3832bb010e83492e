"""Which yield the forecast counts on: none is lost where a part's work is one figure and nothing was ever scrapped.

Who logs parts as wholes counts no pieces on the way, so the hours of finished parts hold their losses already, and so
does the ratio that is learned from them. To count losses on top would count them twice.
"""

from __future__ import annotations

from calcs.parts.plan import WHOLE_PART
from calcs.parts.yields import ShopYield, YieldBelief

LOSES_NOTHING = YieldBelief.known(1.0)


def losses_are_in_the_ratio(shop: ShopYield, kind: str) -> bool:
    """Return whether operations of this kind have their losses in their hours, as far as the log tells.

    >>> shop = ShopYield(YieldBelief(29, 1), {"turning": (10, 0)})
    >>> losses_are_in_the_ratio(shop, "turning"), losses_are_in_the_ratio(shop, WHOLE_PART)
    (False, True)
    """
    return kind == WHOLE_PART and not shop.counts.get(kind, (0, 0))[1]


def yield_ahead(shop: ShopYield, kind: str) -> YieldBelief:
    """Return what is held of the yield of an operation of this kind on which nothing was counted yet."""
    return LOSES_NOTHING if losses_are_in_the_ratio(shop, kind) else shop.for_operation(kind)
