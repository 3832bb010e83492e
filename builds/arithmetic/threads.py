"""Threads, drills and fits: a thread's sizes and its tapping drill, what a drill leaves of it, the nearest drill."""

from __future__ import annotations

from typing import Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, Table
from builds.arithmetic.fields import LengthField, NumberField, PickField, PitchField, TypedField
from builds.arithmetic.forms import Kind, SumForm
from calcs.messages import _, gettext_noop
from calcs.shop.drills import SETS, Drill, drills, nearest_drill
from calcs.shop.fits import fit, limits
from calcs.shop.reference_tables import ThreadRow
from calcs.shop.threads import FORMS, find_thread, iso_thread, percent_of_thread, sizes_of, tapping_drill
from calcs.typed.reading import Reading
from calcs.units.quantity_text import format_both, format_quantity, keep_together

_SET_NAMES = {
    "number": gettext_lazy("number drills"),
    "letter": gettext_lazy("letter drills"),
    "fraction": gettext_lazy("fractions of an inch"),
    "metric": gettext_lazy("metric drills"),
}
ANY = "any drill"


class ThreadField(TypedField):
    """The name of a thread in the tables."""

    def read(self, text: str) -> Reading:
        try:
            row = find_thread(text)
        except ValueError as refusal:
            return Reading(text, None, "refused", str(refusal))
        return Reading(text, row, "ok", f"{row.name}, {_(row.series)}, {row.angle:g}° ({row.source}, {_(row.status)})")


class SymbolField(TypedField):
    """A fit like H7/g6, or one symbol of it."""

    def read(self, text: str) -> Reading:
        return Reading(text, text.strip()[:20], "ok", "")


def by_name(form: SumForm) -> Answer:
    """The sizes of a thread from the tables, and its drill."""
    row: ThreadRow = form.cleaned_data["thread"]
    sizes = sizes_of(row)
    wanted = form.cleaned_data.get("per_cent")
    drill, also = _("no sound one in the tables"), ""
    if row.drill is not None:
        drill = _("{name} drill", name=row.drill_name)
        left = percent_of_thread(sizes.major, sizes.pitch, in_unit_of(sizes.major, row.drill), FORMS[row.angle])
        also = _(
            "it leaves {share} % of thread, {counted}; {source} ({status})",
            counted=counted_as(FORMS[row.angle]),
            share=f"{left.value.magnitude:.0f}",
            source=row.source,
            status=_(row.status),
        )
    return sized(form, sizes, FORMS[row.angle], drill, also, wanted, threads_to_the_inch(row))


def threads_to_the_inch(row: ThreadRow) -> str:
    """The pitch of an inch thread as it is named."""
    return _("{number} to the inch", number=f"{float(25.4 / float(row.pitch)):.4g}") if row.inch else ""


def by_sizes(form: SumForm) -> Answer:
    """A 60° thread from its diameter and pitch."""
    sizes = iso_thread(form.cleaned_data["major"], form.cleaned_data["pitch"])
    wanted = form.cleaned_data.get("per_cent") or 75.0
    hole = tapping_drill(sizes.major, sizes.pitch, wanted)
    near = nearest_drill(hole.value).nearest
    drill, also = _("{name} drill", name=near.name), _("the nearest to {size}", size=format_both(hole.value))
    return sized(form, sizes, "iso", drill, also, wanted, "")


def sized(
    form: SumForm, sizes: Any, shape: Any, drill: str, also: str, wanted: float | None, pitch_note: str
) -> Answer:
    """The answer for a thread of known sizes, with the drills for the per cent wanted."""
    facts = [
        Fact(_("Major diameter"), format_both(sizes.major)),
        Fact(_("Pitch"), format_both(sizes.pitch), pitch_note),
        Fact(_("Pitch diameter"), format_both(sizes.pitch_diameter)),
        Fact(_("Minor diameter"), format_both(sizes.minor), _("of the nut, or the core")),
    ]
    if sizes.root is not None:
        facts.append(Fact(_("Root of the screw"), format_both(sizes.root)))
    workings = [sizes.working]
    tables: tuple[Table, ...] = ()
    if wanted:
        hole = tapping_drill(sizes.major, sizes.pitch, wanted, shape)
        workings.append(hole.working)
        title = _(
            "Drills for {share} % of thread, {counted}: {size}",
            share=f"{wanted:g}",
            counted=counted_as(shape),
            size=format_both(hole.value),
        )
        tables = (near_table(hole.value, sizes, shape, title),)
    return Answer(_("Tapping drill"), drill, also, tuple(facts), (), tables, tuple(workings), operation="tapping")


def counted_as(shape: Any) -> str:
    """What counts as a whole thread: the one definition of `calcs.shop.threads`, in words."""
    return _("as drill charts count it") if shape == "iso" else _("of the full depth")


def near_table(size: Any, sizes: Any, shape: Any, title: str) -> Table:
    """The drills round a size, and what each leaves of the thread."""
    rows = []
    around: dict[str, Drill] = {}
    for one in SETS:
        found = nearest_drill(size, (one,))
        around |= {drill.name: drill for drill in (found.below, found.above) if drill is not None}
    for drill in sorted(around.values(), key=lambda one: one.mm):
        # A drill far away serves nobody; near means within a tenth.
        if abs(float(drill.mm) / float(size.to("millimeter").magnitude) - 1) > 0.1:
            continue
        try:
            left = percent_of_thread(sizes.major, sizes.pitch, drill.diameter, shape)
        except ValueError:
            continue
        rows.append((drill.name, *two(drill), f"{left.value.magnitude:.0f} %"))
    return Table(title, (_("Drill"), "mm", "in", _("Thread left")), tuple(rows), (1, 2, 3))


def two(drill: Drill) -> tuple[str, str]:
    """A drill's diameter in mm and in inches, in bare figures."""
    return f"{float(drill.mm):.3f}", f"{float(drill.mm) / 25.4:.4f}"


def of_a_drill(form: SumForm) -> Answer:
    """How much thread a drilled hole leaves."""
    row: ThreadRow = form.cleaned_data["thread"]
    sizes, shape = sizes_of(row), FORMS[row.angle]
    hole = form.cleaned_data["hole"]
    left = percent_of_thread(sizes.major, sizes.pitch, hole, shape)
    figure = f"{left.value.magnitude:.1f} %"
    note = _("of {depth}", depth="3/4·H") if shape == "iso" else ""
    return Answer(
        _("Thread left, {counted}", counted=counted_as(shape)),
        f"{left.value.magnitude:.0f} %",
        _("{thread} in a hole of {size}", thread=row.name, size=format_both(hole)),
        (Fact(_("Thread left"), figure, note),),
        left.remarks,
        (),
        (left.working,),
        operation="tapping",
    )


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
    table = Table(_("Next to it"), (_("Which"), _("Drill"), "mm", "in"), tuple(rows), (2, 3))
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
    names = str(_SET_NAMES.get(chosen or "", _("drills of all sets")))
    rows = tuple((one.name, *two(one)) for one in kept)
    table = Table(names[0].upper() + names[1:], (_("Drill"), "mm", "in"), rows, (1, 2))
    ends = _("from {first} to {last}", first=kept[0].name, last=kept[-1].name)
    return Answer(_("Drills"), f"{len(kept)}", ends, tables=(table,), sources=(_(_DRILLS),))


def fitted(form: SumForm) -> Answer:
    """The limits of a size, or the clearance of a fit."""
    size, symbols = form.cleaned_data["nominal"], form.cleaned_data["symbols"]
    if "/" in symbols:
        found = fit(size, symbols)
        facts = [fact for one in (found.hole, found.shaft) for fact in limit_facts(one)]
        words = found.words[0].upper() + found.words[1:]
        return Answer(
            _("Fit {symbols}", symbols=symbols), words, format_both(size), tuple(facts), workings=(found.working,)
        )
    one = limits(size, symbols)
    number = _("{low} to {high}", low=format_quantity(one.smallest), high=format_quantity(one.largest))
    return Answer(
        _("Limits {symbol}", symbol=one.symbol),
        number,
        format_both(size),
        tuple(limit_facts(one)),
        workings=(one.working,),
    )


def limit_facts(one: Any) -> list[Fact]:
    """The two limits of a hole or shaft."""
    low, high = (f"{end:+d}".replace("-", "−") for end in (one.lower_um, one.upper_um))
    ends = _("{low} to {high} µm", low=low, high=high)
    return [
        Fact(_("{symbol} smallest", symbol=one.symbol), limit(one.smallest), ends),
        Fact(_("{symbol} largest", symbol=one.symbol), limit(one.largest)),
    ]


def limit(length: Any) -> str:
    """A limit to the thousandth of a millimetre, or to the tenth of a thou and half of one more."""
    mm, inch = length.to("millimeter"), length.to("inch")
    words = (format_quantity(mm, 3), format_quantity(inch, 5))
    first, second = reversed(words) if str(length.units) == "inch" else words
    return f"{first} ({keep_together(second)})"


def in_unit_of(length: Any, millimetres: float) -> Any:
    """So many millimetres in the unit of another length."""
    from calcs.units.registry import millimetres as of_mm

    return of_mm(millimetres).to(length.units)


_DRILLS = gettext_noop(
    "Number and letter drills: the standard series of ASME B94.11M, from memory. "
    "Metric drills and fractions of an inch: common sets, from memory."
)


class ThreadsForm(SumForm):
    """What is wanted decides the fields."""

    asks = gettext_lazy("What is wanted")

    thread = ThreadField(
        gettext_lazy("Thread"), ("M6", "1/4-20"), help_text=gettext_lazy("A name like M6, 1/4-20, 2BA or 5/16-32.")
    )
    major = LengthField(gettext_lazy("Major diameter"), ("10 mm", "3/8 in"))
    pitch = PitchField(
        gettext_lazy("Pitch"),
        ("1 mm", "32 tpi"),
        help_text=gettext_lazy("A length, or threads to the inch like 40 tpi."),
    )
    per_cent = NumberField(gettext_lazy("Per cent of thread wanted"), "75", least=10, most=110)
    hole = LengthField(
        gettext_lazy("Drill"),
        ("5 mm", "#7"),
        help_text=gettext_lazy("A size, or the drill's name like #30 or letter F."),
    )
    sets = PickField(gettext_lazy("Out of"), [(ANY, gettext_lazy("any drill")), *_SET_NAMES.items()])
    nominal = LengthField(gettext_lazy("Nominal size"), ("20 mm", "3/4 in"))
    symbols = SymbolField(
        gettext_lazy("Fit or limit"), "H7/g6", help_text=gettext_lazy("A fit like H7/g6, or one symbol like H7.")
    )

    kinds: ClassVar[dict[str, Kind]] = {
        "thread": Kind(gettext_lazy("A thread by its name"), by_name, ("thread", "per_cent"), needed=("thread",)),
        "sizes": Kind(
            gettext_lazy("A 60° thread by its sizes"),
            by_sizes,
            ("major", "pitch", "per_cent"),
            needed=("major", "pitch"),
        ),
        "left": Kind(
            gettext_lazy("What a drill leaves of a thread"), of_a_drill, ("thread", "hole"), needed=("thread", "hole")
        ),
        "nearest": Kind(
            gettext_lazy("The nearest drill"),
            nearest,
            ("hole", "sets"),
            needed=("hole",),
            labels={"hole": gettext_lazy("Size of the hole")},
            examples={"hole": ("5.1 mm", "0.2 in")},
        ),
        "drills": Kind(gettext_lazy("Drills by number, letter and size"), drill_table, ("sets",)),
        "fit": Kind(
            gettext_lazy("A fit, or the limits of a size"),
            fitted,
            ("nominal", "symbols"),
            needed=("nominal", "symbols"),
        ),
    }
