"""Print the measures of the house: pages, pictures, letters, papers, the halo fit."""

from importlib import import_module

from django.core.management.base import BaseCommand

SUBJECTS = {
    "pages": "commissions.pages.measures",
    "stone": "commissions.pages.measures_stone",
    "pictures": "studio.pictures.measures",
    "letters": "studio.outbox.measures",
    "papers": "commissions.money.measures",
    "fit": "gemcalc.web.halo.measures",
}


class Command(BaseCommand):
    help = (
        "Measure on this machine: " + ", ".join(SUBJECTS) + ". Use a throw-away RINGWRIGHT_DATA or database."
    )

    def add_arguments(self, parser):
        parser.add_argument("subject", choices=SUBJECTS, nargs="+")

    def handle(self, *args, subject, **options):
        for name in subject:
            for words, value, unit in import_module(SUBJECTS[name]).run():
                self.stdout.write(f"{words:<60} {value:>10.2f} {unit}")
