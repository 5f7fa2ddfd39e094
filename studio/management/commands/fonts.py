"""Make the faces of the house from their packages."""

from django.core.management.base import BaseCommand

from studio import typefaces


class Command(BaseCommand):
    help = "Cut the two faces of the house down to the letters we need, into the data folder."
    requires_system_checks = ()

    def handle(self, *args, **options):
        for path in [*typefaces.ensure(), *typefaces.ensure_for_papers()]:
            self.stdout.write(f"{path.name}: {path.stat().st_size // 1024} kB")
