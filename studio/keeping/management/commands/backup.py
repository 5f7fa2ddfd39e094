"""One sealed file with everything in it."""

from __future__ import annotations

import getpass
import sys
import time
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from studio import environment
from studio.keeping.backing_up import CannotKeep, back_up


def passphrase(*, twice: bool) -> str:
    """The passphrase from the environment, or typed; never an argument, which every user of the machine can read."""
    given = environment.text("BACKUP_PASSPHRASE")
    if given or not sys.stdin.isatty():
        return given
    typed = getpass.getpass("Passphrase of the backup: ")
    if twice and getpass.getpass("Once more: ") != typed:
        raise CommandError("The two are not the same.")
    return typed


class Command(BaseCommand):
    help = (
        "Make a backup: tables, pictures and letters in one file, sealed with a passphrase "
        "(RINGWRIGHT_BACKUP_PASSPHRASE, …_FILE, or typed). The house may go on working."
    )

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path, help="the file to make")

    def handle(self, *args, file: Path, **options):
        began = time.monotonic()
        try:
            made = back_up(to=file, passphrase=passphrase(twice=True))
        except CannotKeep as error:
            raise CommandError(str(error)) from None
        self.stdout.write(
            f"{file}: {made.rows} rows of {len(made.tables)} tables and {made.files} files, "
            f"{file.stat().st_size / 1e6:.1f} MB, in {time.monotonic() - began:.0f} s."
        )
        if made.gone:
            self.stdout.write(f"{len(made.gone)} files were thrown away by the house while it was made.")
        self.stdout.write(
            "Keep the passphrase apart from it: without the passphrase it cannot be opened by anybody."
        )
