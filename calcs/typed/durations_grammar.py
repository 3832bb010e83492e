"""The grammar of durations: plain text → minutes, exactly.

A single time comes first (`single_time`); sums, products and ranges are made of single times that carry a unit,
so that a bare figure never changes its meaning inside a longer text.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from calcs.messages import _
from calcs.typed.durations_single import HOUR, MINUTE, SECOND, Span, single_time
from calcs.typed.reading import Bound, Refusal
from calcs.typed.text import NUMBER
from calcs.typed.words_around import (
    LEAST_BEFORE,
    LEAST_BEHIND,
    ROUGH_BEFORE,
    ROUGH_BEHIND,
    around,
    behind_unit,
)

_PEOPLE = r"(?:people|persons?|builders?|helpers?|of us|men)"
_SITTINGS = r"(?:evenings?|sessions?|days?|nights?|mornings?|afternoons?)"
_PIECES = r"(?:off|pieces?|pcs?|(?!hours|hrs|minutes|mins|secs|days|weeks)[a-z]{2,}s)"
_EACH = r"(?:each|ea\b\.?|apiece|a piece|per piece|every one)"

_SURE: tuple[tuple[re.Pattern[str], Bound], ...] = (
    (
        around(
            rf"{ROUGH_BEFORE}|(?:the )?(?:best|better|most) part of|most of|just about",
            rf"{ROUGH_BEHIND}|\band (?:a bit|change)\b",
        ),
        "",
    ),
    (around(rf"{LEAST_BEFORE}|a long\b", LEAST_BEHIND), "least"),
)
_ODD = re.compile(rf"(.*\d)[ -]odd ({HOUR}|{MINUTE})")
_SOLID = re.compile(rf"\b(?:full|whole|solid|straight|clear) (?={HOUR}|{MINUTE})")
_TO_DATE = r"total to date|hours to date|to date|running total|meter(?: reading)?|so far"
_METER = re.compile(rf"(?:{_TO_DATE})\s*[:=]?\s*(.+)|(.+?)\s+(?:(?:in )?total to date|to date|so far|on the meter)")
_TOTAL = re.compile(
    r"(?:(?:grand )?total|in all|altogether)\s*(?:time|hours|of)?\s*[:=]?\s*(.+)|(.+?),? (?:in )?(?:total|all|all told)"
)
_METER_FIGURE = re.compile(rf"(\d{{1,3}}(?:,? ?\d{{3}})+(?:\.\d+)?|\d+(?:\.\d+)?)\s*(?:{HOUR})?")
_PARTED = re.compile(rf"(?<![\d.,/-])([1-9]\d{{0,2}}(?:[ '’]\d{{3}})+)(?= ?{HOUR}$)")

_LONGEST = Fraction(200_000 * 60)
_LONGEST_SITTING = Fraction(24 * 60)


class NotUnderstood(Refusal):
    """No time was found; another refusal is a question about one that was."""


def find_duration(plain: str) -> Span:
    """The time in a plain text with figures for number words; raises Refusal when there is none.

    >>> find_duration("2 people x 3 h").minutes, find_duration("1.5").minutes
    (Fraction(360, 1), Fraction(90, 1))
    """
    plain = _SOLID.sub("", _PARTED.sub(lambda found: re.sub(r"\D", "", found[1]), behind_unit(plain)))
    span = next(filter(None, _shapes(plain)), None)
    if span is None:
        raise NotUnderstood(
            _("This was not understood as a time. Write a time like 2h30, 2:30, 2.5 h, 150 min or 19:00-21:15.")
        )
    if max(span.minutes, span.high or 0) > _LONGEST:
        raise Refusal(_("That is more than 200,000 hours, longer than a working life. Check the figure."))
    return span


def _shapes(plain: str) -> Iterator[Span | None]:
    for shape in (_meter, _total, _rough, single_time, _range, product, _twice_over, _sum):
        yield shape(plain)


def _meter(plain: str) -> Span | None:
    found = _METER.fullmatch(plain)
    if not found:
        return None
    inner = (found[1] or found[2]).strip()
    figure = _METER_FIGURE.fullmatch(inner)
    if figure:
        return Span(Fraction(re.sub(r"[, ]", "", figure[1])) * 60, meter=True)
    span = single_time(inner)
    return replace(span, meter=True, bare=False) if span else None


def _total(plain: str) -> Span | None:
    """A total, which is one to date where no day is as long."""
    found = _TOTAL.fullmatch(plain)
    if not found:
        return None
    inner = (found[1] or found[2]).strip()
    if _TOTAL.fullmatch(inner):
        return None
    to_date = _meter(f"to date {inner}")
    if to_date is not None and to_date.minutes > _LONGEST_SITTING:
        return to_date
    span = find_duration(inner)
    return None if span.bare else span.noting(_("a total"))


def _rough(plain: str) -> Span | None:
    couple = re.fullmatch(r"(?:a |the )?couple(?: of)? (hours?|hrs?|minutes?|mins?)", plain)
    if couple:
        return Span(Fraction(2 if couple[1].startswith("m") else 120), rough=True)
    if odd := _ODD.fullmatch(plain):
        return replace(find_duration(f"{odd[1]} {odd[2]}"), rough=True)
    for pattern, bound in _SURE:
        if found := pattern.fullmatch(plain):
            inner = re.sub(r"^(hours?|hrs?|minutes?|mins?)$", r"1 \1", (found[1] or found[2]).strip())
            span = find_duration(inner)
            return replace(span, rough=True, bound=bound or span.bound)
    return None


def _with_unit(plain: str) -> Span | None:
    """A single time that carries its unit, possibly with a note in brackets behind it."""
    span = single_time(re.sub(r"\s*\([^()\d]*\)$", "", plain.strip()))
    if span is not None and span.bare:
        without = _("“{text}” has no unit. Write h or min behind every time, like 3 h + 45 min.", text=plain.strip())
        raise Refusal(without)
    return span


def _range(plain: str) -> Span | None:
    plain = re.sub(r"^(?:between|from)\s+", "", plain)
    for joint in re.finditer(r"\s*(?:-|\bto\b|\bor\b|\band\b)\s*", plain):
        left, right = plain[: joint.start()], plain[joint.end() :]
        high = single_time(right) if right else None
        if high is None or not left:
            continue
        unit = re.search(rf"(?:{HOUR}|{MINUTE}|{SECOND})$", right)
        low = single_time(f"{left} {unit[0]}" if unit and re.fullmatch(NUMBER, left) else left)
        if low is None:
            continue
        if high.bare:
            raise Refusal(_("This may be a range of hours or start and stop. Write 3-4 h, or 7:15pm-9:30pm."))
        if low.minutes >= high.minutes:
            raise Refusal(_("The range falls instead of rising. Write it like 3-4 h."))
        return Span(low.minutes, high=high.minutes)
    return None


_PRODUCTS = tuple(
    re.compile(pattern)
    for pattern in (
        rf"(?P<count>\d+)\s*(?:{_PEOPLE}|{_SITTINGS}|{_PIECES})?\s*(?:x|@|times)\s*(?P<each>.+?)(?:\s*{_EACH})?",
        rf"(?P<each>.+?)(?:\s*{_EACH})?\s*x\s*(?P<count>\d+)\s*(?:{_PEOPLE}|{_SITTINGS}|{_PIECES})?",
        rf"(?P<count>\d+)\s*{_PEOPLE}\s*(?:,|for|at|:)?\s*(?P<each>.+?)(?:\s*each)?",
        rf"(?P<count>\d+)\s*(?:{_SITTINGS}|{_PIECES})\s*(?:of|at)\s*(?P<each>.+?)(?:\s*{_EACH})?",
        rf"(?P<count>\d+)\s*{_PIECES}?,?\s*(?:at)?\s*(?P<each>.+?)\s*{_EACH}",
        rf"(?P<each>.+?)\s*{_EACH}\s*(?:,|for)?\s*(?P<count>\d+)\s*(?:{_PEOPLE}|{_PIECES})?",
        rf"(?P<each>.+?)\s*(?:a|per) (?:evening|session|day|night)\s*(?:,|for)?\s*(?P<count>\d+)\s*{_SITTINGS}",
        r"(?P<count>\d+)\s*at\s*(?P<each>.+)",
    )
)


def product(plain: str) -> Span | None:
    """So many times one time: 2 people x 3 h, 12 @ 10 min, 3 evenings of 2 h; None where there are not both."""
    for pattern in _PRODUCTS:
        found = pattern.fullmatch(plain)
        each = _with_unit(found["each"]) if found else None
        if found and each:
            return Span(int(found["count"]) * each.minutes).noting(
                _("{number} times the time given", number=found["count"])
            )
    return None


def _twice_over(plain: str) -> Span | None:
    """One time said in two ways, such as 1.5 h (90 min)."""
    found = re.fullmatch(r"([^(=]+?)\s*(?:\(=?\s*([^()]*\d[^()]*)\)|=\s*(.+))", plain)
    one, other = (single_time(found[1]), single_time((found[2] or found[3]).strip())) if found else (None, None)
    if one is None or other is None or other.bare:
        return None
    if one.minutes != other.minutes:
        raise Refusal(_("These are two times, and not the same one. Write the one meant."))
    return replace(one, bare=False, notes=(_("the second figure agrees"),))


def _sum(plain: str) -> Span | None:
    if "+" not in plain:
        return None
    terms = [_with_unit(term) if term.strip() else None for term in plain.split("+")]
    found = [term for term in terms if term is not None]
    if len(found) != len(terms):
        return None
    total = Span(sum((term.minutes for term in found), Fraction(0)))
    aside = total.noting(_("the words in brackets are left aside")) if "(" in plain else total
    return aside.noting(_("added up"))
