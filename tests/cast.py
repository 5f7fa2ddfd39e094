"""The cast every view test can call on: the studio's people, two clients, and nobody at all."""

from __future__ import annotations

import datetime

import pytest

from commissions.intake.models import Client as RingClient
from commissions.record.actions import open_commission
from studio import clock
from studio.people.models import ClientAccess, Person, Role

PASSWORD = "correct horse battery staple"


def person(*, email: str, full_name: str, role: str) -> Person:
    """A person of the studio with the cast's password."""
    someone = Person(email=email, full_name=full_name, role=role, joined_at=clock.now())
    someone.set_password(PASSWORD)
    someone.save()
    return someone


def ring_client(
    *, email: str = "joachim@client.example", full_name: str = "Joachim Seelenbrink", country: str = "DE"
):
    """A client with a way in."""
    access = ClientAccess.objects.create(
        email=email, language="en-gb", zone="Europe/Berlin", created_at=clock.now()
    )
    return RingClient.objects.create(
        access=access, full_name=full_name, country=country, created_at=clock.now()
    )


@pytest.fixture
def owner(db):
    return person(email="ottoline@studio.example", full_name="Ottoline Brackwater", role=Role.OWNER)


@pytest.fixture
def jeweller(db):
    return person(email="mabli@studio.example", full_name="Mabli Sandrake", role=Role.JEWELLER)


@pytest.fixture
def setter(db):
    return person(email="ivo@studio.example", full_name="Ivo Thornquill", role=Role.SETTER)


@pytest.fixture
def joachim(db):
    """The client."""
    return ring_client()


@pytest.fixture
def delphine(db):
    """Another client, who must never see the first one's ring."""
    return ring_client(email="delphine@client.example", full_name="Delphine Quarrie", country="CA")


@pytest.fixture
def commission(joachim, owner):
    """Joachim's ring, just opened."""
    return open_commission(
        client=joachim,
        title="Round 6.51 in a halo of 18",
        currency="GBP",
        person=owner,
        needed_by=datetime.date(2026, 12, 19),
    )
