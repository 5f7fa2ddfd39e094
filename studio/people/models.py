"""Who may come in: the people of the studio, and the addresses of its clients."""

from __future__ import annotations

import secrets

from django.contrib.auth.hashers import check_password
from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models


class Role(models.TextChoices):
    """What a person of the studio does; it decides which pages open."""

    OWNER = "owner", "Owner"
    JEWELLER = "jeweller", "Jeweller"
    SETTER = "setter", "Setter"


class PersonManager(BaseUserManager):
    """Finds people by their address, whatever its case."""

    def get_by_natural_key(self, username):
        return self.get(email__iexact=username)


class Person(AbstractBaseUser):
    """One person of the studio."""

    email = models.EmailField("e-mail address", unique=True)
    full_name = models.CharField(max_length=120)
    role = models.CharField(max_length=12, choices=Role.choices)
    is_active = models.BooleanField(default=True)
    joined_at = models.DateTimeField()
    left_at = models.DateTimeField(null=True, blank=True)

    objects = PersonManager()
    USERNAME_FIELD = "email"
    REQUIRED_FIELDS = ["full_name", "role"]

    class Meta:
        ordering = ["full_name"]

    def __str__(self):
        return self.full_name

    @property
    def first_name(self) -> str:
        """The name to call them by."""
        return self.full_name.split(" ")[0]

    @property
    def is_owner(self) -> bool:
        return self.role == Role.OWNER


class StaffSession(models.Model):
    """One browser in which a person of the studio is signed in; ended by them or by the owner."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="staff_sessions")
    session_key = models.CharField(max_length=40, unique=True)
    device = models.CharField(max_length=80)
    began_at = models.DateTimeField()
    seen_at = models.DateTimeField()

    class Meta:
        ordering = ["-seen_at", "-id"]


class TakenOver(models.Model):
    """The owner's note of who took over what somebody held who leaves; only ever added."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="given_up")
    to = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="taken_over")
    key = models.CharField(max_length=80)
    words = models.CharField(max_length=240)
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["person", "key"], name="people_taken_over_once")]


class RecoveryCode(models.Model):
    """One way in for a person who has lost their authenticator; only its hash is kept, and it works once."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="recovery_codes")
    code_hash = models.CharField(max_length=64)
    used_at = models.DateTimeField(null=True, blank=True)

    @staticmethod
    def new_code() -> str:
        """A fresh code of 80 bits."""
        return secrets.token_hex(10)


class ClientAccess(models.Model):
    """A client's way in: their address, proven by a one-time code; never a password of ours."""

    email = models.EmailField(max_length=254, unique=True)
    language = models.CharField(max_length=12, default="en-gb")
    zone = models.CharField(max_length=48, default="UTC")
    # A surprise is under way: every letter to this address keeps to neutral words and a neutral sender.
    discreet = models.BooleanField(default=False)
    # Set by the client at their first visit; asked again before anything binding (a second thing they know).
    passphrase = models.CharField(max_length=256, blank=True)
    created_at = models.DateTimeField()

    def __str__(self):
        return self.email

    def passphrase_fits(self, typed: str) -> bool:
        """Whether *typed* is the passphrase this client chose."""
        return bool(self.passphrase) and check_password(typed, self.passphrase)


class OneTimeCode(models.Model):
    """
    One request for a one-time code, and the hashes of the code that answered it.

    ``door`` names what the code opens (the client's pages, a brief to be taken up again, a brief to be sent).
    A code opens its door once, for ten minutes; a newer one for the same door and address ends it. It
    stands in two forms: a long token for the link in the letter, and a short code for typing, which only
    the browser that asked can use.
    """

    door = models.CharField(max_length=12)
    email = models.EmailField(max_length=254)
    browser_hash = models.CharField(max_length=64)
    token_hash = models.CharField(max_length=64, null=True, unique=True)
    short_hash = models.CharField(max_length=64, blank=True)
    asked_at = models.DateTimeField()
    made_at = models.DateTimeField(null=True, blank=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)

    class Meta:
        indexes = [
            models.Index(fields=["door", "email", "expires_at"], name="people_codes_of_address"),
            models.Index(fields=["door", "browser_hash", "id"], name="people_codes_of_browser"),
            models.Index(fields=["made_at", "id"], name="people_codes_asked"),
        ]


class ClientSession(models.Model):
    """One signed-in device of a client; ended from any other of their devices or by the studio."""

    access = models.ForeignKey(ClientAccess, on_delete=models.CASCADE, related_name="sessions")
    key_hash = models.CharField(max_length=64, unique=True)
    # The key is changed while it is in use; requests that were under way still carry the one before.
    previous_hash = models.CharField(max_length=64, blank=True, db_index=True)
    changed_at = models.DateTimeField()
    device = models.CharField(max_length=80)
    began_at = models.DateTimeField()
    seen_at = models.DateTimeField()
    stepped_up_until = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
