"""Prove that no entry of the trail was changed or taken out."""

from django.core.management.base import BaseCommand, CommandError

from studio.trail.models import Entry
from studio.trail.queries import first_break


class Command(BaseCommand):
    help = "Walk the trail and prove every link of its chain."

    def handle(self, *args, **options):
        broken = first_break()
        if broken is not None:
            raise CommandError(f"The trail does not hold at entry {broken}.")
        self.stdout.write(f"The trail holds: {Entry.objects.count()} entries.")
