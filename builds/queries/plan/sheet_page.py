"""A drawing sheet with its scans, the remarks on it and the parts that are drawn there."""

from dataclasses import dataclass

from builds.models import Drawing, Part, Remark, Sheet


@dataclass(frozen=True)
class SheetPage:
    """drawings: the newest first. remarks: each with its number, in the order in which they were made."""

    sheet: Sheet
    drawings: list[Drawing]
    remarks: list[tuple[int, Remark]]
    parts: list[Part]

    def drawing(self, key: int | None) -> Drawing | None:
        """The one asked for, else the newest."""
        asked = (drawing for drawing in self.drawings if drawing.pk == key)
        return next(asked, self.drawings[0] if self.drawings else None)

    def pinned(self, page: int) -> list[tuple[int, Remark]]:
        """The remarks that have a place on a page."""
        return [(number, remark) for number, remark in self.remarks if remark.page == page]


def sheet_page(sheet: Sheet) -> SheetPage:
    drawings = list(sheet.drawings.select_related("added_by"))
    for drawing in drawings:
        drawing.sheet = sheet
    remarks = list(enumerate(sheet.remarks.select_related("by"), start=1))
    return SheetPage(sheet, drawings, remarks, list(sheet.parts.all()))
