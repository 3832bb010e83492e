"""Threads, drills and fits: a thread's sizes and its tapping drill, what a drill leaves of it, the nearest drill."""

from __future__ import annotations

from typing import Any, ClassVar

from builds.arithmetic.answers import Answer, Fact, Table, both, said, together
from builds.arithmetic.fields import LengthField, NumberField, PickField, PitchField, TypedField
from builds.arithmetic.forms import Kind, SumForm
from calcs.shop.drills import SETS, Drill, drills, nearest_drill
from calcs.shop.fits import fit, limits
from calcs.shop.reference_tables import ThreadRow, thread_rows
from calcs.shop.threads import FORMS, find_thread, iso_thread, percent_of_thread, sizes_of, tapping_drill
from calcs.typed.reading import Reading

_SET_NAMES = {
    "number": "number drills",
    "letter": "letter drills",
    "fraction": "fractions of an inch",
    "metric": "metric drills",
}
ANY = "any drill"


class ThreadField(TypedField):
    """The name of a thread in the tables."""

    def read(self, text: str) -> Reading:
        try:
            row = find_thread(text)
        except ValueError as refusal:
            return Reading(text, None, "refused", str(refusal))
        return Reading(text, row, "ok", f"{row.name}, {row.series}, {row.angle:g}° ({row.source}, {row.status})")


class SymbolField(TypedField):
    """A fit like H7/g6, or one symbol of it."""

    def read(self, text: str) -> Reading:
        return Reading(text, text.strip()[:20], "ok", "")


def by_name(form: SumForm) -> Answer:
    """The sizes of a thread from the tables, and its drill."""
    row: ThreadRow = form.cleaned_data["thread"]
    sizes = sizes_of(row)
    wanted = form.cleaned_data.get("per_cent")
    drill = f"{row.drill_name} drill" if row.drill is not None else "no sound one in the tables"
    also = ""
    if row.drill is not None:
        left = percent_of_thread(sizes.major, sizes.pitch, in_unit_of(sizes.major, row.drill), form=FORMS[row.angle])
        also = f"it leaves {left.value.magnitude:.0f} % of the full depth; {row.source} ({row.status})"
    return sized(form, sizes, FORMS[row.angle], drill, also, wanted, threads_to_the_inch(row))


def threads_to_the_inch(row: ThreadRow) -> str:
    """The pitch of an inch thread as it is named."""
    return f"{float(25.4 / float(row.pitch)):.4g} to the inch" if row.inch else ""


def by_sizes(form: SumForm) -> Answer:
    """A 60° thread from its diameter and pitch."""
    sizes = iso_thread(form.cleaned_data["major"], form.cleaned_data["pitch"])
    wanted = form.cleaned_data.get("per_cent") or 75.0
    hole = tapping_drill(sizes.major, sizes.pitch, wanted, "chart")
    near = nearest_drill(hole.value).nearest
    return sized(form, sizes, "iso", f"{near.name} drill", f"the nearest to {both(hole.value)}", wanted, "")


def sized(
    form: SumForm, sizes: Any, shape: Any, drill: str, also: str, wanted: float | None, pitch_note: str
) -> Answer:
    """The answer for a thread of known sizes, with the drills for the per cent wanted."""
    facts = [
        Fact("Major diameter", both(sizes.major)),
        Fact("Pitch", both(sizes.pitch), pitch_note),
        Fact("Pitch diameter", both(sizes.pitch_diameter)),
        Fact("Minor diameter", both(sizes.minor), "of the nut, or the core"),
    ]
    if sizes.root is not None:
        facts.append(Fact("Root of the screw", both(sizes.root)))
    workings = [sizes.working]
    tables: tuple[Table, ...] = ()
    if wanted:
        measure = "chart" if shape == "iso" else "basic"
        hole = tapping_drill(sizes.major, sizes.pitch, wanted, measure, shape)
        workings.append(hole.working)
        counted = "as drill charts count it" if shape == "iso" else "of the full depth"
        tables = (near_table(hole.value, sizes, shape, f"Drills for {wanted:g} % of thread, {counted}"),)
    return Answer("Tapping drill", drill, also, tuple(facts), (), tables, tuple(workings), operation="tapping")


def near_table(size: Any, sizes: Any, shape: Any, title: str) -> Table:
    """The drills round a size, and what each leaves of the thread."""
    rows = []
    measure = "chart" if shape == "iso" else "basic"
    around: dict[str, Drill] = {}
    for one in SETS:
        found = nearest_drill(size, (one,))
        around |= {drill.name: drill for drill in (found.below, found.above) if drill is not None}
    for drill in sorted(around.values(), key=lambda one: one.mm):
        # A drill far away serves nobody; near means within a tenth.
        if abs(float(drill.mm) / float(size.to("millimeter").magnitude) - 1) > 0.1:
            continue
        try:
            left = percent_of_thread(sizes.major, sizes.pitch, drill.diameter, measure, shape)
        except ValueError:
            continue
        rows.append((drill.name, *two(drill), f"{left.value.magnitude:.0f} %"))
    return Table(f"{title}: {both(size)}", ("Drill", "mm", "in", "Thread left"), tuple(rows), (1, 2, 3))


def two(drill: Drill) -> tuple[str, str]:
    """A drill's diameter in mm and in inches, in bare figures."""
    return f"{float(drill.mm):.3f}", f"{float(drill.mm) / 25.4:.4f}"


def of_a_drill(form: SumForm) -> Answer:
    """How much thread a drilled hole leaves."""
    row: ThreadRow = form.cleaned_data["thread"]
    sizes, shape = sizes_of(row), FORMS[row.angle]
    hole = form.cleaned_data["hole"]
    full = percent_of_thread(sizes.major, sizes.pitch, hole, "basic", shape)
    facts, workings = [Fact("Of the full depth", f"{full.value.magnitude:.1f} %")], [full.working]
    words, number = "Thread left, of the full depth", f"{full.value.magnitude:.0f} %"
    if shape == "iso":
        chart = percent_of_thread(sizes.major, sizes.pitch, hole, "chart", shape)
        words, number = "Thread left, as drill charts count", f"{chart.value.magnitude:.0f} %"
        facts.append(Fact("As charts count", f"{chart.value.magnitude:.1f} %", "of 3/4·H"))
        workings.insert(0, chart.working)
    remarks = ()
    if full.value.magnitude > 100:
        remarks = (
            "The hole is smaller than the core of the thread: a tap would have to push metal away, and may break.",
        )
    return Answer(
        words,
        number,
        f"{row.name} in a hole of {both(hole)}",
        tuple(facts),
        remarks,
        (),
        tuple(workings),
        operation="tapping",
    )


def nearest(form: SumForm) -> Answer:
    """The drill nearest to a size."""
    size, chosen = form.cleaned_data["hole"], form.cleaned_data.get("sets")
    sets = (chosen,) if chosen in SETS else SETS
    found = nearest_drill(size, sets)
    rows = [
        (words, drill.name, *two(drill))
        for words, drill in (("next below", found.below), ("nearest", found.nearest), ("next above", found.above))
        if drill is not None
    ]
    table = Table("Next to it", ("Which", "Drill", "mm", "in"), tuple(rows), (2, 3))
    return Answer(
        "Nearest drill",
        found.nearest.name,
        f"for {both(size)}",
        tables=(table,),
        workings=(found.working,),
        operation="drilling",
    )


def drill_table(form: SumForm) -> Answer:
    """All the drills of one set."""
    chosen = form.cleaned_data.get("sets")
    kept = [drill for drill in drills() if chosen not in SETS or drill.set == chosen]
    names = _SET_NAMES.get(chosen or "", "drills of all sets")
    table = Table(
        names[0].upper() + names[1:], ("Drill", "mm", "in"), tuple((one.name, *two(one)) for one in kept), (1, 2)
    )
    return Answer(
        "Drills", f"{len(kept)}", f"from {kept[0].name} to {kept[-1].name}", tables=(table,), sources=(_DRILLS,)
    )


def fitted(form: SumForm) -> Answer:
    """The limits of a size, or the clearance of a fit."""
    size, symbols = form.cleaned_data["nominal"], form.cleaned_data["symbols"]
    if "/" in symbols:
        found = fit(size, symbols)
        facts = [fact for one in (found.hole, found.shaft) for fact in limit_facts(one)]
        said_so = found.words[0].upper() + found.words[1:]
        return Answer(f"Fit {symbols}", said_so, both(size), tuple(facts), workings=(found.working,))
    one = limits(size, symbols)
    number = f"{said(one.smallest)} to {said(one.largest)}"
    return Answer(f"Limits {one.symbol}", number, both(size), tuple(limit_facts(one)), workings=(one.working,))


def limit_facts(one: Any) -> list[Fact]:
    """The two limits of a hole or shaft."""
    both_ends = f"{one.lower_um:+d} to {one.upper_um:+d} µm".replace("-", "−")
    return [
        Fact(f"{one.symbol} smallest", limit(one.smallest), both_ends),
        Fact(f"{one.symbol} largest", limit(one.largest)),
    ]


def limit(length: Any) -> str:
    """A limit to the thousandth of a millimetre, or to the tenth of a thou and half of one more."""
    mm, inch = length.to("millimeter"), length.to("inch")
    words = (said(mm, 3), said(inch, 5))
    first, second = reversed(words) if str(length.units) == "inch" else words
    return f"{first} ({together(second)})"


def in_unit_of(length: Any, millimetres: float) -> Any:
    """So many millimetres in the unit of another length."""
    from calcs.units.registry import millimetres as of_mm

    return of_mm(millimetres).to(length.units)


_DRILLS = (
    "Number and letter drills: the standard series of ASME B94.11M, from memory. "
    "Metric drills and fractions of an inch: common sets, from memory."
)
_KNOWN = "A name like M6, 1/4-20, 2BA or 5/16-32."


class ThreadsForm(SumForm):
    """What is wanted decides the fields."""

    asks = "What is wanted"

    thread = ThreadField("Thread", ("M6", "1/4-20"), help_text=_KNOWN)
    major = LengthField("Major diameter", ("10 mm", "3/8 in"))
    pitch = PitchField("Pitch", ("1 mm", "32 tpi"), help_text="A length, or threads to the inch like 40 tpi.")
    per_cent = NumberField("Per cent of thread wanted", "75", least=10, most=110)
    hole = LengthField("Drill", ("5 mm", "#7"), help_text="A size, or the drill's name like #30 or letter F.")
    sets = PickField("Out of", [(ANY, ANY), *_SET_NAMES.items()])
    nominal = LengthField("Nominal size", ("20 mm", "3/4 in"))
    symbols = SymbolField("Fit or limit", "H7/g6", help_text="A fit like H7/g6, or one symbol like H7.")

    kinds: ClassVar[dict[str, Kind]] = {
        "thread": Kind("A thread by its name", by_name, ("thread", "per_cent"), needed=("thread",)),
        "sizes": Kind("A 60° thread by its sizes", by_sizes, ("major", "pitch", "per_cent"), needed=("major", "pitch")),
        "left": Kind("What a drill leaves of a thread", of_a_drill, ("thread", "hole"), needed=("thread", "hole")),
        "nearest": Kind(
            "The nearest drill",
            nearest,
            ("hole", "sets"),
            needed=("hole",),
            labels={"hole": "Size of the hole"},
            examples={"hole": ("5.1 mm", "0.2 in")},
        ),
        "drills": Kind("Drills by number, letter and size", drill_table, ("sets",)),
        "fit": Kind("A fit, or the limits of a size", fitted, ("nominal", "symbols"), needed=("nominal", "symbols")),
    }


def threads_known() -> list[str]:
    """The names of all threads in the tables, as they are written."""
    return [row.name for row in thread_rows().values()]
