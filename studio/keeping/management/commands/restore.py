"""Put a backup into an empty house."""

from __future__ import annotations

import time
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from studio.keeping.management.commands.backup import passphrase
from studio.keeping.restoring import CannotRestore, keep_secret, look_through, restore


class Command(BaseCommand):
    help = (
        "Restore a backup into an empty house; --check only reads it through and proves that it is whole. "
        "The passphrase comes from RINGWRIGHT_BACKUP_PASSPHRASE, …_FILE, or is typed."
    )

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path, help="the backup")
        parser.add_argument("--check", action="store_true", help="prove that it is whole, and write nothing")

    def handle(self, *args, file: Path, check: bool, **options):
        began, phrase = time.monotonic(), passphrase(twice=False)
        try:
            contents = (look_through if check else restore)(path=file, passphrase=phrase)
        except CannotRestore as error:
            raise CommandError(str(error)) from None
        done = "is whole" if check else "is restored, the trail holds"
        self.stdout.write(
            f"The backup of {contents.head['made_at'][:16].replace('T', ' ')} UTC {done}: {contents.rows} rows of "
            f"{len(contents.end['tables'])} tables, {contents.end['files']} files, "
            f"in {time.monotonic() - began:.0f} s."
        )
        left = "" if check else keep_secret(contents=contents)
        if left:
            self.stdout.write(left)
