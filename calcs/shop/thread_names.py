"""The names of threads as people write them: `#4-40`, `1/4 x 40 ME`, `2 BA`, `M6x0.75`, `G1/4`, `3/8 Whit`.

A name that can mean one thread only is found. One that can mean several is refused with their names.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction

from calcs.messages import _, gettext_noop
from calcs.shop.reference_tables import ThreadRow, thread_rows
from calcs.units.figures import format_plain
from calcs.units.kinds import INCH

_SERIES = {
    "unc": ("UNC",),
    "unf": ("UNF",),
    "un": ("UNC", "UNF"),
    "unef": (),
    "uns": (),
    **dict.fromkeys(("bsw", "whit", "whitworth", "w"), ("BSW",)),
    "bsf": ("BSF",),
    "me": ("Model Engineer",),
    **dict.fromkeys(("brass", "bsb"), ("brass",)),
    **dict.fromkeys(("bsp", "bspp", "g"), ("BSP",)),
}
_AS_WRITTEN = gettext_noop("metric, as written")
# What a name without its series means first, where two series have the size and the pitch.
_ORDER = ("UNC", "UNF", "Model Engineer", "brass", "BSW", "BSF")
_FRACTION = r"(?:\d{1,2}/\d{1,2}|\d?\.\d{1,5}|\d{1,2})"
_METRIC = re.compile(r"m(\d{1,2}(?:\.\d{1,3})?)(?:[x*/-](\d{0,2}\.?\d{1,3}))?(?:mm)?(fine|coarse)?")
_BA = re.compile(r"(?:#|no)?(\d{1,2})ba|ba(?:#|no)?(\d{1,2})")
_PIPE = re.compile(rf"g({_FRACTION})(?:in)?(?:[x-](\d{{1,2}}))?")
_INCH = re.compile(
    rf"(?P<number>#|no)?(?P<size>{_FRACTION})(?:in)?(?:[x*-](?P<tpi>\d{{1,3}})(?:tpi)?)?"
    rf"(?P<series>{'|'.join(sorted(_SERIES, key=len, reverse=True))})?"
)


def threads_named(name: str) -> tuple[ThreadRow, ...]:
    """Return the threads that a name can mean: none, one, or several between which it leaves the choice.

    >>> [row.name for row in threads_named("1/4 x 40 ME")], [row.name for row in threads_named("#4")]
    (['1/4-40'], ['4-40', '4-48'])
    """
    plain = re.sub(r"\s+|(?<=[a-z])\.(?=[a-z]|$)", "", name.lower())
    plain = plain.replace("×", "x").replace("–", "-").replace("″", '"').replace('"', "in").replace(",", ".")
    plain = re.sub(r"^no\.", "no", plain)
    if found := _METRIC.fullmatch(plain):
        return _metric(*found.groups())
    if found := _BA.fullmatch(plain):
        row = thread_rows().get(f"{found[1] or found[2]}ba")
        return () if row is None else (row,)
    if found := _PIPE.fullmatch(plain):
        return _of_size(_fraction(found[1]), found[2], ("BSP",))
    if found := _INCH.fullmatch(plain):
        return _inch(**found.groupdict())
    return ()


def of_another_form(row: ThreadRow) -> tuple[ThreadRow, ...]:
    """Return the threads of the same diameter and pitch whose flanks stand at another angle."""
    return tuple(
        other
        for other in thread_rows().values()
        if (other.major, other.pitch) == (row.major, row.pitch) and other.angle != row.angle
    )


def _metric(size: str, pitch: str | None, which: str | None) -> tuple[ThreadRow, ...]:
    rows = [row for row in thread_rows().values() if row.series.startswith("metric") and row.major == Fraction(size)]
    if pitch is not None:
        step = Fraction(pitch)
        return tuple(row for row in rows if row.pitch == step) or _as_written(Fraction(size), step)
    return tuple(row for row in rows if row.series == f"metric {which or 'coarse'}")


def _as_written(size: Fraction, pitch: Fraction) -> tuple[ThreadRow, ...]:
    """A metric thread of a pitch that no table has is whole in its name: diameter, pitch, and 60°."""
    if not 0 < pitch * 3 <= size:
        return ()
    name = f"M{format_plain(float(size))}x{format_plain(float(pitch))}"
    return (ThreadRow(_AS_WRITTEN, name, size, pitch, 60.0, None, "", False, "ISO 68-1", "own"),)


def _inch(number: str | None, size: str, tpi: str | None, series: str | None) -> tuple[ThreadRow, ...]:
    wanted = _ORDER if series is None else _SERIES[series]
    found: tuple[ThreadRow, ...] = ()
    if size.isdigit() and int(size) <= 12:
        found = _of_size(Fraction(60 + 13 * int(size), 1000), tpi, [one for one in wanted if one in ("UNC", "UNF")])
    if number is None:
        # 1/8 x 40 is no number 5, although that is as large.
        rows = _of_size(_fraction(size), tpi, wanted)
        found += tuple(row for row in rows if "/" not in size or "/" in row.name or row.major >= INCH / 4)
    if series is None and tpi is not None:
        return found[:1]
    return found


def _of_size(size: Fraction, tpi: str | None, series: Iterable[str]) -> tuple[ThreadRow, ...]:
    """The threads of so many inches across, of which a pipe thread is named by its bore."""
    return tuple(
        row
        for one in series
        for row in thread_rows().values()
        if row.series == one
        and (_fraction(row.name[1:]) == size if one == "BSP" else row.major == size * INCH)
        and (tpi is None or row.pitch == INCH / int(tpi))
    )


def _fraction(text: str) -> Fraction:
    try:
        return Fraction(text)
    except ZeroDivisionError:
        return Fraction(0)


def not_found(name: str, found: tuple[ThreadRow, ...]) -> ValueError:
    """The sentence for a name that means no thread of the tables, or more than one."""
    quoted = str(name)[:40]
    if found:
        names = ", ".join(row.name for row in found)
        return ValueError(_("“{name}” can be {threads}. Write the one that you mean.", name=quoted, threads=names))
    return ValueError(
        _(
            "“{name}” is not in the tables. Write a name like M6, M6x0.75, 1/4-20, #4-40, 2BA, 1/4 BSF or 5/16-32.",
            name=quoted,
        )
    )
