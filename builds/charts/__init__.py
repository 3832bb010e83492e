"""Charts: drawn by Matplotlib in the page's own ink, each with its description and the table it was drawn from."""

from builds.charts.drawing import Chart
from builds.charts.forecast.hours_by_assembly import hours_by_assembly
from builds.charts.forecast.hours_by_week import hours_by_week
from builds.charts.forecast.hours_over_time import hours_over_time
from builds.charts.repeats.yields import yield_by_operation

__all__ = ["Chart", "hours_by_assembly", "hours_by_week", "hours_over_time", "yield_by_operation"]
