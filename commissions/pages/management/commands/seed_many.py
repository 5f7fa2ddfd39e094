"""Write thousands of invented commissions into an empty database, to measure pages against."""

from django.core.management.base import BaseCommand

from commissions.pages.many import seed


class Command(BaseCommand):
    help = "Write COUNT invented open commissions (for measuring; not the demo)."

    def add_arguments(self, parser):
        parser.add_argument("count", type=int, nargs="?", default=10_000)

    def handle(self, *args, count, **options):
        self.stdout.write(f"{seed(count=count)} commissions written.")
