"""What cannot be done with less: reading the tables bare, drawing the normals, writing and reading JSON."""

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from django.apps import apps

DRAWS = 4_000


class Nowhere:
    """Takes what a command prints."""

    def write(self, text: str) -> None:
        pass

    def flush(self) -> None:
        pass


def read_tables(slug: str) -> int:
    """Read the rows of a build's plan and log bare, all columns of them."""
    paths = {"Part": "build", "Operation": "part__build", "Batch": "part__build", "Entry": "build"}
    found = 0
    for name, path in paths.items():
        found += len(list(apps.get_model("builds", name).objects.filter(**{f"{path}__slug": slug}).values_list()))
    return found


def normals(operations: int) -> None:
    import numpy as np

    np.random.default_rng(1).standard_normal((operations, DRAWS))


def dump(record: Any) -> str:
    return json.dumps(record, ensure_ascii=False)


class Insertion:
    """Bare insertion of all rows that an import wrote, history too, into empty tables of the same shape and indexes."""

    def __init__(self, written: Path, folder: Path) -> None:
        self.target = folder / "bare.sqlite3"
        with closing(sqlite3.connect(written)) as source:
            self.shapes = [
                sql
                for (sql,) in source.execute(
                    "SELECT sql FROM sqlite_master WHERE sql IS NOT NULL AND tbl_name LIKE 'builds\\_%' ESCAPE '\\'"
                    " ORDER BY type = 'index'"
                )
            ]
            names = [
                name
                for (name,) in source.execute(
                    "SELECT name FROM sqlite_master WHERE type = 'table' AND name LIKE 'builds\\_%' ESCAPE '\\'"
                )
            ]
            self.rows = {name: source.execute(f'SELECT * FROM "{name}"').fetchall() for name in names}  # noqa: S608

    def make_ready(self) -> None:
        for file in self.target.parent.glob(f"{self.target.name}*"):
            file.unlink()
        with closing(sqlite3.connect(self.target)) as opened:
            opened.execute("PRAGMA journal_mode=WAL")
            for shape in self.shapes:
                opened.execute(shape)

    def insert(self) -> None:
        with closing(sqlite3.connect(self.target)) as opened:
            opened.execute("PRAGMA synchronous=FULL")
            with opened:
                for name, rows in self.rows.items():
                    if rows:
                        marks = ",".join("?" * len(rows[0]))
                        opened.executemany(f'INSERT INTO "{name}" VALUES ({marks})', rows)  # noqa: S608
