"""Measuring the fit page: from the last keystroke to the drawing."""

from __future__ import annotations

import random
import time

from django.conf import settings
from django.test import Client
from django.test.utils import override_settings
from django.urls import reverse

from gemcalc.web.halo.views import WAIT_MS
from studio import clock
from studio.people.models import Person, Role


def typed_cases(count: int, seed: int | None = None) -> list[dict[str, str]]:
    """Stones as they come across a bench, a quarter of them with an outline of the halo's own; fresh without *seed*."""
    chance = random.SystemRandom() if seed is None else random.Random(seed)  # noqa: S311 (not for secrets)
    cases = []
    for place in range(count):
        width = chance.uniform(5, 8)
        shape = [
            {"cut": "round", "diameter": f"{width:.2f}"},
            {"cut": "oval", "length": f"{width * chance.uniform(1.2, 1.5):.2f}", "width": f"{width:.2f}"},
            {"cut": "cushion", "length": f"{width:.2f}", "width": f"{width:.2f}", "corner_radius": f"{width * 0.3:.2f}"},
            {"cut": "pear", "length": f"{width * chance.uniform(1.3, 1.6):.2f}", "width": f"{width:.2f}", "step": "0.5"},
        ][place % 4]  # fmt: skip
        if place % 2 == 0 and shape["cut"] == "round":
            over = f"{width + chance.uniform(2.9, 3.2):.2f}"
            corner = f"{0.28 * float(over):.2f}"
            shape |= {"target": "cushion", "t_length": over, "t_width": over, "t_corner_radius": corner,
                      "clearance_max": "0.4"}  # fmt: skip
        if place % 3 == 0:
            shape["sizes"] = "1.1: 12, 1.2: 16, 1.3: 20, 1.4: 12, 1.5: 10, 1.6: 8"
        cases.append(shape)
    return cases


def answers(client: Client, cases: list[dict[str, str]]) -> tuple[list[float], list[float]]:
    """Milliseconds that the page takes to answer each of *cases* while typing: by the clock, of processor time."""
    took, worked = [], []
    for values in cases:
        start, work = time.perf_counter(), time.process_time()
        answer = client.get(reverse("figures:halo"), values, headers={"HX-Request": "true"})
        took.append(1000 * (time.perf_counter() - start))
        worked.append(1000 * (time.process_time() - work))
        if answer.status_code != 200:
            raise RuntimeError(f"the fit page answered {answer.status_code} to {values}")
    return sorted(took), sorted(worked)


def run(*, count: int = 100) -> list[tuple[str, float, str]]:
    """Rows (name, value, unit): the page's answer for *count* fresh cases, and with the wait after the last key."""
    person, _made = Person.objects.get_or_create(
        email="measure@studio.example",
        defaults={"full_name": "Measure", "role": Role.OWNER, "joined_at": clock.now(), "password": "!"},
    )
    client = Client(headers={"host": settings.ALLOWED_HOSTS[0] if settings.ALLOWED_HOSTS else "localhost"})
    with override_settings(SECOND_FACTOR_REQUIRED=False):
        client.force_login(person)
        answers(client, typed_cases(2))
        took, worked = answers(client, typed_cases(count))
    rows = []
    for name, times in (("by the clock", took), ("of processor time", worked)):
        for share, at in (("p50", count // 2), ("p95", int(0.95 * count)), ("worst", count - 1)):
            rows.append((f"Fit page answers, {name}, {share}", times[at], "ms"))
    for share, at in (("p50", count // 2), ("p95", int(0.95 * count))):
        name = f"Keystroke to drawing, {WAIT_MS} ms of waiting in it, {share}"
        rows.append((name, WAIT_MS + took[at], "ms"))
    return rows
