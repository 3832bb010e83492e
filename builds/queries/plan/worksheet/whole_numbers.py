"""The first sheet: whole numbers and fractions. Each sum is None where the part does not say what it asks about."""

from fractions import Fraction

from builds.models import Operation
from builds.models.choices import Basis
from builds.queries.plan.worksheet.facts import Facts, fraction_of, named
from builds.queries.plan.worksheet.lines import Answer, Sum, mixed
from calcs.messages import _, ngettext

# So many minutes are worth being written as hours.
AN_HOUR = 60
# Beyond these a turn cannot be drawn with a pencil.
FEWEST_HOLES, MOST_HOLES = 2, 100


def pieces(number: int) -> str:
    return ngettext("{n} piece", "{n} pieces", number)


def times_word(value: float) -> str:
    """The unit of a line that comes to so many times as much."""
    return _("time") if value == 1 else _("times")


def work_of(operation: Operation) -> str:
    """The sentence that says which work a sum is about."""
    return _("The work is “{operation}”.", operation=named(operation))


def minutes(value: float | None) -> str:
    """A time of the plan, whole or in fractions."""
    return mixed(fraction_of(value) or Fraction(0))


def in_brackets(text: str) -> str:
    """A mixed number as it stands in a longer sum.

    >>> in_brackets("7 1/2"), in_brackets("7")
    ('(7 + 1/2)', '7')
    """
    return f"({text.replace(' ', ' + ')})" if " " in text else text


def hours_and_minutes(answer: Answer, total: int) -> None:
    """The lines that take minutes apart into hours and minutes."""
    hours, rest = divmod(total, 60)
    if not rest:
        answer.line(_("We divide by the minutes of an hour."), _("hours"), "", f"{total} ÷ 60", float(hours), "h")
        return
    whole = _("So many whole hours fit in.")
    answer.line(whole, _("hours"), _("{minutes} ÷ 60, rounded down", minutes=total), "", float(hours), "h")
    answer.line(_("We count the minutes in them."), _("in hours"), "", f"{hours} × 60", float(60 * hours), "min")
    answer.line(_("The rest stays as minutes."), _("rest"), "", f"{total} − {60 * hours}", float(rest), "min")
    shown = _("{hours} h {minutes} min", hours=hours, minutes=rest)
    answer.line(
        _("We put the two together."), _("time"), "", f"{60 * hours} min + {rest} min", float(total), "", shown=shown
    )


def set_up_times(minutes_said: str, times: int) -> str:
    """What the plan has for setting up, and how often it was done."""
    if times == 1:
        return _("The plan has {minutes} min to set up.", minutes=minutes_said)
    return _("The plan has {minutes} min to set up. That was done {n} times.", minutes=minutes_said, n=times)


def times_it(number: int, each: str) -> str:
    """So many times a figure; the figure alone for one.

    >>> times_it(3, "20"), times_it(1, "20")
    ('3 × 20', '20')
    """
    return each if number == 1 else f"{number} × {each}"


def pieces_to_make(facts: Facts) -> Sum | None:
    """How many there are to be with the spares, and how many of them are still to be made."""
    part, count = facts.part, facts.row.count
    done, whole = count.finished_good, part.quantity_with_spares
    if part.is_work or (not part.spares and not 0 < done < whole):
        return None
    answer, wanted, more = Answer(), whole, ""
    said = _("We need {pieces}.", pieces=pieces(part.quantity))
    asked = _("How many is that in all?")
    if part.spares:
        more = ngettext("We want {n} spare too.", "We want {n} spares too.", part.spares)
        because = _("We add the spares.")
        numbers = f"{part.quantity} + {part.spares}"
        answer.line(because, _("in all"), _("needed + spares"), numbers, float(wanted), shown=pieces(wanted))
    made = ""
    if 0 < done < whole:
        made = ngettext("{n} is done.", "{n} are done.", done)
        asked, left = _("How many are left to make?"), wanted - done
        because = _("We take away what is done.")
        numbers = f"{wanted} − {done}"
        answer.line(because, _("left to make"), _("in all − done"), numbers, float(left), shown=pieces(left))
    return answer.sum(_("Pieces to make"), said, more, made, asked)


def one_after_the_other(facts: Facts) -> Sum | None:
    """Two to four works of a piece, added up."""
    works = [one for one in facts.plain_timed if one.basis == Basis.PIECE]
    if len(works) < 2:
        return None
    first = facts.pick("first", range(len(works) - 1)) or 0
    chosen = works[first : first + 2 + (facts.pick("how many", range(3)) or 0)]
    times = [fraction_of(one.minutes_per_unit) or Fraction(0) for one in chosen]
    total = sum(times, Fraction(0))
    answer = Answer()
    numbers = " + ".join(in_brackets(mixed(one)) for one in times)
    answer.line(_("We add the times."), _("time"), "", numbers, total, "min")
    if total.denominator == 1 and total >= AN_HOUR:
        hours_and_minutes(answer, int(total))
    each = [
        _("“{operation}” takes {minutes} min.", operation=named(one), minutes=mixed(time))
        for one, time in zip(chosen, times, strict=True)
    ]
    asked = _("How long do they take, one after the other?")
    hour = _("One hour is 60 min.") if len(answer.lines()) > 1 else ""
    return answer.sum(_("One after the other"), *each, hour, asked)


def logged_hours(facts: Facts) -> Sum | None:
    """Minutes of the log as hours and minutes."""
    known = [one for one in facts.steps if not one.tally.times_unknown]
    one = facts.pick("logged", [one for one in known if one.tally.bench_minutes >= AN_HOUR])
    if one is None:
        return None
    answer, spent = Answer(), one.tally.bench_minutes
    hours_and_minutes(answer, spent)
    log = _("The log has {minutes} min for it so far. One hour is 60 min.", minutes=spent)
    asked = _("How many hours and minutes is that?")
    return answer.sum(_("Hours and minutes"), work_of(one.operation), log, asked)


def counted_work(facts: Facts) -> Sum | None:
    """So many holes or teeth, each of so many minutes."""
    counted = [one for one in facts.plain_timed if one.basis in (Basis.HOLE, Basis.TOOTH) and one.amount > 1]
    one = facts.pick("counted", counted)
    if one is None:
        return None
    amount, each = fraction_of(one.amount) or Fraction(1), fraction_of(one.minutes_per_unit) or Fraction(0)
    answer = Answer()
    numbers = f"{mixed(amount)} × {in_brackets(mixed(each))}"
    answer.line(_("Each takes the same time, so we multiply."), _("time"), "", numbers, amount * each, "min")
    said = {"amount": mixed(amount), "minutes": mixed(each)}
    if one.basis == Basis.HOLE:
        how = _("One piece has {amount} holes. Each hole takes {minutes} min.", **said)
    else:
        how = _("One piece has {amount} teeth. Each tooth takes {minutes} min.", **said)
    return answer.sum(_("One by one"), work_of(one), how, _("How long does one piece take?"))


def holes_in_all(facts: Facts) -> Sum | None:
    """The holes or teeth of all the pieces."""
    number = facts.part.quantity_with_spares
    counted = [one for one in facts.steps if _is_counted(one.operation)]
    one = facts.pick("in all", counted)
    if one is None or number < 2:
        return None
    amount, answer = int(one.operation.amount), Answer()
    unit = _("holes") if one.operation.basis == Basis.HOLE else _("teeth")
    because = _("Each piece has as many, so we multiply.")
    answer.line(because, _("in all"), "", f"{number} × {amount}", float(number * amount), unit)
    holes = _("Each has {amount} holes.", amount=amount)
    if one.operation.basis == Basis.TOOTH:
        holes = _("Each has {amount} teeth.", amount=amount)
    said = _("We make {pieces}, with the spares.", pieces=pieces(number))
    if not facts.part.spares:
        said = _("We make {pieces}.", pieces=pieces(number))
    return answer.sum(_("All of them"), work_of(one.operation), said, holes, _("How many is that in all?"))


def _is_counted(operation: Operation) -> bool:
    whole = float(operation.amount).is_integer()
    return whole and operation.basis in (Basis.HOLE, Basis.TOOTH) and operation.amount >= FEWEST_HOLES


def part_of_a_turn(facts: Facts) -> Sum | None:
    """Holes or teeth that stand evenly round a circle: from one to the next."""
    counted = [one.operation for one in facts.steps if _is_counted(one.operation)]
    one = facts.pick("turn", [one for one in counted if one.amount <= MOST_HOLES])
    if one is None:
        return None
    amount, answer = int(one.amount), Answer()
    answer.line(_("All steps are alike."), _("step"), _("whole turn ÷ steps"), f"1 ÷ {amount}", Fraction(1, amount), "")
    answer.is_asked()
    degrees = Fraction(360, amount)
    answer.line(_("We share the degrees in the same way."), _("angle"), "", f"360 ÷ {amount}", f"{mixed(degrees)}°")
    answer.is_asked()
    what = _("Say {amount} holes stand round a circle, all as far apart.", amount=amount)
    if one.basis == Basis.TOOTH:
        what = _("{amount} teeth stand round a wheel, all as far apart.", amount=amount)
    asked = _("What part of a turn is it from one to the next? How many degrees?")
    return answer.sum(_("Part of a turn"), work_of(one), what, _("1 turn is 360 degrees."), asked)
