"""Threads, drills and fits: a thread's sizes and its tapping drill, what a drill leaves of it, the nearest drill."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, Table
from builds.arithmetic.drills import ANY, SET_NAMES, drill_table, nearest, two
from builds.arithmetic.fields import LengthField, NumberField, PickField, PitchField, TypedField
from builds.arithmetic.fits import SymbolField, fitted
from builds.arithmetic.forms import Kind, SumForm
from calcs.messages import _
from calcs.shop.clearance_holes import clearance_holes
from calcs.shop.drills import SETS, Drill, nearest_drill
from calcs.shop.over_wires import best_wire, over_wires
from calcs.shop.reference_tables import ThreadRow, cited
from calcs.shop.thread_names import of_another_form
from calcs.shop.threads import FORMS, find_thread, iso_thread, percent_of_thread, sizes_of, tapping_drill
from calcs.typed.reading import Reading
from calcs.units.quantity_text import format_both
from calcs.units.registry import millimetres

_CLEARANCES = (gettext_lazy("close"), gettext_lazy("medium"), gettext_lazy("free"))


class ThreadField(TypedField):
    """The name of a thread in the tables."""

    def read(self, text: str) -> Reading:
        try:
            row = find_thread(text)
        except ValueError as refusal:
            return Reading(text, None, "refused", str(refusal))
        said = _(
            "{name}, {series}, {angle}°, pitch {pitch}: {source}",
            name=row.name,
            series=_(row.series),
            angle=f"{row.angle:g}",
            pitch=format_both(millimetres(row.pitch)),
            source=cited(row.source, row.status),
        )
        return Reading(text, row, "ok", said)


def by_name(form: SumForm) -> Answer:
    """The sizes of a thread from the tables, its drill, the holes that it passes through, and its wires."""
    row: ThreadRow = form.cleaned_data["thread"]
    sizes, shape = sizes_of(row), FORMS[row.angle]
    wanted = form.cleaned_data.get("per_cent")
    answer = sized(sizes, shape, *named_drill(row, sizes, wanted), wanted, threads_to_the_inch(row))
    wires = over_wires(sizes, row.angle)
    wire = format_both(best_wire(sizes.pitch, row.angle).value)
    beside = Fact(_("Over three wires"), format_both(wires.value), _("on wires of {size}", size=wire))
    return replace(
        answer,
        facts=(*answer.facts, beside),
        remarks=same_pitch_otherwise(row),
        tables=(*clearance_table(row), *answer.tables),
        workings=(*answer.workings, wires.working),
    )


def named_drill(row: ThreadRow, sizes: Any, wanted: float | None) -> tuple[str, str]:
    """The drill of the tables with what it leaves, or else the drill nearest to the per cent wanted."""
    shape = FORMS[row.angle]
    if row.drill is None:
        hole = tapping_drill(sizes.major, sizes.pitch, wanted or 75.0, shape).value
        near = nearest_drill(hole, SETS if row.inch else ("metric",)).nearest
        kept, source = near.diameter, _("the nearest to {size}", size=format_both(hole))
        name = near.name
    else:
        name, kept = row.drill_name, in_unit_of(sizes.major, row.drill)
        source = cited(row.source, row.status)
    left = percent_of_thread(sizes.major, sizes.pitch, kept, shape).value.magnitude
    also = _(
        "it leaves {share} % of thread, {counted}; {source}",
        share=f"{left:.0f}",
        counted=counted_as(shape),
        source=source,
    )
    return _("{name} drill", name=name), also


def same_pitch_otherwise(row: ThreadRow) -> tuple[str, ...]:
    """That a thread of another form has the same size and pitch, and does not fit it."""
    return tuple(
        _(
            "{other} has the same diameter and pitch, but flanks at {angle}°: the two do not fit each other.",
            other=other.name if other.series in other.name else f"{other.name} ({_(other.series)})",
            angle=f"{other.angle:g}",
        )
        for other in of_another_form(row)
    )


def clearance_table(row: ThreadRow) -> tuple[Table, ...]:
    """The holes that the screw passes through; none where no drill is as large."""
    try:
        holes = clearance_holes(row)
    except ValueError:
        return ()
    rows = tuple(
        (str(name), f"{size:.2f}", f"{size / 25.4:.4f}")
        for name, size in zip(_CLEARANCES, (holes.close, holes.medium, holes.free), strict=True)
    )
    title = _("Clearance holes: {source}", source=cited(holes.source, holes.status))
    return (Table(title, (_("Hole"), "mm", "in"), rows, (1, 2), folded=True),)


def threads_to_the_inch(row: ThreadRow) -> str:
    """The pitch of an inch thread as it is named."""
    named = row.inch or row.series == "BSP"
    return _("{number} to the inch", number=f"{float(25.4 / float(row.pitch)):.4g}") if named else ""


def by_sizes(form: SumForm) -> Answer:
    """A 60° thread from its diameter and pitch."""
    sizes = iso_thread(form.cleaned_data["major"], form.cleaned_data["pitch"])
    wanted = form.cleaned_data.get("per_cent") or 75.0
    hole = tapping_drill(sizes.major, sizes.pitch, wanted)
    near = nearest_drill(hole.value).nearest
    drill, also = _("{name} drill", name=near.name), _("the nearest to {size}", size=format_both(hole.value))
    return sized(sizes, "iso", drill, also, wanted, "")


def measured(form: SumForm) -> Answer:
    """What a screw measures over three wires of a thickness at hand."""
    row: ThreadRow = form.cleaned_data["thread"]
    sizes, wire = sizes_of(row), form.cleaned_data.get("wire")
    best = best_wire(sizes.pitch, row.angle)
    found = over_wires(sizes, row.angle, wire)
    facts = (
        Fact(_("Wires"), format_both(wire if wire is not None else best.value)),
        Fact(_("Best wire"), format_both(best.value), _("it touches at the pitch line")),
        Fact(_("Pitch diameter"), format_both(sizes.pitch_diameter)),
    )
    said = _("{thread}, at its basic size", thread=f"{row.name} ({_(row.series)})")
    remark = _("A thousandth over the wires is a thousandth of pitch diameter.")
    workings = (sizes.working, best.working, found.working)
    return Answer(_("Over three wires"), format_both(found.value), said, facts, (remark,), (), workings)


def sized(sizes: Any, shape: Any, drill: str, also: str, wanted: float | None, pitch_note: str) -> Answer:
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
    return Table(title, (_("Drill"), "mm", "in", _("Thread left")), tuple(rows), (1, 2, 3), folded=True)


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


def in_unit_of(length: Any, length_mm: float) -> Any:
    """So many millimetres in the unit of another length."""
    return millimetres(length_mm).to(length.units)


class ThreadsForm(SumForm):
    """What is wanted decides the fields."""

    asks = gettext_lazy("What is wanted")

    thread = ThreadField(
        gettext_lazy("Thread"),
        ("M6", "1/4-20"),
        help_text=gettext_lazy("A name like M6, M6x0.75, 1/4-20, #4-40, 2BA, 1/4 BSF or 1/4 x 40 ME."),
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
    wire = LengthField(gettext_lazy("Wires at hand"), help_text=gettext_lazy("Empty: the best wire."))
    sets = PickField(gettext_lazy("From these drills"), [(ANY, gettext_lazy("any drill")), *SET_NAMES.items()])
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
        "wires": Kind(gettext_lazy("A screw over three wires"), measured, ("thread", "wire"), needed=("thread",)),
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
