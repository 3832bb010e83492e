"""The drawing sheets of a record file, with their scans and where they proved wrong."""

from typing import Annotated

from pydantic import Field

from builds import models
from builds.services.plan.drawings import LARGEST_FILE
from builds.services.plan.page_pictures import MOST_PAGES
from builds.transfer.record.fields import Day, not_negative, optional, rows, text, whole
from builds.transfer.record.row import Row, Rule
from calcs.messages import gettext_noop


class Remark(Row):
    """Where a drawing proved wrong."""

    drawing_says: text(models.Remark.drawing_says, needed=True)
    we_made: text(models.Remark.we_made, needed=True)
    noted_on: Day | None = None
    by: text(models.Builder.name) | None = optional(description="a builder's name")
    page: whole(1, MOST_PAGES) | None = optional(description="where on the sheet")
    across: not_negative(1) | None = optional(description="from the left, as a share of the page's width")
    down: not_negative(1) | None = optional(description="from the top, as a share of its height")

    rules = [
        Rule("page", gettext_noop("A place on a sheet is a page and a point on it: page, across and down."),
             lambda row: len({value is None for value in (row.page, row.across, row.down)}) > 1),
    ]  # fmt: skip


class Drawing(Row):
    """A scan of a sheet, of one revision: a PDF, PNG, JPEG or TIFF."""

    name: text(models.Drawing.name) = ""
    revision: text(models.Drawing.revision) = ""
    in_book: bool = optional(False, description="may stand in the build book")
    content: Annotated[str, Field(max_length=LARGEST_FILE * 4 // 3 + 4)] = Field(description="base64")


class Sheet(Row):
    """A drawing sheet."""

    number: text(models.Sheet.number, needed=True, or_number=True)
    title: text(models.Sheet.title) = ""
    revision: text(models.Sheet.revision) = ""
    remarks: rows(Remark) = optional([])
    drawings: rows(Drawing) = optional([], description="the newest last")
