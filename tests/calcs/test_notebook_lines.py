"""Lines as builders write them, held against what they are meant to say."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from builds.queries.log.notebook import SHOP_TIME
from calcs.typed.durations import read_duration
from calcs.typed.notebook import read_notebook_line
from calcs.typed.notebook_words import word_list, words_of
from calcs.typed.notebook_work import WorkName

TODAY = date(2026, 11, 25)
LINES = Path(__file__).parent.parent / "data" / "notebook_lines.tsv"
# The plan that a line is about: an engine where it names none.
PLANS = {
    "engine": {
        ("14", "Piston ring"): ("sawing", "Turn the blank turning", "lapping", "heat treatment"),
        ("3", "Crosshead"): ("milling", "drilling", "boring"),
        ("7", "Flywheel"): ("turning", "boring", "Cut the keyway shaping"),
        ("21", "Connecting rod"): ("milling", "drilling", "filing"),
        ("22", "Cylinder cover"): ("turning", "drilling", "tapping"),
        ("9A", "Eccentric strap"): ("soldering",),
        ("30", "Stud"): ("turning", "threading"),
        ("41", "Gauge glass"): ("Bevel the rim grinding",),
        ("50", "Erect the motion"): ("fitting",),
    },
    "clock": {
        ("1", "Main plate"): ("sawing", "Drill the pillar holes drilling", "Pierce the skeleton filing", "finishing"),
        ("2", "Great wheel"): ("turning", "Cut the teeth milling", "Cross out filing"),
        ("3", "Third wheel"): ("turning", "Cut the teeth milling", "Cross out filing"),
        ("4", "Escape wheel"): ("turning", "Cut the teeth milling"),
        ("5", "Pinion of 8"): ("turning", "Cut the leaves milling", "heat treatment", "Polish the leaves finishing"),
        ("6", "Pillar"): ("turning", "threading"),
        ("7A", "Winding arbor"): ("turning", "Square the end filing"),
        ("11", "Click spring"): ("filing", "Temper heat treatment"),
        ("12", "Pendulum bob"): ("casting", "turning"),
        ("13", "Pallets"): ("filing", "Harden heat treatment", "Polish the faces lapping"),
        ("20", "Screw M3 x 8"): ("turning", "threading"),
        ("60", "Set up and test"): ("fitting",),
    },
    "loco": {
        ("101", "Frame plate"): ("sawing", "drilling", "filing"),
        ("102", "Buffer beam"): ("milling", "drilling"),
        ("103", "Hornblock"): ("milling", "boring"),
        ("104", "Axle"): ("turning",),
        ("105", "Driving wheel"): ("turning", "boring", "Cut the keyway shaping"),
        ("110", "Cylinder block"): ("boring", "drilling", "lapping"),
        ("111", "Piston"): ("turning", "Groove for the packing turning"),
        ("112", "Slide valve"): ("milling", "lapping"),
        ("120", "Boiler barrel"): ("Anneal heat treatment", "Flange making", "Silver solder soldering"),
        ("121", "Firebox stay"): ("turning", "threading"),
        ("130", "Coupling rod"): ("milling", "Ream the bushes reaming", "finishing"),
        ("131", "Crank pin"): ("turning", "grinding"),
        ("140", "Safety valve"): ("turning", "threading", "Seat the ball lapping"),
        ("150", "Fit the valve gear"): ("fitting",),
    },
}
# What each part has of them, so that a fourth stays a word of the note.
BATCHES = {1: "1", 2: "2", 3: "3"}
SHOP = [WorkName(one.value, aliases=f"{one.value} {words}") for one, words in SHOP_TIME.items() if words]
NAMES = {
    plan: [
        WorkName(f"{number}/{10 * place}", number, name, str(10 * place), operation, batches=BATCHES)
        for (number, name), operations in parts.items()
        for place, operation in enumerate(operations, start=1)
    ]
    + SHOP
    for plan, parts in PLANS.items()
}


def intended() -> Iterator[tuple[str, dict[str, str]]]:
    for line in LINES.read_text().splitlines():
        if line and not line.startswith("# "):
            text, *meant = line.split("\t")
            yield text, dict(one.split("=", 1) for one in meant)


def filled(text: str, plan: str = "engine") -> dict[str, str]:
    """What a line fills, in the words of the table."""
    read = read_notebook_line(text, NAMES[plan], TODAY)
    time, alone = read_duration(read.time), read_duration(read.unattended)
    sure = {"ok": "", "range": "rough", "unknown": "unknown" if read.time else ""}.get(time.status, time.status)
    said: dict[str, Any] = {
        "work": read.work,
        "meter" if time.meter else "min": time.value,
        "sure": sure,
        "alone": alone.value,
        "good": read.good,
        "reworked": read.reworked,
        "batch": read.batch,
        "scrap": read.scrap,
        "reason": read.scrap_reason,
        "note": read.note,
        "since": read.since_on,
        "day": read.worked_on,
    }
    return {name: str(value) for name, value in said.items() if value not in (None, "") or name == "work"}


def test_nine_lines_in_ten_give_the_intended_form_and_no_other_is_missed_than_those_known() -> None:
    lines = dict(intended())
    assert len(lines) >= 400
    known = {text for text, meant in lines.items() if meant.pop("missed", "")}
    readings = {text: (filled(text, meant.pop("plan", "engine")), meant) for text, meant in lines.items()}
    wrong = {text: both for text, both in readings.items() if both[0] != both[1]}
    assert wrong.keys() == known, wrong
    assert len(known) <= len(lines) / 10


def test_the_order_of_the_words_is_free() -> None:
    said = ("2h30", "3 good", "1 scrap", "lapping", "rings")
    meant = {"work": "14/30", "min": "150", "good": "3", "scrap": "1"}
    for turn in range(len(said)):
        assert filled(", ".join(said[turn:] + said[:turn])) == meant


lines_like = st.lists(
    st.sampled_from(
        word_list(
            "2h30 2.5 ~3h rings lapping 3 14 good scrap 1 cracked , ; ( ) since november to date unattended 16h of the "
            "x3 half an hour ? unknown 19:00-21:15 #14 op 30 yesterday 1/0h 99999999999999 ½ ² - — 31 feb batch 2 no "
            "dozen pair all u/s it which Tue last night 14/11 99/99/9999 14.11.2026 # fly wheel whl "
            "O-ring scrapped reworked"
        )
    ),
    max_size=30,
).map(" ".join)


@given(st.one_of(st.text(max_size=300), lines_like), st.sampled_from(list(PLANS)))
def test_no_text_raises_or_is_lost(text: str, plan: str) -> None:
    read = read_notebook_line(text, NAMES[plan], TODAY)
    bare = re.sub(r"\s", "", text)
    assert "".join(word for word, _use in read.words) == bare
    for word, (written, use) in zip(words_of(text), read.words, strict=True):
        if not use and not word.is_filler:
            assert written.strip(" ,;") in read.note
    if read.time and read.time != "unknown":
        assert read_duration(read.time).has_value
    for day in filter(None, (read.worked_on, read.since_on)):
        assert day <= TODAY
    assert all(count is None or count >= 0 for count in (read.good, read.reworked, read.scrap))
    assert read.batch in ("", *BATCHES.values())
    assert bool(read.batch) == ("batch" in [use for _word, use in read.words])


@given(lines_like)
def test_a_line_that_is_read_again_from_its_note_alone_keeps_the_note(text: str) -> None:
    """What is left over is never longer than what was written."""
    read = read_notebook_line(text, NAMES["engine"], TODAY)
    assert len(read.note) <= len(text) + text.count(",") + text.count(";") + text.count("/") + text.count("+")
