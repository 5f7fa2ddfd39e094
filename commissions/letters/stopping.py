"""
The way out of letters about progress: one press in the mail program (RFC 8058), with no sign-in.

The signed word in its address can do this one thing and nothing else; it opens no page.
"""

from __future__ import annotations

from django.conf import settings
from django.core import signing
from django.urls import reverse

from studio.people.models import ClientAccess

SALT = "commissions.letters.stopping"


def headers(*, access: ClientAccess, discreet: bool) -> dict[str, str]:
    """The lines of a letter's head that lead out."""
    word = signing.dumps(access.pk, salt=SALT)
    origin = settings.DISCREET_ORIGIN if discreet else settings.ORIGIN
    sender = settings.DISCREET_FROM if discreet else settings.LETTER_FROM
    return {
        "List-Unsubscribe": f"<{origin}{reverse('letters-stop', args=[word])}>, <mailto:{sender}?subject=stop>",
        "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
    }


def access_of(*, word: str) -> ClientAccess | None:
    """The client whose letters this word stops, or None for a word that we never wrote."""
    try:
        pk = signing.loads(word, salt=SALT)
    except signing.BadSignature:
        return None
    return ClientAccess.objects.filter(pk=pk).first()
