"""What a record file says to visitors."""

from builds import models
from builds.models.exhibit import LONGEST_PANEL, SHORTEST_PANEL
from builds.transfer.record.fields import Day, optional, text, whole
from builds.transfer.record.row import Row, Rule
from calcs.messages import gettext_noop


class Exhibit(Row):
    """What is said to visitors, and what they are not told."""

    real_length: text(models.Exhibit.real_length) = optional("", description="as typed")
    real_height: text(models.Exhibit.real_height) = optional("")
    model_length: text(models.Exhibit.model_length) = optional("", description="left out: by the scale")
    model_height: text(models.Exhibit.model_height) = optional("")
    what_it_did: text(models.Exhibit.what_it_did) = optional("")
    how_it_works: text(models.Exhibit.how_it_works) = optional("", description="a sentence a line")
    bench_words: text(models.Exhibit.bench_words) = optional("")
    bench_words_on: Day | None = optional()
    names_shown: bool = optional(False)
    photos_shown: bool = optional(True)
    hours_shown: bool = optional(True)
    scrap_shown: bool = optional(True)
    language: text(models.Exhibit.language) = optional("", description="left out: that of the reader")
    seconds_a_panel: whole(least=SHORTEST_PANEL, most=LONGEST_PANEL) = optional(18)

    rules = [
        Rule("bench_words_on", gettext_noop("Words for the bench belong to a day: say which."),
             lambda row: row.bench_words and row.bench_words_on is None),
    ]  # fmt: skip
