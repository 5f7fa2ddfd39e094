"""Run the house for real on one machine: no broker, one process."""

from __future__ import annotations

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from studio import embedded, typefaces


class Command(BaseCommand):
    help = "Run the house on this machine: pages, letters and sweep in one process, with no broker."
    requires_system_checks = "__all__"

    def add_arguments(self, parser):
        parser.add_argument("--host", default="127.0.0.1", help="address to listen on (127.0.0.1)")
        parser.add_argument("--port", type=int, default=8000, help="port to listen on (8000)")

    def handle(self, *args, host, port, **options):
        if settings.SERVED:
            raise CommandError(
                "RINGWRIGHT_BROKER_URL is set, so this house runs in the served way: start web, worker and "
                "beat as docker-compose.yml does, or unset it to run on this machine alone."
            )
        try:
            with embedded.alone():
                call_command("migrate", interactive=False, verbosity=max(0, options["verbosity"] - 1))
                typefaces.ensure_for_papers()
                embedded.serve(host=host, port=port, ready=self._say)
        except embedded.AlreadyRunning:
            raise CommandError(f"The house is running already on {settings.DATA_DIR}.") from None
        except embedded.CannotListen as error:
            raise CommandError(str(error)) from error
        self.stdout.write("Stopped.")

    def _say(self, address: str) -> None:
        self.stdout.write(f"{settings.STUDIO_NAME} is open at {address}/studio/ (stop with Ctrl+C)")
        self.stdout.flush()
