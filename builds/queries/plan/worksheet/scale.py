"""Full size and model: on every sheet of a part that is scaled, at each level in its own way."""

from collections.abc import Callable
from fractions import Fraction
from functools import partial

from builds.models import Size
from builds.models.choices import Role
from builds.queries.plan.worksheet.facts import Facts, Length, as_asked, decimal, plain_fraction
from builds.queries.plan.worksheet.lines import Answer, Sum, mixed
from builds.queries.plan.worksheet.own_unit import in_own_unit, large_mass, mass_hint
from builds.queries.plan.worksheet.whole_numbers import in_brackets
from calcs.messages import _, gettext_noop
from calcs.typed.lengths import read_length
from calcs.typed.scales import read_scale

TITLE = gettext_noop("Full size and model")
# A jig is no model of anything, nor is work on an assembly.
OF_NO_REAL_THING = (Role.JIG, Role.ASSEMBLY_WORK)


def full_size(facts: Facts, *, beside_others: bool) -> Sum | None:
    """Full size to model; the other way where the part says no size but its blank's or its mass.

    beside_others: where it says none of these, a ruler will do, which is no sum of this part's alone.
    """
    ratio = read_scale(facts.part.build.scale).value
    if ratio is None or ratio == 1:
        return None
    times = 1 / Fraction(ratio)
    known = _full_sizes(facts)
    plain = [one for one in known if one[1].is_fraction] if facts.level == 1 else known
    if chosen := facts.pick("full size", plain or known):
        return _to_model(facts, times, *chosen)
    if facts.part.role in OF_NO_REAL_THING:
        return None
    sum_of = facts.pick("blank", [*_of_the_blank(facts), *_of_the_piece(facts)])
    if sum_of is None:
        return _ruler(facts, times) if beside_others else None
    return sum_of(times)


def _of_the_blank(facts: Facts) -> list[Callable[[Fraction], Sum]]:
    """Sums of how wide and how long the blank is; in the sheet's own fractions at level 1."""
    stock = facts.plain_stock if facts.level == 1 else facts.stock
    if stock is None:
        return []
    return [partial(_to_full_size, facts, stock.across, True), partial(_to_full_size, facts, stock.length, False)]


def _of_the_piece(facts: Facts) -> list[Callable[[Fraction], Sum]]:
    """The sum of the finished piece's mass, which level 1 has not the means for."""
    mass = facts.part.finished_mass_grams
    return [] if facts.level == 1 or not mass else [partial(_mass_at_full_size, facts, mass)]


def _full_sizes(facts: Facts) -> list[tuple[Size, Length]]:
    """The sizes of the part that are known at full size, in the sheet's unit. One query."""
    found = []
    for size in facts.part.sizes.all():
        reading = read_length(size.full_size, facts.unit)
        if reading.value is None or not reading.value.magnitude:
            continue
        value = plain_fraction(float(reading.value.magnitude) / (25.4 if facts.inch else 1.0))
        if value:
            found.append((size, Length(value, facts.unit, False)))
    return found


def _scale_said(facts: Facts, times: Fraction) -> tuple[str, str]:
    """The sentence about the scale, and how many times as large the real thing is, as text."""
    text = mixed(times) if facts.level == 1 else decimal(times)
    if times > 1:
        return _("The scale is {scale}. The real thing is {times} times as large.", scale=f"1:{text}", times=text), text
    return _("The real thing is {times} times as large as the model.", times=text), text


def _to_model(facts: Facts, times: Fraction, size: Size, length: Length) -> Sum:
    scale, text = _scale_said(facts, times)
    answer, symbol = Answer(), _("model")
    formula, because = _("full size ÷ scale"), _("The model is smaller, so we divide.")
    if facts.level == 1:
        figure = _as_one_fraction(answer, length)
        answer.line(because, symbol, formula, f"{figure} ÷ {in_brackets(text)}", length.value / times, facts.unit)
    else:
        value, figure = in_own_unit(answer, facts, length, _("full size"))
        answer.line(because, symbol, formula, f"{figure} ÷ {text}", value / float(times), facts.unit)
    answer.is_asked()
    asked = [_("What is it on the model?")]
    if facts.level == 3:
        asked.append(_("How many times as small is a face of it?"))
        because = _("A face is smaller in two ways: its width and its height.")
        answer.line(because, _("face"), _("scale × scale"), f"{text} × {text}", float(times) ** 2, _("times"))
        answer.is_asked()
    said = _("At full size the “{size}” is {length}.", size=size.name, length=length.said)
    return answer.sum(_(TITLE), said, scale, *asked)


def _to_full_size(facts: Facts, length: Length, across: bool, times: Fraction) -> Sum:
    scale, text = _scale_said(facts, times)
    answer, symbol = Answer(), _("full size")
    formula, because = _("model × scale"), _("The real thing is larger, so we multiply.")
    if facts.level == 1:
        figure, real = _as_one_fraction(answer, length), length.value * times
        text = in_brackets(text)
        found = answer.line(because, symbol, formula, f"{figure} × {text}", real, facts.unit)
        model: Fraction | float = length.value
    else:
        model, figure = in_own_unit(answer, facts, length, _("model"))
        found = answer.line(because, symbol, formula, f"{figure} × {text}", model * float(times), facts.unit)
    check = _("To check, we go back to the model.")
    answer.is_asked()
    answer.line(check, _("model"), _("full size ÷ scale"), f"{in_brackets(found)} ÷ {text}", model, facts.unit)
    said = _("The blank for the model is {length} long.", length=length.said)
    asked = _("How long would it be at full size?")
    if across:
        said = _("The blank for the model is {length} across.", length=length.said)
        asked = _("How wide would it be at full size?")
    return answer.sum(_(TITLE), said, length.hint, scale, asked)


def _ruler(facts: Facts, times: Fraction) -> Sum:
    scale, text = _scale_said(facts, times)
    answer, real = Answer(), 12 if facts.inch else 1000
    result = real / times if facts.level == 1 else real / float(times)
    because = _("The model is smaller, so we divide.")
    answer.line(because, _("model"), _("full size ÷ scale"), f"{real} ÷ {in_brackets(text)}", result, facts.unit)
    said = _("A ruler at full size is 1 ft long. That is 12 in.") if facts.inch else (
        _("A ruler at full size is 1 m long. That is 1000 mm.")
    )  # fmt: skip
    return answer.sum(_(TITLE), said, scale, _("How long would it be on the model?"))


def _mass_at_full_size(facts: Facts, grams: float, times: Fraction) -> Sum:
    scale, text = _scale_said(facts, times)
    answer, (asked, said) = Answer(), as_asked(grams)
    each = _("It is larger in three ways: its length, its width and its height.")
    more = answer.line(each, "k", "", f"{text} × {text} × {text}", float(times) ** 3, _("times"))
    value, mass, unit = large_mass(answer, facts, asked, said)
    because = _("It is so many times as heavy.")
    answer.line(because, "M", "m × k", f"{mass} × {more}", value * float(times) ** 3, unit)
    return answer.sum(
        _(TITLE),
        _("The finished piece weighs {mass} g.", mass=said),
        mass_hint(facts),
        scale,
        _("It is made of the same stuff. How heavy would the real one be?"),
    )


def _as_one_fraction(answer: Answer, length: Length) -> str:
    """A length without its whole number apart, after a line where that takes one; in brackets no more."""
    if length.value.denominator == 1 or length.value < 1:
        return length.figure
    text = f"{length.value.numerator}/{length.value.denominator}"
    because = _("We write it as one fraction.")
    return answer.line(because, _("size"), "", " + ".join(length.figure.split()), text, length.unit)
