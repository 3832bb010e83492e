"""Texts for the property tests: anything at all, and texts close to what the readers know."""

import math

from hypothesis import strategies as st

from calcs.typed.reading import Reading

STATUSES = {"ok", "rough", "unknown", "range", "refused"}

_PIECES = [
    *"0123456789",
    *" .,-+/:'\"()~#?=%x&<>",
    *"½⅜⁄″′”×–Øµ１²①\u00a0\u200b\n±",
    *["mm", "cm", "m", "in", "inch", "thou", "mil", "ft", "feet", "h", "hrs", "min", "s", "pm", "am", "BA", "ME", "M3"],
    *[
        "half",
        "a ",
        "an hour",
        "and ",
        "to ",
        "or ",
        "so",
        "since ",
        "to date ",
        "drill",
        "no ",
        "letter ",
        "scale",
        "foot",
    ],
    *["people", "each", "approx", "dia ", "full", "H7", "swg", "overnight", "days", "twenty ", "1/2", "2-1/2", "1,200"],
]

anything = st.text() | st.text(max_size=300) | st.none()
nearly_sense = st.lists(st.sampled_from(_PIECES), max_size=14).map("".join)
typed = anything | nearly_sense


def assert_whole(reading, text, plain):
    """What every reading keeps to; `plain` turns a value into a number."""
    assert isinstance(reading, Reading)
    assert reading.text == (text or "")
    assert reading.status in STATUSES
    assert reading.message.endswith((".", "”")) or "→" in reading.message
    for value in (reading.value, reading.low, reading.high):
        assert value is None or (math.isfinite(plain(value)) and plain(value) >= 0)
    if reading.status in ("ok", "rough"):
        assert reading.value is not None
    if reading.status in ("unknown", "refused"):
        assert (reading.value, reading.low, reading.high) == (None, None, None)
    if reading.status == "range":
        assert plain(reading.low) < plain(reading.high)
