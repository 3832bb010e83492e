"""A time from three guesses."""

from __future__ import annotations

from typing import ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, time_in_words
from builds.arithmetic.fields import CountField, TimeField
from builds.arithmetic.forms import Kind, SumForm
from calcs.messages import _, gettext_noop, ngettext
from calcs.shop.three_guesses import MOST_WORKS, three_guesses

_SOURCE = gettext_noop(
    "D. G. Malcolm, J. H. Roseboom, C. E. Clark and W. Fazar, Application of a Technique for Research and Development "
    "Program Evaluation, Operations Research 7, 1959."
)


def from_guesses(form: SumForm) -> Answer:
    """The mean of the works, and how far it may lie off by the rule."""
    cleaned = form.cleaned_data
    number = cleaned["works"] or 1
    found = three_guesses(cleaned["shortest"], cleaned["likeliest"], cleaned["longest"], number)
    ends = {
        "low": time_in_words(max(0.0, found.mean - found.spread)),
        "high": time_in_words(found.mean + found.spread),
    }
    facts = (
        Fact(_("Spread"), time_in_words(found.spread), _("one standard deviation, by the rule")),
        Fact(_("One spread each way"), _("{low} to {high}", **ends), _("about 2 chances in 3")),
        *((Fact(_("Mean of one"), time_in_words(found.each)),) if number > 1 else ()),
    )
    remarks = [
        _("It is no better than the guesses, and people guess the longest too short. What you logged knows more.")
    ]
    if number > 1:
        remarks.append(_("The spread of several holds only where one going badly does not make the next go badly."))
    said = ngettext("mean of {n} job", "mean of {n} jobs", number)
    time = time_in_words(found.mean)
    return Answer(_("Plan with"), time, said, facts, tuple(remarks), workings=(found.working,), sources=(_(_SOURCE),))


class ThreeGuessesForm(SumForm):
    """The shortest, the likeliest and the longest time of a work."""

    shortest = TimeField(gettext_lazy("If all goes well"), "2 h")
    likeliest = TimeField(gettext_lazy("Most likely"), "3 h")
    longest = TimeField(gettext_lazy("If much goes wrong"), "10 h")
    works = CountField(
        gettext_lazy("How many such jobs"),
        "1",
        most=MOST_WORKS,
        help_text=gettext_lazy("One after another, all alike."),
    )

    kinds: ClassVar[dict[str, Kind]] = {
        "guesses": Kind(
            gettext_lazy("A time from three guesses"),
            from_guesses,
            ("shortest", "likeliest", "longest", "works"),
            needed=("shortest", "likeliest", "longest"),
        ),
    }
