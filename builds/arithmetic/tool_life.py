"""How long a tool lasts at another speed, and the speed for a life."""

from __future__ import annotations

from typing import Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, time_in_words
from builds.arithmetic.fields import NumberField, PickField, SpeedField, TimeField
from builds.arithmetic.forms import Kind, SumForm
from builds.arithmetic.speeds import in_both
from calcs.messages import _, gettext_noop
from calcs.shop.tool_life import LEAST_N, MOST_N, USUAL_N, life_at, speed_for_life

_SOURCE = gettext_noop(
    "F. W. Taylor, On the Art of Cutting Metals, Transactions of the ASME 28, 1907: V·Tⁿ = C. The usual n are common "
    "practice."
)
_HOLDS = gettext_noop("It holds for one tool, material, feed and depth. Time one edge of your own until it is blunt.")


def lasts(form: SumForm) -> Answer:
    """How long the edge lasts at the other speed."""
    cleaned = form.cleaned_data
    n = exponent(form)
    found = life_at(cleaned["speed"], cleaned["life"], cleaned["other"], n)
    times = Fact(_("Against the known life"), _("{times} times", times=f"{found.life / _minutes(cleaned['life']):.3g}"))
    remarks = (*found.remarks, _(_HOLDS))
    said = _("at {speed}", speed=in_both(cleaned["other"]))
    life = time_in_words(found.life)
    return Answer(
        _("The edge lasts"), life, said, (times, _n(n)), remarks, workings=(found.working,), sources=(_(_SOURCE),)
    )


def turns_at(form: SumForm) -> Answer:
    """The speed at which the edge lasts so long."""
    cleaned = form.cleaned_data
    n = exponent(form)
    found = speed_for_life(cleaned["speed"], cleaned["life"], cleaned["wanted"], n)
    known = cleaned["speed"].to("meter / minute").magnitude
    share = Fact(_("Against the known speed"), f"{found.speed / known * 100:.3g} %")
    said = _("for a life of {time}", time=time_in_words(found.life))
    remarks = (*found.remarks, _(_HOLDS))
    speed = in_both(found.value)
    return Answer(_("Cut at"), speed, said, (share, _n(n)), remarks, workings=(found.working,), sources=(_(_SOURCE),))


def exponent(form: SumForm) -> float:
    """The n that was written, or the usual one of the tool."""
    own = form.cleaned_data.get("n")
    return float(own) if own is not None else USUAL_N[form.cleaned_data.get("tool") or next(iter(USUAL_N))][1]


def _n(n: float) -> Fact:
    return Fact("n", f"{n:g}", _("the smaller, the more a tool minds speed"))


def _minutes(time: Any) -> float:
    return float(time.to("minute").magnitude)


_FIELDS = ("speed", "life")


class ToolLifeForm(SumForm):
    """A speed with the life it gave, and another speed or another life."""

    asks = gettext_lazy("What is wanted")

    speed = SpeedField(gettext_lazy("Speed you know"), ("30 m/min", "100 ft/min"))
    life = TimeField(gettext_lazy("The edge lasted"), "60 min", help_text=gettext_lazy("Minutes of cutting alone."))
    other = SpeedField(gettext_lazy("Other speed"), ("25 m/min", "80 ft/min"))
    wanted = TimeField(gettext_lazy("It should last"), "4 h")
    tool = PickField(gettext_lazy("Tool is of"), [(key, gettext_lazy(name)) for key, (name, _usual) in USUAL_N.items()])
    n = NumberField(
        gettext_lazy("n of your own"),
        least=LEAST_N,
        most=MOST_N,
        help_text=gettext_lazy("The usual one of the tool where left empty."),
    )

    kinds: ClassVar[dict[str, Kind]] = {
        "life": Kind(
            gettext_lazy("How long an edge lasts"), lasts, (*_FIELDS, "other", "tool"), ("n",), (*_FIELDS, "other")
        ),
        "speed": Kind(
            gettext_lazy("The speed for a life"), turns_at, (*_FIELDS, "wanted", "tool"), ("n",), (*_FIELDS, "wanted")
        ),
    }
