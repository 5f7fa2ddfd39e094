"""Write the demo workshop into an empty database."""

import datetime
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from commissions.pages.demo import seed
from studio.people.models import Person


class Command(BaseCommand):
    help = "Write the invented workshop with its ten commissions into an empty database."

    def handle(self, *args, **options):
        if Person.objects.exists():
            raise CommandError(
                "Somebody lives here already: the demo is written into an empty database only."
            )
        passwords = seed.seed()
        start = datetime.datetime.fromisoformat(f"{seed.DAY}T{seed.HOUR}").replace(
            tzinfo=ZoneInfo(settings.TIME_ZONE)
        )
        offset = round((start - datetime.datetime.now(tz=datetime.UTC)).total_seconds())
        seed.keep_note(passwords=passwords, offset_seconds=offset)
        self.stdout.write("Ten commissions written.")
