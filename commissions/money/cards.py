"""
The port for a hosted card page.

A page of somebody else's takes the card; we send the client there with a token and a sum, and it tells us by a
signed notification. No card data touches us. Another page is another class with the same two methods.
"""

from __future__ import annotations

import hashlib
import hmac
import json
from dataclasses import dataclass
from typing import Protocol
from urllib.parse import urlencode

from django.conf import settings

from studio import clock

FRESH_SECONDS = 300
"""A notification older than this is refused, so that a recorded one cannot be played back days later."""


class BadNotice(ValueError):
    """A notification that is not signed by the page, is stale, or cannot be read."""


@dataclass(frozen=True, kw_only=True)
class Notice:
    """What the page says: the token of the payment, the sum in minor units, and whether it was paid."""

    token: str
    minor: int
    currency: str
    paid: bool


class CardPage(Protocol):
    """What a hosted card page has to offer."""

    def address(self, *, token: str, minor: int, currency: str, back: str) -> str:
        """Where the client goes to pay."""

    def read(self, *, body: bytes, time: str, signature: str) -> Notice:
        """The notice in a notification; raises :class:`BadNotice`."""


def sign(*, secret: str, time: str, body: bytes) -> str:
    """HMAC-SHA256 of the time and the body, hex."""
    return hmac.new(secret.encode(), time.encode() + b"." + body, hashlib.sha256).hexdigest()


@dataclass(frozen=True, kw_only=True)
class SignedPage:
    """A card page that is called by a signed address and answers by signed JSON."""

    base: str
    secret: str

    def address(self, *, token: str, minor: int, currency: str, back: str) -> str:
        """The page's address with what is to be paid, signed."""
        query = urlencode({"token": token, "minor": minor, "currency": currency, "back": back})
        return f"{self.base}?{query}&signature={sign(secret=self.secret, time='', body=query.encode())}"

    def read(self, *, body: bytes, time: str, signature: str) -> Notice:
        """The notice, after signature and age are checked."""
        if not hmac.compare_digest(sign(secret=self.secret, time=time, body=body), signature):
            raise BadNotice("the signature does not fit")
        if not time.isdecimal() or abs(clock.now().timestamp() - int(time)) > FRESH_SECONDS:
            raise BadNotice("the notification is stale")
        try:
            said = json.loads(body)
            return Notice(
                token=str(said["token"]),
                minor=int(said["minor"]),
                currency=str(said["currency"]),
                paid=said["paid"] is True,
            )
        except (ValueError, KeyError, TypeError):
            raise BadNotice("the notification cannot be read") from None


def card_page() -> CardPage | None:
    """The card page of this studio, or None where it has none."""
    base, secret = settings.CARD_PAGE_ADDRESS, settings.CARD_PAGE_SECRET
    return SignedPage(base=base, secret=secret) if base and secret else None
