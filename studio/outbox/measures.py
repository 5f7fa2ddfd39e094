"""
Measures of the outbox over loopback: commit to acceptance, and letters a second with three pictures each.

The mail server is a process of its own that keeps nothing. In the served way a real worker behind the real
broker sends; in the embedded way the thread does that drains the outbox in this process.
"""

from __future__ import annotations

import io
import os
import statistics
import subprocess
import sys
import threading
import time
import uuid
from collections.abc import Iterator
from contextlib import contextmanager

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.test.utils import override_settings
from PIL import Image

from studio.outbox.actions import put
from studio.outbox.models import Letter
from studio.outbox.tasks import send_due

KIND = "measure"
PICTURE_BYTES = (100_000, 170_000)
"""A rendition of 1000 px weighs about this much."""


def run() -> list[tuple[str, float, str]]:
    """Rows of name, value and unit. The letters of the measure are removed; their lines in the trail stay."""
    way = "served" if settings.SERVED else "embedded"
    files = [_picture(seed) for seed in range(3)]
    try:
        with _sink() as (port, accepted), _mail_to(port):
            idle, loaded, rate = [], [], 0.0
            with _sender(port):
                _wait(
                    accepted, [_put(files)], seconds=60
                )  # the first letter pays for imports and connections
                for _number in range(40):
                    idle += _wait(accepted, [_put(files[:1])], seconds=30)
                began = time.time()
                many = [_put(files) for _number in range(120)]
                loaded = _wait(accepted, many, seconds=120)
                rate = len(many) / (max(accepted[message] for message, _at in many) - began)
            with override_settings(SERVED=False):
                for _number in range(60):
                    _put(files)
                began = time.perf_counter()
                alone = send_due() / (time.perf_counter() - began)
    finally:
        Letter.objects.filter(kind=KIND).delete()
        for file in files:
            default_storage.delete(file)
    return [
        (f"commit to accepted, {way}, idle: median", round(statistics.median(idle), 3), "s"),
        (f"commit to accepted, {way}, idle: p95", round(_p95(idle), 3), "s"),
        (f"commit to accepted, {way}, 120 letters at once: p95", round(_p95(loaded), 3), "s"),
        (f"letters with three pictures each, {way}, written and sent", round(rate, 1), "letters/s"),
        ("letters with three pictures each, one sender over one line", round(alone, 1), "letters/s"),
    ]


def _p95(times: list[float]) -> float:
    return statistics.quantiles(times, n=20)[-1]


def _picture(seed: int) -> str:
    """A JPEG of 1000 px that weighs what a photograph weighs: noise over a gradient, never flat colour."""
    noise = Image.effect_noise((1000, 750), 22).convert("RGB")
    tint = Image.linear_gradient("L").resize((1000, 750)).convert("RGB")
    out = io.BytesIO()
    Image.blend(noise, tint, 0.45 + seed / 100).save(out, "JPEG", quality=78, progressive=True)
    low, high = PICTURE_BYTES
    if not low <= out.tell() <= high:
        raise RuntimeError(f"the picture of the measure weighs {out.tell()} bytes")
    return default_storage.save(f"measure-{uuid.uuid4().hex}.jpg", ContentFile(out.getvalue()))


def _put(files: list[str]) -> tuple[str, float]:
    """A letter, and the moment at which it was committed."""
    key = uuid.uuid4().hex
    pictures = [
        {"file": file, "cid": f"{key}-{place}@measure", "alt": "", "width": 1000, "height": 750}
        for place, file in enumerate(files)
    ]
    images = "".join(f'<p><img src="cid:{picture["cid"]}" alt=""></p>' for picture in pictures)
    with transaction.atomic():
        letter = put(
            kind=KIND,
            to="client@client.example",
            subject="A measure",
            text="It goes on.\n" * 20,
            html=f"<p>It goes on.</p>{images}",
            dedupe_key=f"measure:{key}",
            pictures=pictures,
        )
    return letter.message_id, time.time()


def _wait(accepted: dict[str, float], letters: list[tuple[str, float]], *, seconds: float) -> list[float]:
    """Seconds from commit to acceptance of each of these letters."""
    until = time.monotonic() + seconds
    while not all(message in accepted for message, _at in letters):
        if time.monotonic() > until:
            raise RuntimeError(f"a letter was not accepted within {seconds:.0f} s")
        time.sleep(0.002)
    return [max(0.0, accepted[message] - at) for message, at in letters]


@contextmanager
def _sink() -> Iterator[tuple[int, dict[str, float]]]:
    accepted: dict[str, float] = {}
    process = subprocess.Popen(
        [sys.executable, "-m", "studio.outbox.sink"], stdout=subprocess.PIPE, text=True, cwd=settings.BASE_DIR
    )
    port = int(process.stdout.readline())

    def read() -> None:
        for line in process.stdout:
            message, at = line.split()
            accepted[message] = float(at)

    threading.Thread(target=read, daemon=True).start()
    try:
        yield port, accepted
    finally:
        process.terminate()
        process.wait()


def _mail_to(port: int):
    return override_settings(
        EMAIL_BACKEND="django.core.mail.backends.smtp.EmailBackend",
        EMAIL_HOST="127.0.0.1",
        EMAIL_PORT=port,
        EMAIL_HOST_USER="",
        EMAIL_HOST_PASSWORD="",
        EMAIL_USE_TLS=False,
        EMAIL_USE_SSL=False,
    )


@contextmanager
def _sender(port: int) -> Iterator[None]:
    """Whoever sends in this way of running the house."""
    if not settings.SERVED:
        from studio.embedded import Drain

        with override_settings(SWEEP=["studio.outbox.tasks.send_due"]):
            drain = Drain()
            drain.start()
            try:
                yield
            finally:
                drain.stop(seconds=30)
        return
    worker = subprocess.Popen(
        [sys.executable, "-m", "celery", "--app", "studio.celery", "worker", "--pool", "prefork",
         "--concurrency", "2", "--loglevel", "ERROR"],
        cwd=settings.BASE_DIR,
        env={**os.environ, "RINGWRIGHT_SMTP_URL": f"smtp://127.0.0.1:{port}"},
    )  # fmt: skip
    try:
        yield
    finally:
        worker.terminate()
        worker.wait(timeout=60)
