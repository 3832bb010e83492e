import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand


class Command(BaseCommand):
    help = "Print what a record file may hold, as a JSON Schema (draft 2020-12)."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--table", action="store_true", help="print the table of fields in DEVELOPERS.md instead")

    def handle(self, *args: Any, table: bool, **options: Any) -> None:
        from builds.transfer.record import publish

        schema = publish.table() if table else json.dumps(publish.json_schema(), ensure_ascii=False, indent=2)
        self.stdout.write(schema)
