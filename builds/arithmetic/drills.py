"""The drill nearest to a size, and the drills that there are."""

from __future__ import annotations

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Table
from builds.arithmetic.forms import SumForm
from calcs.messages import _, gettext_noop
from calcs.shop.drills import SETS, Drill, drills, nearest_drill
from calcs.units.quantity_text import format_both

SET_NAMES = {
    "number": gettext_lazy("number drills"),
    "letter": gettext_lazy("letter drills"),
    "fraction": gettext_lazy("fractions of an inch"),
    "metric": gettext_lazy("metric drills"),
}
ANY = "any drill"
_DRILLS = gettext_noop(
    "Number and letter drills: the standard series of ASME B94.11M. "
    "Metric drills and fractions of an inch: common practice."
)


def two(drill: Drill) -> tuple[str, str]:
    """A drill's diameter in mm and in inches, in bare figures."""
    return f"{float(drill.mm):.3f}", f"{float(drill.mm) / 25.4:.4f}"


def nearest(form: SumForm) -> Answer:
    """The drill nearest to a size."""
    size, chosen = form.cleaned_data["hole"], form.cleaned_data.get("sets")
    sets = (chosen,) if chosen in SETS else SETS
    found = nearest_drill(size, sets)
    rows = [
        (words, drill.name, *two(drill))
        for words, drill in (
            (_("next below"), found.below),
            (_("nearest"), found.nearest),
            (_("next above"), found.above),
        )
        if drill is not None
    ]
    table = Table(_("Next to it"), (_("Which"), _("Drill"), "mm", "in"), tuple(rows), (2, 3), folded=True)
    return Answer(
        _("Nearest drill"),
        found.nearest.name,
        _("for {size}", size=format_both(size)),
        tables=(table,),
        workings=(found.working,),
        operation="drilling",
    )


def drill_table(form: SumForm) -> Answer:
    """All the drills of one set."""
    chosen = form.cleaned_data.get("sets")
    kept = [drill for drill in drills() if chosen not in SETS or drill.set == chosen]
    names = str(SET_NAMES.get(chosen or "", _("drills of all sets")))
    rows = tuple((one.name, *two(one)) for one in kept)
    table = Table(names[0].upper() + names[1:], (_("Drill"), "mm", "in"), rows, (1, 2))
    ends = _("from {first} to {last}", first=kept[0].name, last=kept[-1].name)
    return Answer(_("Drills"), f"{len(kept)}", ends, tables=(table,), sources=(_(_DRILLS),))
