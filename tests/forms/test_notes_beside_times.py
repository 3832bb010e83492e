"""Words beside a time: they go to the note where a form has one, and are refused where it has none."""

import pytest
from django.core.exceptions import ValidationError

from builds.forms.fields import DurationField
from builds.forms.log.counts import note_with_time
from builds.transfer.tables.cells import read_time
from calcs.typed.durations import read_duration


def test_a_field_without_a_place_for_notes_takes_a_time_alone():
    assert DurationField().clean("1h").value == 60
    with pytest.raises(ValidationError, match="turning"):
        DurationField().clean("1h turning")


def test_a_field_with_a_place_for_notes_hands_the_words_on():
    reading = DurationField(takes_note=True).clean("1h turning")
    assert (reading.value, reading.note) == (60, "turning")


def test_the_words_join_the_note_once():
    reading = read_duration("3.5 hrs mostly cleaning")
    once = note_with_time("wheel slipped", reading)
    assert once == "mostly cleaning\nwheel slipped"
    assert note_with_time(once, reading) == once
    assert note_with_time("wheel slipped", read_duration("3.5 hrs")) == "wheel slipped"


def test_days_are_asked_about_with_the_usual_time():
    field = DurationField()
    field.usual_minutes = lambda: 150
    with pytest.raises(ValidationError, match="usual 2 h 30 min this is 5 h"):
        field.clean("2 full days")


def test_a_table_drops_no_words_beside_a_time():
    with pytest.raises(ValueError, match="words beside it"):
        read_time("3 h turning", in_minutes=False, comma_decimal=False)
