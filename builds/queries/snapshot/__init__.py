"""A build's plan and log, read once: the figures that every page, the board, the commands and the charts start from."""

from builds.models.total import LogRow, Tally
from builds.queries.snapshot.as_of import PartsAtHand, read_parts, read_parts_of, read_snapshot, snapshot_of
from builds.queries.snapshot.records import BuildRecords, read_log_rows, read_records
from builds.queries.snapshot.rows import BuildSnapshot, OperationRow, PartRow, PartsSnapshot

__all__ = [
    "BuildRecords",
    "BuildSnapshot",
    "LogRow",
    "OperationRow",
    "PartRow",
    "PartsAtHand",
    "PartsSnapshot",
    "Tally",
    "read_log_rows",
    "read_parts",
    "read_parts_of",
    "read_records",
    "read_snapshot",
    "snapshot_of",
]
