import io
import json
import zipfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from commissions.delivery import actions as delivery
from commissions.intake.models import Brief, BriefPicture
from commissions.money.actions import post_receipt
from commissions.record.actions import post_message
from studio import clock
from studio.outbox.models import Letter
from studio.outbox.writing import write
from studio.pictures.actions import receive, render
from tests.commissions.delivery.conftest import (
    CARRIER,
    LINES,
    STREET_WORDS,
    at_handover,
    limit,
    packing,
    photographed,
    send,
)
from tests.commissions.money.helpers import agreed_price
from tests.post import sign_in_client


def picture(shade: int):
    """A picture taken in and rendered."""
    file = io.BytesIO()
    Image.new("RGB", (64, 64), (shade, 90, 90)).save(file, "JPEG")
    made = receive(
        upload=SimpleUploadedFile("a.jpg", file.getvalue(), "image/jpeg"),
        kind="brief",
        person_words="a brief",
    )
    render(pk=made.pk)
    made.refresh_from_db()
    return made


def a_brief(*, client, reference: str, state: str = "answered", **more) -> Brief:
    """A brief of this client, as it was sent, with one picture."""
    brief = Brief.objects.create(
        reference=reference,
        token_hash=f"{reference}-{state}",
        state=state,
        schema=1,
        answers={
            "name": {"full_name": client.full_name, "country": client.country},
            "look": {"shapes": ["round"], "words_for_it": "calm"},
        },
        email=client.access.email,
        language="en-gb",
        began_at=clock.now(),
        touched_at=clock.now(),
        sent_at=clock.now(),
        **more,
    )
    BriefPicture.objects.create(
        brief=brief, picture=picture(len(reference)), liked="the claws", added_at=clock.now()
    )
    return brief


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


@pytest.fixture
def told(commission, joachim, owner):
    """A ring agreed, paid and arrived, with brief, messages and a letter: all that a client leaves behind."""
    joachim.phone = "+49 451 5550143"
    joachim.save(update_fields=["phone"])
    name = joachim.full_name
    a_brief(client=joachim, reference=commission.reference)
    quote = agreed_price(commission=commission, owner=owner)
    for row in quote.instalments.all():
        post_receipt(
            commission=commission,
            minor=row.minor,
            currency="GBP",
            reference=f"FP-{row.number}",
            by_words=name,
        )
    at_handover(commission, owner)
    delivery.confirm_address(
        commission=commission, addressee="J. Seelenbrink", lines=LINES, country="DE", by_words=name
    )
    limit(owner)
    limit(owner, carrier=CARRIER)
    delivery.disclose(
        commission=commission, treated="none", words="", care_words="", source="Report 1", person=owner
    )
    delivery.make_ring_record(commission=commission, person=owner)
    photographed(commission, owner)
    parcel = send(delivery.pack(commission=commission, person=owner, **packing()), owner)
    delivery.client_confirms_arrival(shipment=parcel, words="", name=name)
    commission.refresh_from_db()
    post_message(commission=commission, body="Call me on +49 451 5550143. Joachim", from_client=True)
    post_message(
        commission=commission, body="Dear Herr Seelenbrink, gladly.", from_client=False, person=owner
    )
    write(
        name="message-waits",
        to=joachim.access.email,
        dedupe_key="told:1",
        subject_ref=commission.reference,
        context={"person": "Mabli"},
    )
    Letter.objects.update(state="sent", sent_at=clock.now())
    return commission


__all__ = ["STREET_WORDS"]


def taken_along(client) -> tuple[zipfile.ZipFile, dict]:
    """What a signed-in client downloads."""
    from django.test import Client as Browser

    answer = sign_in_client(Browser(), client, stepped_up=True).get("/yours/data/your-data.zip")
    assert answer.status_code == 200
    bundle = zipfile.ZipFile(io.BytesIO(b"".join(answer)))
    return bundle, json.loads(bundle.read("data.json"))
