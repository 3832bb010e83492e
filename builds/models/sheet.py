"""A drawing sheet, and where it proved wrong."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from builds.models.build import Build
from builds.models.builder import Builder
from builds.models.constraints import must, once
from builds.models.history import kept_history


class Sheet(models.Model):
    """A drawing sheet."""

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="sheets")
    number = models.CharField(gettext_lazy("number"), max_length=40)
    title = models.CharField(gettext_lazy("title"), max_length=160, blank=True)
    revision = models.CharField(gettext_lazy("revision"), max_length=20, blank=True)
    history = kept_history()

    class Meta:
        ordering = ["number"]
        verbose_name = gettext_lazy("sheet")
        constraints = [
            once(
                "sheet_number_once", ["build", "number"], gettext_lazy("This build has a sheet of that number already.")
            )
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.title}".strip()


class Remark(models.Model):
    """Drawings have errors: what the sheet says, and what was made."""

    sheet = models.ForeignKey(Sheet, models.CASCADE, verbose_name=gettext_lazy("sheet"), related_name="remarks")
    drawing_says = models.CharField(gettext_lazy("the drawing says"), max_length=300)
    we_made = models.CharField(gettext_lazy("we made"), max_length=300)
    noted_on = models.DateField(null=True, blank=True)
    # Where on the sheet: the page, and the place on it as shares of its width and height from the top left.
    page = models.PositiveSmallIntegerField(gettext_lazy("page"), null=True, blank=True)
    across = models.FloatField(null=True, blank=True)
    down = models.FloatField(null=True, blank=True)
    by = models.ForeignKey(Builder, models.SET_NULL, null=True, blank=True, related_name="remarks")
    history = kept_history()

    class Meta:
        ordering = ["pk"]
        verbose_name = gettext_lazy("remark")
        constraints = [
            must(
                "remark_place_whole",
                Q(page__isnull=True, across__isnull=True, down__isnull=True)
                # Said of each, since a comparison with nothing is not false to a database.
                | Q(page__isnull=False, across__isnull=False, down__isnull=False)
                & Q(page__gte=1, across__range=(0, 1), down__range=(0, 1)),
                gettext_lazy("A place on a sheet is a page and a point on it."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.drawing_says} / {self.we_made}"
