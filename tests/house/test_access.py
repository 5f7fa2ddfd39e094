"""Who may open what: every route of the URLconf, asked by nobody, by the wrong client and by the wrong role."""

from __future__ import annotations

import itertools
import re

import pytest
from django.apps import apps
from django.test import Client as Browser

from commissions.bench.models import Audience, Photo
from commissions.delivery import actions as delivery
from commissions.pages.keeping.own import own_rows
from commissions.record.actions import open_commission
from tests.commissions.pages.keeping.conftest import one_factor, picture, told  # noqa: F401 - fixtures
from tests.house.routes import PUBLIC, Route, routes
from tests.post import sign_in_client

OWNER_ALONE = re.compile(
    r"^(money:|trail:|keeping:|people:(people|person|let-go|take-over|end-session)$"
    r"|outbox:|pages:(promise|withdraw)$|bench:(templates|template|new-template)$"
    r"|delivery:(limits|calendar|kind-words|offer-job)$|sourcing:to-report$)"
)
VALUES = {
    "currency": "GBP",
    "ending": "csv",
    "fingerprint": "0000-0000-00",
    "key": "no-such-key",
    "kind": "receipt",
    "letter": "A",
    "mark": 1,
    "name": "melee",
    "number": 1,
    "photo": 1,
    "pk": 1,
    "session": 1,
    "size": 320,
    "slug": "look",
    "token": "no-such-token",
    "version": 1,
    "word": "no-such-word",
}
"""Something for every place of an address; a place with a new name has to be named here."""
ALL = routes()
STUDIO = [row for row in ALL if row.path.startswith("studio/") and row.name not in PUBLIC]
YOURS = [row for row in ALL if row.path.startswith("yours/") and row.name not in PUBLIC]
MINE = [row for row in ALL if row.name in ("people:client-devices", "people:step-up")]


@pytest.fixture
def theirs(told, owner):  # noqa: F811 - the fixture
    """Joachim's ring with all that hangs on it, one photograph shown to him."""
    row = Photo.objects.create(
        commission=told, picture=picture(9), at=told.opened_at, person=owner, audience=Audience.CLIENT
    )
    assert row.picture.is_ready
    delivery.raise_worry(
        commission=told, sign="snag", words="It catches", pictures=[picture(11)], access=told.client.access
    )
    return told


@pytest.fixture
def hers(delphine, owner):
    """Delphine's ring, on which nothing hangs yet."""
    return open_commission(client=delphine, title="Oval", currency="CAD", person=owner)


def asked(browser, address: str) -> dict[str, int]:
    """What is answered to reading and to sending; a method that a page does not know is no answer."""
    return {
        method: status
        for method in ("get", "post")
        if (status := getattr(browser, method)(address).status_code) != 405
    }


def test_every_route_is_of_one_kind():
    known = {row.name for row in [*STUDIO, *YOURS, *MINE]} | PUBLIC
    assert {row.name for row in ALL} == known, (
        "a new route is for the studio, for a client, or named as public"
    )
    places = {place for row in ALL for place in row.places}
    assert places - set(VALUES) == {"reference"}


def test_nobody_who_is_not_signed_in_opens_anything(theirs):
    wrong = []
    for route in [*STUDIO, *YOURS, *MINE]:
        address = route.filled(**VALUES, reference=theirs.reference)
        door = "/studio/sign-in/" if route in STUDIO else "/in/"
        for method in ("get", "post"):
            answer = getattr(Browser(), method)(address)
            shut = answer.status_code == 405 or (
                answer.status_code == 302 and answer["Location"].startswith(door)
            )
            if not shut or theirs.client.full_name.encode() in answer.content:
                wrong.append((route.name, method, answer.status_code))
    assert wrong == []


def test_no_client_opens_a_page_of_the_studio(theirs, joachim):
    device = sign_in_client(Browser(), joachim, stepped_up=True)
    wrong = []
    for route in STUDIO:
        address = route.filled(**VALUES, reference=theirs.reference)
        for method in ("get", "post"):
            answer = getattr(device, method)(address)
            if answer.status_code != 405 and not answer.get("Location", "").startswith("/studio/sign-in/"):
                wrong.append((route.name, method, answer.status_code))
    assert wrong == []


def test_what_is_the_owners_alone_is_refused_to_the_others(theirs, jeweller, setter, client):
    wrong = []
    for person in (jeweller, setter):
        client.force_login(person)
        for route in STUDIO:
            if OWNER_ALONE.match(route.name):
                found = asked(client, route.filled(**VALUES, reference=theirs.reference))
                if set(found.values()) - {403}:
                    wrong.append((person.role, route.name, found))
    assert wrong == []


def test_somebody_of_each_role_opens_something(theirs, jeweller, setter, owner, client):
    """Were every door shut to everybody, the refusals above would prove nothing."""
    opened = {}
    for person in (owner, jeweller, setter):
        client.force_login(person)
        found = [
            client.get(row.filled(**VALUES, reference=theirs.reference)).status_code
            for row in STUDIO
            if row.name not in ("money:export-csv",)
        ]
        opened[person.role] = found.count(200)
    assert opened["owner"] > opened["jeweller"] > opened["setter"] > 3


def test_another_clients_page_is_as_unknown_as_one_that_does_not_exist(theirs, hers, delphine):
    device = sign_in_client(Browser(), delphine, stepped_up=True)
    wrong = []
    for route in YOURS:
        if "reference" not in route.places:
            continue
        address = route.filled(**VALUES, reference=theirs.reference)
        nowhere = route.filled(**VALUES, reference="ZZZ-999")
        found = asked(device, address)
        # Word for word: nothing tells the two apart.
        there, gone = device.get(address), device.get(nowhere)
        same = there.content.replace(address.encode(), b"") == gone.content.replace(nowhere.encode(), b"")
        if set(found.values()) != {404} or found != asked(device, nowhere) or not same:
            wrong.append((route.name, found))
    assert wrong == []


def numbers_of(commission) -> list[int]:
    """The numbers of all rows that hang on a client's pieces."""
    conditions = own_rows(access=commission.client.access)
    found: set[int] = {1, 2, 3}
    for label, condition in conditions.items():
        rows = apps.get_model(label)._base_manager.filter(condition)
        found |= set(rows.values_list("pk", flat=True))
    return sorted(found)


KINDS = ("quotation", "agreement", "change", "request", "receipt", "statement", "cancellation", "invoice")


def addresses(route: Route, *, reference: str, numbers: list[int]):
    """Every address of a route that somebody could try with the numbers of somebody else."""
    choices = []
    for place in route.places:
        if place in NUMBERS:
            choices.append(numbers)
        elif place == "kind":
            choices.append(KINDS)
        else:
            choices.append([reference if place == "reference" else VALUES[place]])
    for values in itertools.product(*choices):
        yield route.filled(**dict(zip(route.places, values, strict=True)))


NUMBERS = {"pk", "photo", "number", "version"}
NOTHING_THERE = {
    "bench-yours:date",
    "design-yours:comment",
    "design-yours:comments",
    "design-yours:picture",
    "money-yours:change",
    "pages:client-answer",
    "sourcing-yours:photo",
}
"""Routes for which Joachim's ring has no row of its own: asked all the same, with every number there is."""


def test_the_numbers_of_another_client_open_nothing_under_ones_own_piece(theirs, hers, delphine, joachim):
    numbers = numbers_of(theirs)
    device = sign_in_client(Browser(), delphine, stepped_up=True)
    own = sign_in_client(Browser(), joachim, stepped_up=True)
    wrong = []
    for route in YOURS:
        if not NUMBERS & set(route.places):
            continue
        for address in addresses(route, reference=hers.reference, numbers=numbers):
            answer = device.get(address)
            if answer.status_code not in (302, 404, 405) or b"Seelenbrink" in answer.content:
                wrong.append((address, answer.status_code))
        if route.name not in NOTHING_THERE and not any(
            own.get(address).status_code == 200
            for address in addresses(route, reference=theirs.reference, numbers=numbers)
        ):
            wrong.append(
                (route.name, "nothing was there to be refused: give the ring such a row, or name it")
            )
    assert wrong == []


def test_a_client_cannot_end_the_device_of_another(joachim, delphine):
    mine, theirs_ = sign_in_client(Browser(), delphine), sign_in_client(Browser(), joachim)
    from studio.people.models import ClientSession

    row = ClientSession.objects.get(access=joachim.access)
    mine.post("/in/devices/", {"device": row.pk})
    assert theirs_.get("/in/devices/").status_code == 200
