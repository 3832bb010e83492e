"""Speeds and times: from the process, the sizes and the material to the time of the cut, with all that leads there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from builds.arithmetic.answers import Answer, Fact, said, time_in_words
from builds.arithmetic.forms import SumForm
from calcs.cutting import Cut, Machine, Result, theoretical_finish, with_handling
from calcs.shop.reference_tables import TOOLS, Chosen, cutting_speed_for, specific_energy_of

OTHER = "something else"


def cutting_time(form: SumForm, process: str, work: Callable[..., Cut], names: tuple[str, ...]) -> Answer:
    """The time of a cut by one of the functions of `calcs.cutting`, and what goes with it."""
    given = form.given(*names)
    chosen = speed_for(form, process)
    machine = Machine(**form.cleaned_data.get("spindle") or {}, power_watts=watts(form))
    if chosen is not None:
        given["cutting_speed"] = chosen.value
    energy = energy_for(form)
    if energy is not None and process not in ("tapping", "threading"):
        given["specific_energy"] = energy.value
    cut = work(**given, machine=machine)
    return answer_of(form, process, cut, chosen, energy)


def plain_time(form: SumForm, process: str, work: Callable[..., Cut], names: tuple[str, ...]) -> Answer:
    """The time where nothing turns and no cutting speed is asked for."""
    return answer_of(form, process, work(**form.given(*names)), None, None)


def speed_for(form: SumForm, process: str) -> Chosen | None:
    """The user's cutting speed, or the tables'. ValueError where there is neither."""
    own = form.cleaned_data.get("speed")
    material = form.cleaned_data.get("material") or OTHER
    if own is None and material == OTHER:
        raise ValueError("Write the cutting speed, or choose a material that the tables have a speed for.")
    tool = form.cleaned_data.get("tool") or TOOLS[0]
    chosen = cutting_speed_for(material, tool, process, own)
    if own is None:
        form.fields["speed"].reading = f"{in_both(chosen.value)} from the tables, {span(chosen)}"
    return chosen


def span(chosen: Chosen) -> str:
    """How far the tables lie apart, as a few words."""
    low, high = (said(end.to("meter / minute")) for end in (chosen.low, chosen.high))
    return f"which give {low.removesuffix(' m/min')} to {high}" if low != high else "which agree"


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


def answer_of(form: SumForm, process: str, cut: Cut, chosen: Chosen | None, energy: Chosen | None) -> Answer:
    """The answer: the time large, the speeds and the load beside it, the sources below."""
    factor, each = form.cleaned_data.get("handling") or 1.0, form.cleaned_data.get("handling_time")
    bare = cut
    if factor > 1 or each is not None:
        cut = with_handling(cut, factor, each)
    also = f"of which {time_in_words(bare.minutes)} is cutting" if cut is not bare else ""
    sources = []
    if chosen is not None and chosen.status != "own":
        sources.append(f"Cutting speed {in_both(chosen.value)}: {chosen.words}. {chosen.source} ({chosen.status}).")
    if energy is not None and cut.power is not None:
        sources.append(
            f"Specific cutting energy {energy.value.magnitude:g} W·s/mm³: {energy.words}. {energy.source} "
            f"({energy.status}). The power is that at the cutter; the motor needs more."
        )
    finish = finish_of(form)
    return Answer(
        "Time with handling" if cut is not bare else "Time of the cut",
        time_in_words(cut.minutes),
        also,
        facts=(*facts_of(form, cut, chosen), *finish_facts(finish)),
        remarks=cut.remarks,
        workings=(cut.working, *((finish.working,) if finish else ())),
        sources=tuple(sources),
        operation=_KIND_OF.get(process, process),
        material=form.cleaned_data.get("material") or "",
        minutes=cut.minutes,
    )


def finish_of(form: SumForm) -> Result | None:
    """The ridges that the feed leaves, where the tool's nose is known. ValueError for a feed above its radius."""
    nose, feed = form.cleaned_data.get("nose"), form.cleaned_data.get("feed")
    return None if nose is None or feed is None else theoretical_finish(feed, nose)


def finish_facts(finish: Result | None) -> tuple[Fact, ...]:
    """The finish as a figure."""
    return (
        ()
        if finish is None
        else (
            Fact("Finish by geometry", said(finish.value), "height of the ridges; a worn or rubbing tool leaves more"),
        )
    )


def facts_of(form: SumForm, cut: Cut, chosen: Chosen | None) -> tuple[Fact, ...]:
    """The speeds, the feed and the load, each with its unit; what has no meaning here is left out."""
    facts = []
    if cut.spindle_speed is not None:
        has = form.cleaned_data.get("spindle")
        note = "held to what the machine has" if has else "as worked out, whatever the machine has"
        facts.append(Fact("Spindle speed", said(cut.spindle_speed), note))
    if cut.cutting_speed is not None:
        unit = "foot / minute" if form.of_unit == "in" else "meter / minute"
        facts.append(Fact("Cutting speed", said(cut.cutting_speed.to(unit)), speed_note(cut.cutting_speed, chosen)))
    if cut.feed_rate is not None:
        facts.append(Fact("Rate of feed", said(cut.feed_rate)))
    if cut.passes > 1:
        facts.append(Fact("Passes", str(cut.passes)))
    if cut.removal_rate is not None:
        facts.append(Fact("Removal rate", said(cut.removal_rate)))
    if cut.power is not None:
        facts.append(Fact("Power at the cutter", said(cut.power)))
    if cut.torque is not None:
        facts.append(Fact("Torque", said(cut.torque)))
    return tuple(facts)


def speed_note(real: Any, chosen: Chosen | None) -> str:
    """Where the speed that is shown comes from."""
    if chosen is None:
        return ""
    if abs(float((real / chosen.value).to("dimensionless").magnitude) - 1) > 1e-6:
        return "at that spindle speed"
    return "your own figure" if chosen.status == "own" else "from the tables"


def in_both(speed: Any) -> str:
    """A cutting speed in both units."""
    return f"{said(speed.to('meter / minute'))} ({said(speed.to('foot / minute'))})"


_KIND_OF = {
    "peripheral milling": "milling",
    "face milling": "milling",
    "slot milling": "milling",
    "pocket milling": "milling",
    "surface grinding": "grinding",
}
