"""Measuring how soon a changed stone is on every page: from the measurement to all pages that follow from it."""

from __future__ import annotations

import statistics
import time

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.sessions.backends.db import SessionStore
from django.test import Client as Browser

from commissions.design.queries import agreed
from commissions.record.models import Commission
from commissions.sourcing.models import Stone
from studio import clock
from studio.people.models import Person, Role

PAGES = (
    ("check-in", "/studio/stones/{stone}/check-in/"),
    ("piece", "/studio/commissions/{ref}/"),
    ("design", "/studio/commissions/{ref}/design/"),
    ("drawing sheet", "/studio/commissions/{ref}/design/{letter}/sheet/"),
    ("drawing as DXF", "/studio/commissions/{ref}/design/{letter}/sheet.dxf"),
    ("stones", "/studio/commissions/{ref}/stones/"),
    ("stone order", "/studio/commissions/{ref}/stones/order/"),
    ("money", "/studio/commissions/{ref}/money/"),
)
"""The pages that show what follows from a stone. Papers are made when somebody asks for them, and measured apart."""

ROUNDS = 5


def browser_of(person: Person) -> Browser:
    """A browser inside this process, signed in as *person*: no network, and so the server's own time."""
    session = SessionStore()
    session[SESSION_KEY] = str(person.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = person.get_session_auth_hash()
    session.save()
    browser = Browser(headers={"host": settings.ALLOWED_HOSTS[0] if settings.ALLOWED_HOSTS else "127.0.0.1"})
    browser.cookies[settings.SESSION_COOKIE_NAME] = session.session_key
    return browser


def typed(*, across_hmm: int, depth_hmm: int, weight_mct: int, inscription: str) -> dict[str, str]:
    """The check-in's boxes as somebody types them."""
    across, depth = f"{across_hmm / 100:.2f}", f"{depth_hmm / 100:.2f}"
    return {
        "inscription_typed": inscription,
        "weight": f"{weight_mct / 1000:.3f}",
        **dict.fromkeys(("length", "length_2", "width", "width_2"), across),
        "depth": depth,
        "depth_2": depth,
        "weight_reason": "measured for the measure",
        "screening": "not-done",
    }


def once(*, browser: Browser, stone: Stone, across_hmm: int) -> dict[str, float]:
    """
    One changed measurement: ms of processor time for keeping it and for each page after it.

    The size has to be one that this process has not fitted yet; the agreed halo may be known to it.
    """
    commission = stone.commission
    revision = agreed(commission=commission)
    names = {"ref": commission.reference, "stone": stone.pk, "letter": revision.letter}
    boxes = typed(
        across_hmm=across_hmm,
        depth_hmm=stone.depth_hmm,
        weight_mct=stone.weight_mct or 1000,
        inscription=stone.report_number,
    )
    times: dict[str, float] = {}

    def timed(name: str, ask) -> None:
        begun = time.process_time()
        answer = ask()
        times[name] = (time.process_time() - begun) * 1000
        if answer.status_code not in (200, 302):
            raise RuntimeError(f"{name} answered {answer.status_code}")

    timed("kept", lambda: browser.post(PAGES[0][1].format(**names), boxes))
    for name, path in PAGES:
        timed(name, lambda path=path: browser.get(path.format(**names)))
    return times


def run() -> list[tuple[str, float, str]]:
    """Rows of name, value and unit: medians over a few rounds, each with another size; needs a seeded workshop."""
    stone = (
        Stone.objects.filter(chosen_at__isnull=False, commission__stage__in=("model", "casting", "agreement"))
        .exclude(state__in=("returned", "broken", "lost"))
        .filter(outline__cut="round", commission__in=Commission.objects.filter(revisions__status="agreed"))
        .select_related("commission")
        .first()
    )
    if stone is None:
        raise RuntimeError("there is no ring with a chosen round stone: seed the demo workshop first")
    person, _made = Person.objects.get_or_create(
        email="measure@studio.example",
        defaults={"full_name": "Measure", "role": Role.OWNER, "joined_at": clock.now(), "password": "!"},
    )
    browser = browser_of(person)
    letter = agreed(commission=stone.commission).letter
    for _name, path in PAGES:
        browser.get(path.format(ref=stone.commission.reference, stone=stone.pk, letter=letter))
    rounds = [
        once(browser=browser, stone=stone, across_hmm=stone.length_hmm + 20 + step) for step in range(ROUNDS)
    ]
    rows = [
        (f"Stone measured anew, {name}", statistics.median(row[name] for row in rounds), "ms")
        for name in rounds[0]
    ]
    whole = statistics.median(sum(row.values()) for row in rounds)
    return [*rows, ("Stone measured anew, kept and every page after it", whole, "ms")]
