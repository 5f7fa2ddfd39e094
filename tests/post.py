"""Letters that the house wrote, read as their reader would: the code in them, the link in them."""

from __future__ import annotations

import re

from studio.outbox.models import Letter
from studio.people.access import SESSION_KEY
from studio.people.actions.client import begin_session
from studio.people.tasks import make_codes

AGENT = "Mozilla/5.0 (X11; Linux x86_64; rv:128.0) Gecko/20100101 Firefox/128.0"


def letters_to(email: str) -> list[Letter]:
    """The letters to one address, oldest first, after the codes that were asked for are made."""
    make_codes()
    return list(Letter.objects.filter(to=email).order_by("id"))


def code_in(letter: Letter) -> str:
    """The short code of a letter."""
    return re.search(r"\b(\d{4} \d{4})\b", letter.text).group(1)


def link_in(letter: Letter) -> str:
    """The path of the link of a letter, without the house's origin."""
    return re.search(r"https?://[^/\s]+(/\S+/)\s", letter.text).group(1)


def sign_in_client(browser, ring_client, *, stepped_up: bool = False):
    """Sign a client in on a test browser; with the passphrase given where asked."""
    access = ring_client.access
    session = browser.session
    session[SESSION_KEY] = begin_session(access=access, agent=AGENT)
    session["language"], session["zone"] = access.language, access.zone
    session.save()
    if stepped_up:
        from studio.people.actions.client import choose_passphrase, step_up

        row = access.sessions.order_by("-id").first()
        if not choose_passphrase(access=access, session=row, phrase=PHRASE):
            access.refresh_from_db()
            assert step_up(access=access, session=row, phrase=PHRASE)
    return browser


PHRASE = "herring gull on a chimney"
