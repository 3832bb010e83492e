"""The panels that visitors read, in their order, each with the question it answers; a shop may set its own."""

from collections.abc import Mapping

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

# The key is what a shop's own heading is kept by, so it never changes once it has landed.
PANELS: dict[str, Promise] = {
    "size": gettext_lazy("What is it, and how big?"),
    "hours": gettext_lazy("How long has it taken so far?"),
    "finished": gettext_lazy("How long did it take?"),
    "counts": gettext_lazy("How much of it is made?"),
    "bench": gettext_lazy("What is on the bench?"),
    "chips": gettext_lazy("How much of the metal is cut away?"),
    "hardest": gettext_lazy("What was hardest to make?"),
    "masses": gettext_lazy("What is it made of?"),
    "photos": gettext_lazy("What does it look like?"),
    "way": gettext_lazy("How far is it to the first run?"),
    "people": gettext_lazy("Who works on it?"),
}


def heading(key: str, shop_headings: Mapping[str, str]) -> str:
    """What stands over a panel: the shop's own words, or our question. KeyError for a panel that there is not."""
    return shop_headings.get(key) or str(PANELS[key])
