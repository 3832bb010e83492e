"""What the trade's words mean, for somebody who has never stood at a lathe."""

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from builds.models.choices import Kind

# Each stands after its word: "turning: it spins while a tool pares it down". Common practice, in our own words.
KINDS: dict[str, Promise] = {
    Kind.SAWING: gettext_lazy("a piece is cut off the bar"),
    Kind.TURNING: gettext_lazy("it spins while a tool pares it down"),
    Kind.FACING: gettext_lazy("its end is cut flat while it spins"),
    Kind.BORING: gettext_lazy("a hole is widened to the exact size"),
    Kind.PARTING: gettext_lazy("it is cut off the bar while it spins"),
    Kind.MILLING: gettext_lazy("a spinning cutter shaves it to shape"),
    Kind.DRILLING: gettext_lazy("holes are made"),
    Kind.REAMING: gettext_lazy("holes are brought to the exact size"),
    Kind.TAPPING: gettext_lazy("a screw thread is cut inside a hole"),
    Kind.THREADING: gettext_lazy("a screw thread is cut on the outside"),
    Kind.GRINDING: gettext_lazy("a spinning stone takes off a hair"),
    Kind.LAPPING: gettext_lazy("it is rubbed true with fine paste"),
    Kind.HONING: gettext_lazy("a bore is rubbed smooth with fine stones"),
    Kind.SHAPING: gettext_lazy("a tool planes it, stroke by stroke"),
    Kind.FILING: gettext_lazy("it is shaped by hand with a file"),
    Kind.HEAT_TREATMENT: gettext_lazy("heat makes it hard or soft"),
    Kind.SOLDERING: gettext_lazy("parts are joined with melted metal"),
    Kind.CASTING: gettext_lazy("melted metal is poured into a mould"),
    Kind.PRINTING: gettext_lazy("it is built up in layers of plastic"),
    Kind.DEBURRING: gettext_lazy("sharp edges are taken off"),
    Kind.INSPECTING: gettext_lazy("it is measured and looked over"),
    Kind.FITTING: gettext_lazy("it is made to fit its neighbour"),
    Kind.FINISHING: gettext_lazy("it is polished or painted"),
    Kind.MAKING: gettext_lazy("all of the work on it"),
}


def meaning_of(kind: str) -> str:
    """What is done at an operation of that kind, in plain words."""
    return str(KINDS[kind])
