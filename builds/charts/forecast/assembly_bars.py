"""The hours of each assembly as a bar in its row: places along one scale, in per cent as an SVG has them."""

from dataclasses import dataclass

from builds.charts.forecast.hours_by_assembly import AssemblyHours


@dataclass(frozen=True)
class AssemblyBar:
    """An assembly's hours with where its bar goes: done up to `done`, left up to `left`, in doubt from `low` to `high`.

    `left` is empty where nothing is left or known, `low` and `high` where there is no doubt.
    """

    hours: AssemblyHours
    done: str
    left: str
    low: str
    high: str


def assembly_bars(lines: tuple[AssemblyHours, ...]) -> tuple[AssemblyBar, ...]:
    """All bars on the scale of the longest."""
    longest = max((line.done + max(line.left or 0, line.high or 0) for line in lines), default=0) or 1

    def place(line: AssemblyHours, left: float | None) -> str:
        return f"{(line.done + left) / longest:.1%}" if left else ""

    return tuple(
        AssemblyBar(
            hours=line,
            done=f"{line.done / longest:.1%}",
            left=place(line, line.left),
            low=place(line, line.low) if line.left else "",
            high=place(line, line.high) if line.left else "",
        )
        for line in lines
    )
