"""A drawing sheet as it was scanned: one file with its pages, kept beside those of earlier revisions."""

from django.db import models
from django.utils.text import slugify
from django.utils.translation import gettext_lazy

from builds.models.builder import Builder
from builds.models.choices import DrawingState
from builds.models.constraints import must, one_of
from builds.models.history import kept_history
from builds.models.sheet import Sheet


def place_of_drawing(drawing: "Drawing", name: str) -> str:
    """By build and sheet, beside the photos and never among them: nothing here is for visitors."""
    sheet = drawing.sheet
    return f"drawings/{sheet.build.slug[:30]}/{slugify(sheet.number)[:30] or 'sheet'}/{name[-40:]}"


class Drawing(models.Model):
    """One revision of a sheet, as a file of one or more pages. The newest is the one that is shown.

    The pictures that a page is shown by are made from the file once (`queries/drawings`), and can be made again.
    """

    sheet = models.ForeignKey(Sheet, models.CASCADE, verbose_name=gettext_lazy("sheet"), related_name="drawings")
    revision = models.CharField(gettext_lazy("revision"), max_length=20, blank=True)
    file = models.FileField(gettext_lazy("file"), upload_to=place_of_drawing)
    # What the file was called where it came from.
    name = models.CharField(max_length=120, blank=True)
    state = models.CharField(max_length=10, choices=DrawingState, default=DrawingState.WAITING, editable=False)
    # Why it cannot be shown, by its key; the sentence is made where it is told.
    refusal = models.CharField(max_length=40, blank=True, editable=False)
    pages = models.PositiveSmallIntegerField(default=0, editable=False)
    # Bought drawings are somebody's property, so a build book shows one only where somebody says that it may.
    in_book = models.BooleanField(gettext_lazy("may stand in the build book"), default=False)
    added_by = models.ForeignKey(Builder, models.SET_NULL, null=True, blank=True, related_name="drawings")
    added_at = models.DateTimeField(auto_now_add=True)
    history = kept_history(excluded_fields=["added_at", "state", "refusal", "pages"])

    class Meta:
        ordering = ["-pk"]
        verbose_name = gettext_lazy("drawing")
        constraints = [
            one_of("state", DrawingState, "drawing_state_known"),
            must(
                "drawing_ready_has_pages",
                ~models.Q(state=DrawingState.READY) | models.Q(pages__gte=1),
                gettext_lazy("A drawing that is ready has a page."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.sheet} {self.revision}".strip()
