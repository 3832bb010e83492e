"""The third sheet: formulae. Each sum is None where the part does not say what it asks about."""

import math

from builds.models import Machine as ShopMachine
from builds.models import Operation
from builds.models.choices import Basis, Kind
from builds.queries.plan.work_out import spindle_of
from builds.queries.plan.worksheet.facts import Facts, as_asked
from builds.queries.plan.worksheet.lines import Answer, Sum
from builds.queries.plan.worksheet.own_unit import in_own_unit, own_speed, speed_hint
from builds.queries.plan.worksheet.whole_numbers import pieces, set_up_times, times_it, times_word, work_of
from calcs.messages import _, ngettext

TURNED = (Kind.TURNING, Kind.FACING, Kind.PARTING)
# A percentage of a batch that is small enough to be lost in one piece.
NEARLY = 1e-9


def _counted_by(basis: str, amount: str, minutes: str) -> str:
    """What a piece has to be done, so many times so many minutes."""
    said = {"a": amount, "t": minutes}
    if basis == Basis.HOLE:
        return _("Each has a = {a} holes. A hole takes t = {t} min.", **said)
    if basis == Basis.TOOTH:
        return _("Each has a = {a} teeth. A tooth takes t = {t} min.", **said)
    if basis == Basis.CUBIC_CENTIMETRE:
        return _("On each we cut away a = {a} cm³. One cm³ takes t = {t} min.", **said)
    return _("On each we cut a = {a} cm. One cm takes t = {t} min.", **said)


def spindle_speed(facts: Facts) -> Sum | None:
    """How fast the spindle turns for the blank, and the speed that the machine has for it."""
    stock, part = facts.stock, facts.part
    speed = part.material.cutting_speed if part.material else None
    one = facts.pick("spindle", _turned(facts))
    if not speed or one is None or stock is None:
        return None
    (asked, said), answer = as_asked(speed), Answer()
    wide, across = in_own_unit(answer, facts, stock.across, "D")
    value, text, _unit = own_speed(answer, facts, asked, said)
    per, because = _per(facts), _("We put the figures into the formula.")
    wanted = per * value / (math.pi * wide)
    answer.line(because, "N", f"{per} × V ÷ (π × D)", f"{per} × {text} ÷ (π × {across})", wanted, "rev/min")
    has = _held(answer, wanted, one.machine)
    how = _("We cut “{material}” at {speed} m/min. We call it V.", material=part.material.name, speed=said)  # type: ignore[union-attr]
    asked_for = _("How fast should it turn?") if not has else _("Which speed do we set?")
    hints = (stock.hint, how, speed_hint(facts), formula_of_speed(facts), has)
    return answer.sum(_("Spindle speed"), stock.said, *hints, asked_for)


def _turned(facts: Facts) -> list[Operation]:
    """Operations at which the blank turns."""
    if facts.stock is None or facts.stock.shape not in ("round", "tube"):
        return []
    return [one.operation for one in facts.steps if one.operation.kind in TURNED]


def _per(facts: Facts) -> int:
    return 12 if facts.inch else 1000


def formula_of_speed(facts: Facts) -> str:
    """The formula of the spindle speed, in the sheet's units."""
    if facts.inch:
        return _("The formula is N = 12 × V ÷ (π × D). D is the width in inches. V is in feet a minute.")
    return _("The formula is N = 1000 × V ÷ (π × D). D is the width in mm. V is in metres a minute.")


def _held(answer: Answer, wanted: float, machine: ShopMachine | None) -> str:
    """The line that holds a speed to the machine; returns what the question says of the machine, empty for none."""
    speeds = spindle_of(machine)
    if machine is None or not speeds:
        return ""
    from calcs.cutting import Machine
    from calcs.cutting.speeds import held_speed

    low, high = machine.speed_low, machine.speed_high
    held, why = held_speed(wanted, Machine(tuple(machine.speeds)) if machine.speeds else Machine((), low, high))
    because = {
        "lowest": _("Its lowest speed is still too fast, but there is no other."),
        "highest": _("Its highest speed is as near as we get."),
        "within reach": _("This step is so near that it will do."),
        "next lower": _("We take the next lower step."),
    }.get(why, _("The machine can run at just this speed."))
    answer.line(because, _("set to"), "", "", held, "rev/min")
    return _("The “{machine}” has these speeds: {speeds} rev/min.", machine=machine.name, speeds=speeds)


def cutting_speed(facts: Facts) -> Sum | None:
    """How fast the blank goes past the tool at a speed of the machine."""
    stepped = [one for one in _turned(facts) if one.machine and one.machine.speeds]
    one, stock = facts.pick("cutting", stepped), facts.stock
    if one is None or one.machine is None or stock is None:
        return None
    turns = facts.pick("step", one.machine.speeds) or one.machine.speeds[0]
    (turns, said), answer = as_asked(turns), Answer()
    wide, across = in_own_unit(answer, facts, stock.across, "D")
    per, unit = _per(facts), "ft/min" if facts.inch else "m/min"
    because = _("We put the figures into the formula.")
    numbers = f"π × {across} × {said} ÷ {per}"
    answer.line(because, "V", f"π × D × N ÷ {per}", numbers, math.pi * wide * turns / per, unit)
    formula = _("The formula is V = π × D × N ÷ 12. D is the width in inches.") if facts.inch else (
        _("The formula is V = π × D × N ÷ 1000. D is the width in mm.")
    )  # fmt: skip
    runs = _("The “{machine}” turns at {turns} rev/min. We call it N.", machine=one.machine.name, turns=said)
    asked = _("How many feet go past the tool in a minute?") if facts.inch else (
        _("How many metres go past the tool in a minute?")
    )  # fmt: skip
    return answer.sum(_("Speed at the edge"), stock.said, stock.hint, runs, formula, asked)


def time_by_formula(facts: Facts) -> Sum | None:
    """Set-up and pieces by a formula, in hours."""
    number = facts.part.quantity_with_spares
    one = facts.pick("formula", [one for one in facts.timed if one.setup_minutes])
    if one is None or (facts.inch and one.basis in (Basis.CUBIC_CENTIMETRE, Basis.CENTIMETRE_OF_CUT)):
        return None
    (setup, s), (amount, a), (each, t) = map(as_asked, (one.setup_minutes, one.amount, one.minutes_per_unit or 0.0))
    answer, whole = Answer(), setup + number * amount * each
    because = _("We put the figures into the formula.")
    formula, numbers, what = "s + t", f"{s} + {t}", _("The work takes t = {t} min.", t=t)
    if one.basis != Basis.PIECE and one.amount > 1:
        formula, numbers, what = "s + n × a × t", f"{s} + {number} × {a} × {t}", _counted_by(one.basis, a, t)
    elif number > 1:
        formula, numbers, what = "s + n × t", f"{s} + {number} × {t}", _("Each piece takes t = {t} min.", t=t)
    text = answer.line(because, "T", formula, numbers, whole, "min")
    answer.line(_("We divide by the minutes of an hour."), _("T in hours"), "T ÷ 60", f"{text} ÷ 60", whole / 60, "h")
    said = _("To set up takes s = {s} min.", s=s)
    if formula != "s + t":
        said += " " + _("We make n = {n}.", n=number)
    asked = _("What is T in hours? One hour is 60 min.")
    given = _("The formula is T = {formula}.", formula=formula)
    return answer.sum(_("Time by a formula"), work_of(one), given, said, what, asked)


def planned_and_real(facts: Facts) -> Sum | None:
    """How many times the plan the log is, and what that makes of one more piece."""
    one = facts.pick("ratio", facts.compared)
    if one is None:
        return None
    number, real, times = one.tally.good + one.tally.scrap, one.tally.counted_minutes, max(1, one.plan.setups_done)
    (setup, s), (each, t) = map(as_asked, (one.operation.setup_minutes, one.operation.minutes_per_piece or 0.0))
    planned, answer, first, numbers = setup * times + number * each, Answer(), "", times_it(number, t)
    if setup:
        first, numbers = set_up_times(s, times), f"{times_it(times, s)} + {numbers}"
    text = answer.line(_("We work out what was planned."), _("planned"), "", numbers, planned, "min")
    because = _("We divide the real time by it.")
    ratio = answer.line(
        because, "k", _("real ÷ planned"), f"{real} ÷ {text}", real / planned, times_word(real / planned)
    )
    answer.is_asked()
    because = _("One more piece should take k times its plan.")
    answer.line(because, _("next piece"), "k × t", f"{ratio} × {t}", real / planned * each, "min")
    answer.is_asked()
    said = _("For each piece the plan has t = {minutes} min.", minutes=t)
    log = ngettext("{n} piece took {minutes} min.", "{n} pieces took {minutes} min.", number, minutes=real)
    asked = _("How many times the plan is that? What will the next piece take?")
    return answer.sum(_("Planned and real"), work_of(one.operation), first, said, log, asked)


def how_many_to_start(facts: Facts) -> Sum | None:
    """Pieces that must come to an operation so that enough come out of it."""
    one, need = facts.pick("start", facts.lossy), facts.part.quantity_with_spares
    if one is None:
        return None
    good, tried, answer = one.tally.good, one.tally.good + one.tally.scrap, Answer()
    share = answer.line(_("We divide the good ones by all."), "y", _("good ÷ tried"), f"{good} ÷ {tried}", good / tried)
    start = need / (good / tried)
    because = _("We divide by the share, so more must start.")
    answer.line(because, "n", _("needed ÷ y"), f"{need} ÷ {share}", start, _("pieces"))
    whole = math.ceil(start - NEARLY)
    answer.line(
        _("There is no part of a piece, so we round up."), _("start"), _("rounded up"), "", float(whole),
        shown=pieces(whole),
    )  # fmt: skip
    said = _("We tried {pieces}. Of these, {good} came out good.", pieces=pieces(tried), good=good)
    want = ngettext("We need {n} good one.", "We need {n} good ones.", need)
    asked = _("It goes on like this. How many must we start?")
    return answer.sum(_("How many to start"), work_of(one.operation), said, want, asked)


def by_itself(facts: Facts) -> Sum | None:
    """The minutes at the bench of work that partly runs by itself."""
    alone = [one for one in facts.timed if 0 < one.unattended_share < 1 and one.amount == 1]
    one = facts.pick("alone", alone)
    if one is None:
        return None
    (share, u), (each, t), answer = as_asked(one.unattended_share), as_asked(one.minutes_per_unit or 0.0), Answer()
    bench = answer.line(_("The rest of the time needs you."), _("rest"), "1 − u", f"1 − {u}", 1 - share)
    because = _("We take that share of the time.")
    answer.line(because, "b", "t × (1 − u)", f"{t} × {bench}", each * (1 - share), "min")
    said = _(
        "One piece takes t = {minutes} min. The whole of it is 1. A share of u = {share} runs by itself.",
        minutes=t,
        share=u,
    )
    return answer.sum(_("By itself"), work_of(one), said, _("How long do you have to stand by?"))


def energy(facts: Facts) -> Sum | None:
    """The most energy that a machine takes for a piece."""
    driven = [one for one in facts.timed if one.machine is not None and one.machine.power_watts and one.amount == 1]
    one = facts.pick("energy", driven)
    if one is None or one.machine is None:
        return None
    power, p = as_asked(float(one.machine.power_watts or 0))
    (each, t), answer = as_asked(one.minutes_per_unit or 0.0), Answer()
    kilowatts = answer.line(_("We change watts to kilowatts."), "P", "", f"{p} ÷ 1000", power / 1000, "kW")
    because = _("We put the figures into the formula.")
    answer.line(because, "E", "P × t ÷ 60", f"{kilowatts} × {t} ÷ 60", power / 1000 * each / 60, _("kWh"))
    machine = _("The motor of the “{machine}” has P = {power} W.", machine=one.machine.name, power=p)
    said = _("One piece takes t = {minutes} min. The formula is E = P × t ÷ 60.", minutes=t)
    hints = _("Here P is in kW. 1 kW is 1000 W.")
    asked = _("How much work can the motor do in that time, in kWh?")
    return answer.sum(_("Work of the motor"), work_of(one), machine, said, hints, asked)
