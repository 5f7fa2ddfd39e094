"""
Words that are sealed at rest: a column that nobody reads in the database file, in a backup or in a log.

The key comes from the house's secret. When the secret is changed, the former one is named in
``RINGWRIGHT_SECRET_KEY_FALLBACKS`` for as long as something sealed with it is still kept.
"""

from __future__ import annotations

import base64
import hashlib
import logging

from cryptography.fernet import Fernet, InvalidToken, MultiFernet
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from django.conf import settings
from django.db import models

log = logging.getLogger(__name__)
UNREADABLE = "(sealed with a secret that this house does not have)"


class Sealed(str):
    """Words as they lie in the table; written back as they are."""

    __slots__ = ()


class Unreadable(str):
    """What stands for words whose secret is not here; the sealed words themselves stay as they were."""

    token: str

    def __new__(cls, token: str):
        made = super().__new__(cls, UNREADABLE)
        made.token = token
        return made


def _fernet() -> MultiFernet:
    return MultiFernet(
        [_made_from(secret) for secret in (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS)]
    )


_KEYS: dict[bytes, Fernet] = {}


def _made_from(secret: str) -> Fernet:
    known = hashlib.sha256(secret.encode()).digest()
    if known not in _KEYS:
        derived = HKDF(algorithm=SHA256(), length=32, salt=None, info=b"ringwright sealed words").derive(
            secret.encode()
        )
        _KEYS[known] = Fernet(base64.urlsafe_b64encode(derived))
    return _KEYS[known]


def seal(words: str) -> Sealed:
    """*words* as they are kept; nothing stays nothing."""
    return Sealed(_fernet().encrypt(words.encode()).decode() if words else "")


def open_sealed(token: str) -> str:
    """The words that were sealed, or what stands for them where their secret is not here."""
    if not token:
        return ""
    try:
        return _fernet().decrypt(token.encode()).decode()
    except InvalidToken:
        log.warning("Sealed words cannot be read: is a former secret missing in SECRET_KEY_FALLBACKS?")
        return Unreadable(token)


class SealedText(models.TextField):
    """
    Text that is sealed in the database: written and read as plain words, never searched for.

    Every writing seals anew, so two rows with the same words do not look the same.
    """

    def get_prep_value(self, value):
        if value is None or isinstance(value, Sealed):
            return None if value is None else str(value)
        if isinstance(value, Unreadable):
            return value.token
        return str(seal(str(value)))

    def from_db_value(self, value, expression, connection):
        return None if value is None else open_sealed(value)

    def get_lookup(self, lookup_name):
        # The same words never look the same, so asking for them would silently find nothing.
        return super().get_lookup(lookup_name) if lookup_name == "isnull" else None
