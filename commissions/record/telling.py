"""The end of a surprise."""

from __future__ import annotations

from django.db import transaction

from commissions.record.errors import Overtaken
from commissions.record.models import Commission
from commissions.record.route import State
from studio.people.models import ClientAccess, Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def end_surprise(*, commission: Commission, person: Person) -> None:
    """
    Note that the wearer knows.

    Effects, in order: the commission is no longer a surprise, only if it still was, nor are the small jobs on its
    ring; letters to the client
    use plain words again, unless another open commission of theirs is a surprise; the trail says so.

    Raises:
        Overtaken: it was no surprise any more.
    """
    if Commission.objects.filter(pk=commission.pk, discreet=True).update(discreet=False) != 1:
        raise Overtaken
    commission.discreet = False
    Commission.objects.filter(ring=commission, discreet=True).update(discreet=False)
    access = commission.client.access
    if not Commission.objects.filter(client__access=access, discreet=True, state=State.OPEN).exists():
        ClientAccess.objects.filter(pk=access.pk).update(discreet=False)
    write_trail(actor=person, verb="ended the surprise", subject=commission.reference)
