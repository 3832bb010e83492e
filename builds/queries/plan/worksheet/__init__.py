"""Sums for beginners, made of a part's own numbers."""

from builds.queries.plan.worksheet.sheet import LEVELS, SumsSheet, sums_sheet

__all__ = ["LEVELS", "SumsSheet", "sums_sheet"]
