"""Bank details: a change waits two days, so that a stolen password cannot turn a payment round at once."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.money.models import BankDetails
from commissions.record.errors import Refused
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

WAIT = datetime.timedelta(hours=48)


@transaction.atomic
def change_bank_details(*, currency: str, holder: str, lines: str, person: Person) -> BankDetails:
    """
    Give the account that clients pay to in a currency.

    Effects, in order: the details are written; the first of a currency hold at once, later ones in 48 hours
    and are announced on every page that shows how to pay until then; the trail says so, without them.

    Raises:
        Refused: the person is not an owner, or a change is waiting already.
    """
    if not person.is_owner:
        raise Refused("Only an owner changes where clients pay to.")
    now = clock.now()
    standing = BankDetails.objects.filter(currency=currency, withdrawn_at__isnull=True)
    if standing.filter(live_at__gt=now).exists():
        raise Refused("A change is waiting already. Withdraw it first.")
    made = BankDetails.objects.create(
        currency=currency,
        holder=holder,
        lines=lines,
        made_by=person,
        made_at=now,
        live_at=now + WAIT if standing.exists() else now,
    )
    write_trail(
        actor=person,
        verb="changed where clients pay to",
        subject=f"bank:{currency}",
        facts={"holds from": made.live_at.isoformat()},
    )
    return made


@transaction.atomic
def withdraw_bank_details(*, details: BankDetails, person: Person) -> None:
    """
    Take back a change that is still waiting.

    Effects, in order: it is marked withdrawn, only if its time has not come; the trail says so.

    Raises:
        Refused: it holds already.
    """
    changed = BankDetails.objects.filter(
        pk=details.pk, live_at__gt=clock.now(), withdrawn_at__isnull=True
    ).update(withdrawn_at=clock.now())
    if changed != 1:
        raise Refused("These details hold already: change them instead.")
    write_trail(
        actor=person, verb="withdrew a change of where clients pay to", subject=f"bank:{details.currency}"
    )
