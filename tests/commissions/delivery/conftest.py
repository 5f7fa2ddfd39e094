"""A ring that has passed its checks."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from commissions.bench.models import Weighing
from commissions.delivery import actions
from commissions.delivery.packing import CHECKS, SHOTS
from commissions.record.actions import answer_question
from commissions.record.models import Commission
from commissions.record.route import Stage
from studio import clock
from studio.pictures.actions import receive, render

RING_MG = 4580
CARRIER = "Meridian Secure (invented)"
STREET_WORDS = "14 Invented Quay"
LINES = f"{STREET_WORDS}\nNowhere-on-Sea"


@pytest.fixture(autouse=True)
def one_factor(settings):
    """Signing in is another room's test."""
    settings.SECOND_FACTOR_REQUIRED = False


def photograph(name="parcel.jpg", shade=90):
    """A small photograph as a form sends it."""
    out = io.BytesIO()
    Image.new("RGB", (400, 300), (shade, 90, 60)).save(out, "JPEG")
    return SimpleUploadedFile(name, out.getvalue(), content_type="image/jpeg")


def picture(shade=90):
    """The same, received and prepared."""
    row = receive(upload=photograph(shade=shade), kind="parcel", person_words="Mabli")
    render(pk=row.pk)
    row.refresh_from_db()
    return row


def at_handover(commission, person, *, ring_mg=RING_MG, weighed="ring"):
    """Bring a commission to Handover with the ring weighed, its evidence taken as given."""
    Commission.objects.filter(pk=commission.pk).update(stage=Stage.HANDOVER)
    commission.refresh_from_db()
    answer_question(commission=commission, key="design.send", by_words=str(person))
    now = clock.now()
    Weighing.objects.create(
        commission=commission, person=person, at=now, noted_at=now, kind=weighed, net_mg=ring_mg
    )
    return commission


def confirm(commission):
    """The client has confirmed the address."""
    return actions.confirm_address(
        commission=commission, addressee="J. Seelenbrink", lines=LINES, country="DE", by_words="Joachim"
    )


def limit(person, minor=1_000_000, carrier="", currency="GBP"):
    """What one parcel may be worth."""
    return actions.keep_limit(
        carrier=carrier, currency=currency, minor=minor, source="Policy 1", as_of=clock.today(), person=person
    )


def photographed(commission, person, shots=None):
    """Photographs of the parcel."""
    for number, (key, _words) in enumerate(SHOTS):
        if shots is None or key in shots:
            actions.add_parcel_photo(commission=commission, shot=key, picture=picture(number), person=person)


def packing(**other):
    """What is answered at packing, all of it well."""
    return {
        "answers": {check.key: "yes" for check in CHECKS if not check.only_surprise},
        "ring_mg": RING_MG,
        "seal": "K-1",
        "insured_minor": 560_000,
        **other,
    }


def next_weekday(day=None):
    """The next working day."""
    return clock.add_working_days(day or clock.today(), 1)


@pytest.fixture
def ready(commission, owner):
    """Joachim's ring, with everything that the gate asks for."""
    at_handover(commission, owner)
    confirm(commission)
    limit(owner)
    limit(owner, carrier=CARRIER)
    photographed(commission, owner)
    actions.make_ring_record(commission=commission, person=owner)
    return commission


@pytest.fixture
def packed(ready, owner):
    """Its parcel, closed."""
    return actions.pack(commission=ready, person=owner, **packing())


def send(shipment, person, **other):
    """Hand a parcel over."""
    return actions.dispatch(
        shipment=shipment,
        person=person,
        **{
            "carrier": CARRIER,
            "service": "adult signature",
            "tracking": "MS-1",
            "expected_on": next_weekday(),
            **other,
        },
    )


@pytest.fixture
def sent(packed, owner):
    """Its parcel, on its way."""
    return send(packed, owner)


@pytest.fixture
def arrived(sent):
    """Its parcel, in the client's hands."""
    actions.confirm_arrival(shipment=sent, proof="The carrier's entry", by_words="Joachim")
    sent.refresh_from_db()
    sent.commission.refresh_from_db()
    return sent
