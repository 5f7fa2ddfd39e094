"""The demo workshop in one command: seeded once, then running on its own day."""

import os
import shutil
import sys
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.db import connections

from commissions.pages.demo import seed


class Command(BaseCommand):
    help = (
        "Run the invented workshop Lanternfold on this machine: SQLite, no Redis, letters in a local outbox."
    )
    requires_system_checks = ()

    def add_arguments(self, parser):
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--host", default="127.0.0.1", help="loopback unless you say otherwise")
        parser.add_argument("--fresh", action="store_true", help="throw the demo's data away and seed anew")
        parser.add_argument("--stop-after-seed", action="store_true")

    def handle(self, *args, port, host, fresh, stop_after_seed, **options):
        if not settings.DEMO:
            # Started without manage.py's own preparation, for example by call_command: do it properly.
            os.environ["RINGWRIGHT_DEMO"] = "yes"
            os.execv(sys.executable, [sys.executable, *sys.argv])  # noqa: S606
        half_done = not seed.note_file().exists() and Path(settings.DATABASES["default"]["NAME"]).exists()
        if fresh or half_done:
            self._clear()
        call_command("migrate", verbosity=0)
        call_command("fonts", verbosity=0, stdout=open(os.devnull, "w"))  # noqa: SIM115, PTH123
        if seed.note() is None:
            self.stdout.write("Writing the workshop's ten commissions; this takes about a minute …")
            self.stdout.flush()
            call_command("seed_demo", verbosity=0, stdout=self.stdout)
        self._tell(host, port)
        if stop_after_seed:
            return
        connections.close_all()
        environment = {
            **os.environ,
            "RINGWRIGHT_CLOCK_OFFSET_SECONDS": str(seed.note()["offset"]),
            "RINGWRIGHT_ORIGIN": f"http://{host}:{port}",
            "RINGWRIGHT_HOSTS": f"{host},127.0.0.1,localhost",
        }
        arguments = [
            sys.executable,
            str(settings.BASE_DIR / "manage.py"),
            "studio",
            "--host",
            host,
            "--port",
            str(port),
        ]
        os.execve(sys.executable, arguments, environment)  # noqa: S606

    def _clear(self) -> None:
        # Only what the demo itself has written; the fonts are kept.
        connections.close_all()
        for path in Path(settings.DATA_DIR).iterdir():
            if path.name in ("fonts", "secret-key"):
                continue
            if path.is_dir():
                shutil.rmtree(path)
            else:
                path.unlink()

    def _tell(self, host: str, port: int) -> None:
        address = f"http://{host}:{port}"
        passwords = seed.note()["passwords"]
        owner, jeweller, setter = (f"{email}  password {passwords[email]}" for email in passwords)
        self.stdout.write(
            f"\nThe workshop Lanternfold, Tuesday 15 September 2026\n\n"
            f"  a stranger's brief    {address}/\n"
            f"  the studio            {address}/studio/sign-in/\n"
            f"      owner             {owner}\n"
            f"      jeweller          {jeweller}\n"
            f"      setter            {setter}\n"
            f"  a client              {address}/in/   joachim@seelenbrink.example\n"
            f"      the one-time code is in the outbox: sign in as owner, {address}/studio/outbox/\n\n"
            f"  All people, sums and stones are invented. Stop with Ctrl-C; start again with the same command.\n"
        )
        self.stdout.flush()
