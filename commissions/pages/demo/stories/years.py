"""The years after: what Philippa said of her ring, what worries her now, and the resize she is offered."""

from __future__ import annotations

from decimal import Decimal

from django.core.files.uploadedfile import SimpleUploadedFile

from commissions.delivery import actions as delivery
from commissions.delivery import queries
from commissions.design import queries as designs
from commissions.pages.demo import photographs
from commissions.pages.demo.setting_out import Cast, on
from commissions.record.models import Commission
from studio.pictures.actions import receive, render


def philippa_after(cast: Cast) -> None:
    """Kind words in May, one photograph taken down again; a resize offered, and a claw that catches since Saturday."""
    ring = Commission.objects.select_related("client__access").get(reference="F3J-9LC")
    access = ring.client.access
    with on("2026-05-04", "07:00"):
        delivery.ask_due_kind_words()
    with on("2026-05-06", "20:40"):
        shown = queries.choosable_photos(commission=ring)[:2]
        words = delivery.give_kind_words(
            commission=ring,
            words="I could see every step, and what came is exactly what was drawn. The halo sits so close to the "
            "stone that people ask whether it is one.",
            name_form="first",
            public=True,
            photos=[photo.pk for photo in shown],
            not_before=None,
            access=access,
        )
    with on("2026-05-07", "09:20"):
        delivery.show_kind_words(row=words, shown=True, person=cast.owner)
    with on("2026-06-21", "21:15"):
        delivery.change_consent(row=words, photo_pk=shown[1].pk, given=False, access=access)
    with on("2026-09-11", "15:00"):
        job = delivery.open_job(
            ring=ring,
            work="resize",
            words="Half a size larger, from 50.6 to 51.2 mm inside, as measured at the fair on Thursday. "
            "Every stone is tried again afterwards.",
            size_hmm=5120,
            person=cast.owner,
        )
        delivery.offer_job(
            commission=job,
            net_minor=6500,
            tax_code="UK20",
            tax_rate=Decimal(20),
            note="The way back is in the price. You insure the way to us.",
            valid_until=None,
            person=cast.owner,
        )
    with on("2026-09-14", "18:05"):
        picture = receive(
            upload=SimpleUploadedFile("scarf.jpg", _worn(ring), content_type="image/jpeg"),
            kind="care",
            person_words=ring.client.full_name,
        )
        delivery.raise_worry(
            commission=ring,
            sign="snag",
            words="Since Saturday it catches on my scarf, on the side that is up in the picture.",
            pictures=[picture],
            access=access,
        )
    render(pk=picture.pk)


def _worn(ring: Commission) -> bytes:
    revision = designs.agreed(commission=ring)
    return photographs.face_up(
        parameters=revision.parameters,
        layout=revision.outputs["layout"],
        metal="yellow",
        seed=409,
        centre_set=True,
        halo_set=True,
    )
