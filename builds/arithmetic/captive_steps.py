"""How a captive core is cut free face by face, and what holds it in the last cut: common practice of the lathe."""

from __future__ import annotations

from builds.arithmetic.answers import Table
from calcs.messages import _, gettext_noop

SOURCES = (
    gettext_noop("Free, turns, stays in: plane and solid geometry."),
    gettext_noop("Order of the faces and ways of holding: common practice."),
    gettext_noop(
        "Beeswax melts at 62 to 65 °C (144 to 149 °F), paraffin wax at 46 to 68 °C (115 to 154 °F): from memory."
    ),
)
# Faces as on a die, in the order in which they are cut: opposite ones one after the other.
_ORDER = (1, 6, 2, 5, 3, 4)


def faces_in_order() -> Table:
    """The six cuts: which face, what it lies against, and what holds the core meanwhile."""
    heads = (_("Cut"), _("Face, as on a die"), _("Lies against"), _("What holds the core"))
    rows = []
    for place, face in enumerate(_ORDER, 1):
        bored = 7 - face in _ORDER[: place - 1]
        against = _("face {face}, cut already") if bored else _("face {face}, still whole")
        holds = _("the faces that are not cut yet") if place < 6 else _("only what fills the five other windows")
        rows.append((str(place), str(face), against.format(face=7 - face), holds))
    return Table(_("Face by face, all six to the same depth"), heads, tuple(rows), folded=True)


def ways_of_holding() -> Table:
    """Wax, plaster or plugs in the five windows, before the sixth face is cut."""
    heads = (_("Fill with"), _("How"), _("What to watch"))
    rows = (
        (
            _("wax"),
            _("Pour it in warm, and let it set right through. Afterwards melt it out in warm water."),
            _("It softens long before it melts: take light cuts, and stop when the piece feels warm."),
        ),
        (
            _("plaster"),
            _("Pour it in, and leave it to dry for a day. Afterwards break it out with a wooden stick."),
            _("Its grit wears slides and its damp rusts steel: cover the slides, and oil the piece afterwards."),
        ),
        (
            _("plugs"),
            _("Turn five plugs of wood or plastic, hollowed to fit the core, and press them in."),
            _("One that sits loose lets the core turn with the tool. The plug opposite the last face matters most."),
        ),
    )
    return Table(_("Before the last face: fill the five cut windows"), heads, rows, folded=True)
