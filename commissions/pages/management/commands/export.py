"""Everything in open formats, for people and other programs."""

from __future__ import annotations

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from commissions.money import exports
from studio.keeping.backing_up import CannotKeep
from studio.keeping.exporting import export


class Command(BaseCommand):
    help = (
        "Export everything into a folder or a .zip: tables as CSV and JSON lines, the ledger as CSV and "
        "beancount, pictures and papers. Not sealed: keep it where nobody else reads it."
    )

    def add_arguments(self, parser):
        parser.add_argument("target", type=Path, help="an empty folder, or the .zip to make")

    def handle(self, *args, target: Path, **options):
        ledger = {
            "ledger/ledger.csv": exports.csv_rows(),
            "ledger/ledger.beancount": exports.beancount_rows(),
        }
        try:
            counts = export(to=target, more=ledger)
        except CannotKeep as error:
            raise CommandError(str(error)) from None
        self.stdout.write(f"{target}: {sum(counts.values())} rows of {len(counts)} tables, ledger and files.")
        self.stdout.write(
            "It is not sealed: names and addresses stand in it. For a backup use: manage.py backup"
        )
