"""The second sheet: decimals. Each sum is None where the part does not say what it asks about."""

from builds.models.choices import Basis
from builds.queries.plan.worksheet.facts import Facts, as_asked
from builds.queries.plan.worksheet.lines import Answer, Sum
from builds.queries.plan.worksheet.own_unit import CM_IN, in_own_unit, large_mass, mass_hint, own_speed, speed_hint
from builds.queries.plan.worksheet.whole_numbers import pieces, work_of
from calcs.messages import _, ngettext


def sizes_as_decimals(facts: Facts) -> Sum | None:
    """The sizes of the blank in decimals, and in the sheet's unit."""
    stock = facts.stock
    if stock is None:
        return None
    answer, names = Answer(), (_("width"), _("length"))
    for name, length in zip(names, (stock.across, stock.length), strict=True):
        if length.to_be_changed:
            in_own_unit(answer, facts, length, name)
            answer.is_asked()
    if not answer.lines():
        return None
    asked = _("Write its width and its length as decimals, in inches.") if facts.inch else (
        _("Write its width and its length as decimals, in mm.")
    )  # fmt: skip
    return answer.sum(_("Sizes as decimals"), stock.said, stock.hint, asked)


def size_in_centimetres(facts: Facts) -> Sum | None:
    """Millimetres as centimetres, on a sheet that is in mm."""
    stock = facts.stock
    if stock is None or facts.inch or stock.foreign:
        return None
    answer = Answer()
    because = _("We want the larger unit, so we divide.")
    for name, length in ((_("width"), stock.across), (_("length"), stock.length)):
        answer.line(because, name, "", f"{length.figure} ÷ 10", float(length.value) / 10, "cm")
        answer.is_asked()
    return answer.sum(_("Sizes in cm"), stock.said, _("1 cm is 10 mm."), _("How wide and how long is it in cm?"))


def cut_in_inches(facts: Facts) -> Sum | None:
    """Centimetres of cut in an inch build."""
    cuts = [one for one in facts.timed if one.basis == Basis.CENTIMETRE_OF_CUT]
    one = facts.pick("cut", cuts) if facts.inch else None
    if one is None:
        return None
    (amount, said), answer = as_asked(one.amount), Answer()
    because = _("An inch is longer than a cm, so we divide.")
    answer.line(because, _("cut"), "", f"{said} ÷ {CM_IN}", amount / CM_IN, "in")
    cut = _("The plan has {amount} cm of cut for one piece.", amount=said)
    asked = _("How many inches is that?")
    return answer.sum(_("From cm to inches"), work_of(one), cut, _("1 in is {cm} cm.", cm=CM_IN), asked)


def hours_as_decimal(facts: Facts) -> Sum | None:
    """Set-up and pieces, in hours."""
    number = facts.part.quantity_with_spares
    one = facts.pick("hours", facts.timed)
    if one is None:
        return None
    (setup, setup_text), (each, text) = as_asked(one.setup_minutes), as_asked(one.minutes_per_piece or 0.0)
    if one.amount != 1:
        return None
    total, answer, first = number * each, Answer(), ""
    if number > 1:
        text = answer.line(_("We multiply by the pieces."), _("pieces"), "", f"{number} × {text}", total, "min")
    if setup:
        first, total = _("To set up takes {minutes} min.", minutes=setup_text), total + setup
        text = answer.line(_("We add the time to set up."), _("together"), "", f"{setup_text} + {text}", total, "min")
    answer.line(_("We divide by the minutes of an hour."), _("hours"), "", f"{text} ÷ 60", total / 60, "h")
    said = ngettext(
        "Then it takes {minutes} min.", "We make {n} pieces. Each takes {minutes} min.", number,
        minutes=as_asked(each)[1],
    )  # fmt: skip
    asked = _("One hour is 60 min. How many hours is it in all?")
    return answer.sum(_("Hours as a decimal"), work_of(one), first, said, asked)


def mean_time(facts: Facts) -> Sum | None:
    """Minutes for each piece, by the log."""
    compared = [one for one in facts.compared if one.tally.good + one.tally.scrap > 1]
    one = facts.pick("mean", compared)
    if one is None:
        return None
    number, real = one.tally.good + one.tally.scrap, one.tally.counted_minutes
    answer = Answer()
    because = _("We share the time among the pieces.")
    answer.line(because, _("for each"), _("time ÷ pieces"), f"{real} ÷ {number}", real / number, "min")
    said = _("{pieces} took {minutes} min.", pieces=pieces(number), minutes=real)
    return answer.sum(_("Time for each piece"), work_of(one.operation), said, _("How long is that for each?"))


def good_in_a_hundred(facts: Facts) -> Sum | None:
    """The yield of an operation in per cent."""
    one = facts.pick("per cent", facts.lossy)
    if one is None:
        return None
    good, tried, answer = one.tally.good, one.tally.good + one.tally.scrap, Answer()
    text = answer.line(
        _("We divide the good ones by all."), _("share"), _("good ÷ tried"), f"{good} ÷ {tried}", good / tried
    )
    because = _("We want it for 100, so we multiply.")
    answer.line(because, _("good"), "", f"{text} × 100", good / tried * 100, "%")
    said = _("We tried {pieces}. Of these, {good} came out good.", pieces=pieces(tried), good=good)
    asked = _("Out of 100, how many would be good?")
    return answer.sum(_("Good in a hundred"), work_of(one.operation), said, asked)


def what_it_costs(facts: Facts) -> Sum | None:
    """What the pieces or their blanks cost together."""
    part, number = facts.part, facts.part.quantity_with_spares
    cost, sign = part.blank_cost, part.build.currency
    if not cost or number < 2:
        return None
    answer, price, total = Answer(), f"{sign}{cost:,.2f}", cost * number
    because = _("Each costs the same, so we multiply.")
    answer.line(because, _("cost"), "", f"{number} × {price}", float(total), shown=f"{sign}{total:,.2f}")
    said = _("One blank costs {price}. We want {n} of them.", price=price, n=number)
    return answer.sum(_("What they cost"), said, _("What do they cost in all?"))


def mass_of_all(facts: Facts) -> Sum | None:
    """The mass of the finished pieces, in the larger unit."""
    grams, number = facts.part.finished_mass_grams, facts.part.quantity_with_spares
    if not grams:
        return None
    (asked, said), answer, how_many = as_asked(grams), Answer(), ""
    value, text, unit = large_mass(answer, facts, asked, said)
    if number > 1:
        because = _("Each weighs the same, so we multiply.")
        answer.line(because, _("together"), "", f"{number} × {text}", number * value, unit)
        how_many = _("We make {pieces}.", pieces=pieces(number))
    weighs = _("One finished piece weighs {mass} g.", mass=said)
    want = _("How many pounds is that in all?") if facts.inch else _("How many kilograms is that in all?")
    return answer.sum(_("What they weigh"), weighs, how_many, mass_hint(facts), want)


def in_one_second(facts: Facts) -> Sum | None:
    """How far the edge of a tool goes in a second."""
    material = facts.part.material
    if material is None or not material.cutting_speed or facts.stock is None:
        return None
    (speed, said), answer = as_asked(material.cutting_speed), Answer()
    value, text, _unit = own_speed(answer, facts, speed, said)
    parts, small = (12, "in") if facts.inch else (1000, "mm")
    text = answer.line(
        _("We change it to the small unit."), _("one minute"), "", f"{text} × {parts}", value * parts, small
    )
    answer.line(_("We divide by the seconds."), _("one second"), "", f"{text} ÷ 60", value * parts / 60, small)
    hint = (
        _("1 ft is 12 in. One minute is 60 seconds.") if facts.inch else _("1 m is 1000 mm. One minute is 60 seconds.")
    )
    how = _("We cut “{material}” at {speed} m in one minute.", material=material.name, speed=said)
    asked = _("How many inches go past the tool in one second?")
    if not facts.inch:
        asked = _("How many mm go past the tool in one second?")
    return answer.sum(_("In one second"), how, speed_hint(facts), hint, asked)
