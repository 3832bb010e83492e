"""What a build says to visitors."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy

from builds.models.build import Build
from builds.models.constraints import must
from builds.models.history import kept_history

# How long one panel of the board stands, in seconds. Long enough to be read by most, and never so long that it looks
# as if the screen had stopped (a judgement).
SHORTEST_PANEL, LONGEST_PANEL = 12, 120


class Exhibit(models.Model):
    """What is said to visitors of one build, and what of it they are not told. A build without one has the defaults.

    Sizes stand as they were typed. Whether there is a board at all, and whether it tells a date, the build says itself.
    """

    build = models.OneToOneField(Build, on_delete=models.CASCADE, related_name="exhibit")
    real_length = models.CharField(gettext_lazy("length of the real one"), max_length=40, blank=True)
    real_height = models.CharField(gettext_lazy("height of the real one"), max_length=40, blank=True)
    model_length = models.CharField(gettext_lazy("length of the model"), max_length=40, blank=True)
    model_height = models.CharField(gettext_lazy("height of the model"), max_length=40, blank=True)
    what_it_did = models.TextField(gettext_lazy("what the real one did"), max_length=400, blank=True)
    how_it_works = models.TextField(gettext_lazy("how such an engine works"), max_length=2500, blank=True)
    bench_words = models.CharField(gettext_lazy("on the bench, in plain words"), max_length=200, blank=True)
    # The words are those of one day: a day later they would be untrue.
    bench_words_on = models.DateField(gettext_lazy("the words are of"), null=True, blank=True)
    names_shown = models.BooleanField(gettext_lazy("who works on it"), default=False)
    photos_shown = models.BooleanField(gettext_lazy("the photos that are ticked"), default=True)
    hours_shown = models.BooleanField(gettext_lazy("hours"), default=True)
    scrap_shown = models.BooleanField(gettext_lazy("scrap"), default=True)
    language = models.CharField(gettext_lazy("language for visitors"), max_length=10, blank=True)
    seconds_a_panel = models.PositiveSmallIntegerField(
        gettext_lazy("seconds for each panel of the board"),
        default=18,
        validators=[MinValueValidator(SHORTEST_PANEL), MaxValueValidator(LONGEST_PANEL)],
    )
    history = kept_history()

    class Meta:
        verbose_name = gettext_lazy("exhibit")
        constraints = [
            must(
                "exhibit_words_of_a_day",
                models.Q(bench_words="") | models.Q(bench_words_on__isnull=False),
                gettext_lazy("Words for the bench belong to a day: say which."),
            ),
        ]

    def __str__(self) -> str:
        return str(self.build)
