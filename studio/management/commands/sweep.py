"""One sweep by hand: what the worker's clock or the embedded thread does regularly."""

from __future__ import annotations

from django.core.management.base import BaseCommand

from studio.outbox.tasks import sweep


class Command(BaseCommand):
    help = "Consume waiting facts and send what is due, once."

    def handle(self, *args, **options):
        for name, said in sweep().items():
            self.stdout.write(f"{name}: {said}")
