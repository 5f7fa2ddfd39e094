"""Make the first owner, by a short question-and-answer or from the environment."""

from getpass import getpass

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from studio import environment
from studio.people.actions.staff import add_person
from studio.people.models import Person, Role


class Command(BaseCommand):
    help = (
        "Make the first owner of the studio. Asks for name, address and password, or takes them from "
        "RINGWRIGHT_OWNER_NAME, RINGWRIGHT_OWNER_EMAIL and RINGWRIGHT_OWNER_PASSWORD (or …_PASSWORD_FILE)."
    )

    def handle(self, *args, **options):
        if Person.objects.filter(role=Role.OWNER, is_active=True).exists():
            self.stdout.write("The studio has an owner already; people are added on the People page.")
            return
        name = environment.text("OWNER_NAME") or self._ask("Your full name: ")
        email = environment.text("OWNER_EMAIL") or self._ask("Your e-mail address: ")
        password = environment.text("OWNER_PASSWORD") or self._ask_password()
        try:
            add_person(email=email, full_name=name, role=Role.OWNER, password=password, by="first owner")
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from None
        self.stdout.write(
            f"{name} owns the studio now. Sign in at /studio/sign-in/ and set up the second factor."
        )

    def _ask(self, words: str) -> str:
        try:
            answer = input(words).strip()
        except EOFError:
            raise CommandError(
                "Nobody answered: set RINGWRIGHT_OWNER_NAME, _EMAIL and _PASSWORD instead."
            ) from None
        return answer or self._ask(words)

    def _ask_password(self) -> str:
        password = getpass("A password of at least 12 characters: ")
        if password != getpass("The same again: "):
            self.stderr.write("The two are not the same.")
            return self._ask_password()
        return password
