"""One sweep by hand: what the worker's clock or the embedded thread does regularly."""

from __future__ import annotations

from contextlib import nullcontext

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from studio import embedded
from studio.outbox.tasks import sweep


class Command(BaseCommand):
    help = "Consume waiting facts and send what is due, once."

    def handle(self, *args, **options):
        try:
            with nullcontext() if settings.SERVED else embedded.alone():
                done = sweep()
        except embedded.AlreadyRunning:
            raise CommandError("The house is running and sweeps by itself.") from None
        for name, said in done.items():
            self.stdout.write(f"{name}: {said}")
