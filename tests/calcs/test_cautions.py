"""Cautions stand beside the work that they belong to, and never say that something is safe."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.shop.cautions import BOILER_SENTENCE, NO_ASSESSMENT, cautions_for


def topics(*what):
    return {caution.topic for caution in cautions_for(*what).cautions}


@pytest.mark.parametrize(
    ("what", "expected"),
    [
        (("turning",), {"chuck key", "gloves and loose things", "emery cloth"}),
        (("grinding",), {"grinder rest", "gloves and loose things", "metal dust"}),
        (("soldering",), {"solder fume", "cadmium"}),
        (("casting", "paraffin wax"), {"hot wax"}),
        (("milling", "AZ31 magnesium alloy"), {"magnesium swarf"}),
        (("turning", "Free-cutting brass CZ121"), {"lead"}),
        (("inspecting", "", "first steam of the boiler"), {"boilers"}),
        (("fitting", "", "lithium pack for the winch"), {"lithium packs"}),
        (("inspecting", "", "methylated spirit burner"), {"spirit flame"}),
        (("making", "", "spirit lamp"), {"spirit flame"}),
    ],
)
def test_what_belongs_is_there(what, expected):
    assert expected <= topics(*what)


def test_what_does_not_belong_is_not():
    assert "magnesium swarf" not in topics("turning", "mild steel")
    assert "chuck key" not in topics("soldering")
    assert "lead" not in topics("turning", "mild steel", "leading axle")
    assert topics("no such work") == set()


@given(kind=st.text(max_size=30), material=st.text(max_size=30), about=st.text(max_size=30))
def test_any_text_is_answered_and_the_standing_sentence_is_never_left_out(kind, material, about):
    found = cautions_for(kind, material, about)
    assert found.always[0] == NO_ASSESSMENT
    assert all(caution.words and caution.source and caution.status for caution in found.cautions)


@pytest.mark.parametrize("word", ["boiler", "Boiler barrel", "pressure vessel", "superheater", "firebox wrapper"])
def test_a_boiler_always_defers_to_the_inspector(word):
    assert BOILER_SENTENCE in cautions_for("turning", "copper", word).always
    assert BOILER_SENTENCE in cautions_for("turning", word).always


def test_no_caution_calls_anything_safe():
    kinds = ("sawing", "turning", "facing", "milling", "grinding", "soldering", "casting", "printing", "heat treatment")
    things = ("", "magnesium", "brass", "boiler", "lithium pack", "spirit")
    words = {caution.words for kind in kinds for thing in things for caution in cautions_for(kind, thing).cautions}
    assert len(words) >= 15
    assert not [text for text in words if "safe" in text.lower().split()]
    assert all(text.endswith(".") for text in words)
