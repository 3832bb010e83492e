"""More of the first sheet: the blank, the set-up, what came out good, and what the plan said."""

from fractions import Fraction

from builds.queries.plan.worksheet.facts import Facts, fraction_of
from builds.queries.plan.worksheet.lines import Answer, Sum, mixed
from builds.queries.plan.worksheet.whole_numbers import (
    AN_HOUR,
    hours_and_minutes,
    in_brackets,
    pieces,
    set_up_times,
    times_it,
    work_of,
)
from calcs.messages import _, ngettext


def half_of_it(facts: Facts) -> Sum | None:
    """The radius of a round blank, or the middle of another one."""
    stock = facts.plain_stock
    if stock is None:
        return None
    length = stock.across
    answer, figure = Answer(), length.figure
    if length.value > 1 and length.value.denominator > 1:
        figure = f"{length.value.numerator}/{length.value.denominator}"
        numbers = " + ".join(length.figure.split())
        answer.line(_("We write it as one fraction."), _("size"), "", numbers, figure, facts.unit)
    because = _("The middle is half of the way.")
    answer.line(because, _("half"), "", f"{figure} ÷ 2", length.value / 2, facts.unit)
    asked = _("How far is it from its middle to its edge?")
    if stock.shape == "flat":
        asked = _("How far is it from one side to the middle of its width?")
    return answer.sum(_("Find the middle"), stock.said, _("Half means “divide by 2”."), asked)


def longer_than_wide(facts: Facts) -> Sum | None:
    """How much longer than wide the blank is."""
    stock = facts.plain_stock
    if stock is None or stock.length.value <= stock.across.value:
        return None
    long, wide = stock.length, stock.across
    answer = Answer()
    numbers = f"{in_brackets(long.figure)} − {in_brackets(wide.figure)}"
    because = _("We take the width away from the length.")
    answer.line(because, _("longer by"), _("length − width"), numbers, long.value - wide.value, facts.unit)
    return answer.sum(_("Longer than wide"), stock.said, _("How much longer is it than it is wide?"))


def round_the_edge(facts: Facts) -> Sum | None:
    """The way round the face of a flat or square blank."""
    stock = facts.plain_stock
    if stock is None or stock.shape not in ("flat", "square"):
        return None
    answer, wide = Answer(), stock.across
    if stock.shape == "square":
        because = _("All four sides are the same.")
        answer.line(because, _("way round"), "", f"4 × {in_brackets(wide.figure)}", 4 * wide.value, facts.unit)
        asked = _("A square has 4 sides. How far is it round the end of the bar?")
        return answer.sum(_("All the way round"), stock.said, asked)
    half = stock.length.value + wide.value
    numbers = f"{in_brackets(stock.length.figure)} + {in_brackets(wide.figure)}"
    both = answer.line(_("We add one long and one short side."), _("half way"), "", numbers, half, facts.unit)
    numbers = f"2 × {in_brackets(both)}"
    answer.line(_("There are two of each."), _("way round"), "", numbers, 2 * half, facts.unit)
    asked = _("Its face has 2 long and 2 short sides. How far is it all the way round?")
    return answer.sum(_("All the way round"), stock.said, asked)


def sharing_the_set_up(facts: Facts) -> Sum | None:
    """One set-up, shared among all the pieces."""
    number = facts.part.quantity_with_spares
    one = facts.pick("set-up", [one for one in facts.plain_timed if one.setup_minutes])
    if one is None or number < 2:
        return None
    setup = fraction_of(one.setup_minutes) or Fraction(0)
    answer = Answer()
    because = _("We share the time out, so we divide.")
    answer.line(because, _("share"), "", f"{in_brackets(mixed(setup))} ÷ {number}", setup / number, "min")
    said = _("To set up takes {minutes} min. Then we make {pieces}.", minutes=mixed(setup), pieces=pieces(number))
    asked = _("How many minutes of that is it for each piece?")
    return answer.sum(_("Shared out"), work_of(one), said, asked)


def time_for_all(facts: Facts) -> Sum | None:
    """The set-up once, and all the pieces."""
    number = facts.part.quantity_with_spares
    works = [one for one in facts.plain_timed if one.amount == 1 and (number > 1 or one.setup_minutes)]
    one = facts.pick("all", works)
    if one is None:
        return None
    setup, each = (fraction_of(value) or Fraction(0) for value in (one.setup_minutes, one.minutes_per_unit))
    answer, text, total = Answer(), mixed(each), number * each
    if number > 1:
        numbers = f"{number} × {in_brackets(text)}"
        text = answer.line(_("Each piece takes the same time."), _("pieces"), "", numbers, total, "min")
    first = ""
    if setup:
        first = _("To set up takes {minutes} min.", minutes=mixed(setup))
        numbers, total = f"{in_brackets(mixed(setup))} + {in_brackets(text)}", total + setup
        answer.line(_("We add the time to set up."), _("together"), "", numbers, total, "min")
    hour = ""
    if total.denominator == 1 and total >= AN_HOUR:
        hours_and_minutes(answer, int(total))
        hour = _("One hour is 60 min.")
    said = _("The work takes {minutes} min.", minutes=mixed(each))
    if number > 1:
        said = _("One piece takes {minutes} min. We make {pieces}.", minutes=mixed(each), pieces=pieces(number))
    return answer.sum(_("Time in all"), work_of(one), first, said, hour, _("How long is that in all?"))


def good_ones(facts: Facts) -> Sum | None:
    """What part of the pieces came out good, as a fraction."""
    one = facts.pick("good", facts.lossy)
    if one is None:
        return None
    good, lost = one.tally.good, one.tally.scrap
    tried, share = good + lost, Fraction(good, good + lost)
    answer = Answer()
    because = _("We add all that were tried.")
    answer.line(because, _("tried"), "", f"{good} + {lost}", float(tried), shown=pieces(tried))
    answer.line(_("The good ones stand over all."), _("share"), _("good ÷ tried"), f"{good} ÷ {tried}", share, "")
    said = ngettext("{n} piece came out good.", "{n} pieces came out good.", good)
    more = ngettext("{n} was lost.", "{n} were lost.", lost)
    asked = _("What part came out good? Write it as a fraction.")
    return answer.sum(_("Good ones"), work_of(one.operation), said, more, asked)


def longer_than_planned(facts: Facts) -> Sum | None:
    """The minutes of the log and those of the plan: how far they lie apart."""
    one = facts.pick("planned", [one for one in facts.compared if one.operation in facts.plain_timed])
    if one is None or one.operation.amount != 1:
        return None
    setup, each = (fraction_of(v) or Fraction(0) for v in (one.operation.setup_minutes, one.operation.minutes_per_unit))
    number, times, real = one.tally.good + one.tally.scrap, max(1, one.plan.setups_done), one.tally.counted_minutes
    answer, first, planned, text = Answer(), "", number * each, mixed(each)
    if number > 1:
        because = _("Each piece has the same time in the plan.")
        text = answer.line(because, _("pieces"), "", f"{number} × {in_brackets(text)}", planned, "min")
    if setup:
        first, planned = set_up_times(mixed(setup), times), planned + times * setup
        numbers = f"{times_it(times, in_brackets(mixed(setup)))} + {in_brackets(text)}"
        text = answer.line(_("We add the time to set up."), _("plan"), "", numbers, planned, "min")
    high, low = sorted(((planned, text), (Fraction(real), str(real))), reverse=True)
    because = _("We take the smaller from the larger.")
    numbers = f"{in_brackets(high[1])} − {in_brackets(low[1])}"
    answer.line(because, _("apart"), "", numbers, high[0] - low[0], "min")
    piece = _("The plan has {minutes} min for each piece.", minutes=mixed(each))
    said = ngettext(
        "{n} piece was made in {minutes} min.", "{n} pieces were made in {minutes} min.", number, minutes=real
    )
    asked = _("How many minutes apart are the plan and the log?")
    return answer.sum(_("The plan and the log"), work_of(one.operation), first, piece, said, asked)


def batches_together(facts: Facts) -> Sum | None:
    """The blanks of all the batches."""
    blanks = [batch.blanks for batch in facts.row.batches]
    if len(blanks) < 2:
        return None
    answer, total = Answer(), sum(blanks)
    numbers = " + ".join(map(str, blanks))
    answer.line(_("We add them all up."), _("blanks"), "", numbers, float(total), _("blanks"))
    said = _("We began with these blanks, batch by batch: {numbers}.", numbers=", ".join(map(str, blanks)))
    return answer.sum(_("Batch by batch"), said, _("How many blanks is that?"))
