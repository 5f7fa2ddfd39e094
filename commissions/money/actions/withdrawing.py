"""Writes about the right to withdraw."""

from __future__ import annotations

import datetime

from django.db import IntegrityError, transaction

from commissions.money.models import Withdrawal, WithdrawalRight
from commissions.record.actions import open_question
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Turn
from studio import clock
from studio.outbox.writing import write
from studio.people.models import ClientAccess
from studio.trail.actions import record as write_trail


def right_of(*, commission: Commission) -> WithdrawalRight | None:
    """What the studio said last of the right to withdraw; None where it said nothing, and there is none."""
    return WithdrawalRight.objects.filter(commission=commission).order_by("-id").first()


def may_withdraw(*, commission: Commission) -> bool:
    """Whether the client may withdraw today: the right applies, its day has not passed, and it was not used."""
    right = right_of(commission=commission)
    return bool(
        right
        and right.applies_until
        and clock.today() <= right.applies_until
        and not Withdrawal.objects.filter(commission=commission).exists()
    )


@transaction.atomic
def keep_right(
    *, commission: Commission, applies_until: datetime.date | None, reason: str, by: object
) -> WithdrawalRight:
    """
    Say whether a client may withdraw from the contract, until when, and why.

    Effects, in order: the row is added; the trail says so.
    """
    right = WithdrawalRight.objects.create(
        commission=commission,
        applies_until=applies_until,
        reason=reason,
        by_words=str(by),
        at=clock.now(),
    )
    write_trail(
        actor=by,
        verb="said what holds of withdrawing",
        subject=commission.reference,
        facts={"until": applies_until.isoformat() if applies_until else "", "reason": reason},
    )
    return right


@transaction.atomic
def withdraw_from_contract(
    *, commission: Commission, name: str, words: str, access: ClientAccess
) -> Withdrawal:
    """
    Take a client's declaration that they withdraw.

    Effects, in order: the declaration is written, once; the studio is asked to end the commission and to pay
    back; the receipt with content, day and hour goes to the client as a letter; the trail says so.

    Raises:
        Refused: there is no such right, its day has passed, or it was used already.
    """
    if not may_withdraw(commission=commission):
        raise Refused("There is no right to withdraw here (any more).")
    try:
        with transaction.atomic():
            row = Withdrawal.objects.create(
                commission=commission, name=name, words=words, access=access, at=clock.now()
            )
    except IntegrityError:
        raise Refused("It was declared already.") from None
    open_question(
        commission=commission,
        key="money.withdrawal",
        addressee=Turn.US,
        words="The client has withdrawn: end the commission and pay back",
        client_words="We confirm and pay back",
        path=f"/studio/commissions/{commission.reference}/withdraw/",
        due_on=clock.add_working_days(clock.today(), 2),
    )
    write(
        name="withdrawal-received",
        to=access.email,
        dedupe_key=f"withdrawal:{row.pk}",
        subject_ref=commission.reference,
        language=access.language,
        zone=access.zone,
        discreet=commission.discreet or access.discreet,
        context={"said": words, "at": row.at},
    )
    write_trail(actor=f"client:{access.pk}", verb="withdrew from the contract", subject=commission.reference)
    return row
