"""Speeds and times: from the process, the sizes and the material to the time of the cut, with all that leads there."""

from __future__ import annotations

from typing import Any

from builds.arithmetic.answers import Answer, Fact, time_in_words
from builds.arithmetic.forms import SumForm
from calcs.cutting import Cut, Machine, theoretical_finish, with_handling
from calcs.cutting.processes import Process
from calcs.messages import _
from calcs.shop.reference_tables import TOOLS, Chosen, cited, specific_energy_of
from calcs.units.quantity_text import format_quantity
from calcs.working.builder import Result

OTHER = "something else"


def cutting_time(form: SumForm, process: Process, names: tuple[str, ...]) -> Answer:
    """The time of a cut from the figures of those names, and what goes with it."""
    given, chosen, energy = form.given(*names), None, None
    # What asks for no speed has no spindle that one could choose for it.
    if "speed" in form.fields:
        chosen, energy = speed_for(form, process), energy_for(form)
        given["cutting_speed"] = chosen.value
        given["machine"] = Machine(**form.cleaned_data.get("spindle") or {}, power_watts=watts(form))
    if energy is not None:
        given["specific_energy"] = energy.value
    return answer_of(form, process, process.cut(**given), chosen, energy)


def speed_for(form: SumForm, process: Process) -> Chosen:
    """The user's cutting speed, or the tables'. ValueError where there is neither."""
    own = form.cleaned_data.get("speed")
    material = form.cleaned_data.get("material") or OTHER
    if own is None and material == OTHER:
        raise ValueError(_("Write the cutting speed, or choose a material that the tables have a speed for."))
    chosen = process.cutting_speed(material, form.cleaned_data.get("tool") or TOOLS[0], own)
    if own is None:
        form.fields["speed"].reading = _from_the_tables(chosen)
    return chosen


def _from_the_tables(chosen: Chosen) -> str:
    """The speed in both units, and how far the tables lie apart."""
    speed = in_both(chosen.value)
    low, high = (format_quantity(end.to("meter / minute")) for end in (chosen.low, chosen.high))
    if low == high:
        return _("{speed} from the tables, which agree", speed=speed)
    low = low.removesuffix(" m/min")
    return _("{speed} from the tables, which give {low} to {high}", speed=speed, low=low, high=high)


def energy_for(form: SumForm) -> Chosen | None:
    """The specific cutting energy of the material, where the tables have one: it gives the power."""
    try:
        return specific_energy_of(form.cleaned_data.get("material") or OTHER)
    except ValueError:
        return None


def watts(form: SumForm) -> float | None:
    """The machine's power in watts, where it was written."""
    power = form.cleaned_data.get("power")
    return None if power is None else float(power.to("watt").magnitude)


def answer_of(form: SumForm, process: Process, cut: Cut, chosen: Chosen | None, energy: Chosen | None) -> Answer:
    """The answer: the time large, the speeds and the load beside it, the sources below."""
    factor, each = form.cleaned_data.get("handling") or 1.0, form.cleaned_data.get("handling_time")
    handled = factor > 1 or each is not None
    whole = with_handling(cut, factor, each) if handled else cut
    finish = finish_of(form)
    return Answer(
        _("Time with handling") if handled else _("Time of the cut"),
        time_in_words(whole.minutes),
        _("of which {time} is cutting", time=time_in_words(cut.minutes)) if handled else "",
        facts=(*facts_of(form, cut, chosen), *finish_facts(finish)),
        remarks=cut.remarks,
        workings=(whole.working, *((finish.working,) if finish else ())),
        sources=sources_of(cut, chosen, energy),
        operation=process.kind,
        material=form.cleaned_data.get("material") or "",
        minutes=whole.minutes,
    )


def sources_of(cut: Cut, chosen: Chosen | None, energy: Chosen | None) -> tuple[str, ...]:
    """Where the figures that were not typed come from."""
    sources = []
    if chosen is not None and chosen.status != "own":
        sources.append(
            _(
                "Cutting speed {speed}: {words}. {source}.",
                speed=in_both(chosen.value),
                words=chosen.words,
                source=cited(chosen.source, chosen.status),
            )
        )
    if energy is not None and cut.power is not None:
        sources.append(
            _(
                "Specific cutting energy {energy} W·s/mm³: {words}. {source}. The power is that at the "
                "cutter; the motor needs more.",
                energy=f"{energy.value.magnitude:g}",
                words=energy.words,
                source=cited(energy.source, energy.status),
            )
        )
    return tuple(sources)


def finish_of(form: SumForm) -> Result | None:
    """The ridges that the feed leaves, where the tool's nose is known. ValueError for a feed above its radius."""
    nose, feed = form.cleaned_data.get("nose"), form.cleaned_data.get("feed")
    return None if nose is None or feed is None else theoretical_finish(feed, nose)


def finish_facts(finish: Result | None) -> tuple[Fact, ...]:
    """The finish as a figure."""
    if finish is None:
        return ()
    note = _("height of the ridges; a worn or rubbing tool leaves more")
    return (Fact(_("Finish by geometry"), format_quantity(finish.value), note),)


def facts_of(form: SumForm, cut: Cut, chosen: Chosen | None) -> tuple[Fact, ...]:
    """The speeds, the feed and the load, each with its unit; what has no meaning here is left out."""
    has, speed = form.cleaned_data.get("spindle"), cut.cutting_speed
    held = _("held to what the machine has") if has else _("as worked out, whatever the machine has")
    note = ""
    if speed is not None:
        note, speed = speed_note(speed, chosen), speed.to("foot / minute" if form.of_unit == "in" else "meter / minute")
    figures = (
        (_("Spindle speed"), cut.spindle_speed, held),
        (_("Cutting speed"), speed, note),
        (_("Feed rate"), cut.feed_rate, ""),
        (_("Passes"), cut.passes if cut.passes > 1 else None, ""),
        (_("Removal rate"), cut.removal_rate, ""),
        (_("Power at the cutter"), cut.power, ""),
        (_("Torque"), cut.torque, ""),
    )
    return tuple(
        Fact(label, str(figure) if isinstance(figure, int) else format_quantity(figure), note)
        for label, figure, note in figures
        if figure is not None
    )


def speed_note(real: Any, chosen: Chosen | None) -> str:
    """Where the speed that is shown comes from."""
    if chosen is None:
        return ""
    if abs(float((real / chosen.value).to("dimensionless").magnitude) - 1) > 1e-6:
        return _("at that spindle speed")
    return _("your own figure") if chosen.status == "own" else _("from the tables")


def in_both(speed: Any) -> str:
    """A cutting speed in both units."""
    return f"{format_quantity(speed.to('meter / minute'))} ({format_quantity(speed.to('foot / minute'))})"
