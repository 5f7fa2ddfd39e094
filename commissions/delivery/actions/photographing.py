"""Writes of photographs of the parcel."""

from __future__ import annotations

from django.db import transaction

from commissions.delivery.models import ParcelPhoto
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Stage
from studio import clock
from studio.people.models import Person
from studio.pictures.models import Picture
from studio.trail.actions import record as write_trail


@transaction.atomic
def add_parcel_photo(*, commission: Commission, shot: str, picture: Picture, person: Person) -> ParcelPhoto:
    """
    Put a photograph with the parcel: its contents, the inner box or the outer box.

    Effects, in order: the photo is written, and the newest of a shot counts; the trail says so.

    Raises:
        Refused: the ring is not about to leave.
    """
    if commission.stage != Stage.HANDOVER:
        raise Refused("Only a ring that has passed its checks is packed.")
    photo = ParcelPhoto.objects.create(
        commission=commission, shot=shot, picture=picture, at=clock.now(), person=person
    )
    write_trail(
        actor=person, verb="photographed the parcel", subject=commission.reference, facts={"shot": shot}
    )
    return photo
