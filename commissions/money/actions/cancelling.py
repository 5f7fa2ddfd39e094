"""Ending a commission: what is kept, why, and what is paid back."""

from __future__ import annotations

from django.db import transaction

from commissions.money.actions.posting import credit, debit, post
from commissions.money.cancellation import statement
from commissions.money.models import Entry
from commissions.record.errors import Missing, Refused
from commissions.record.models import Commission
from commissions.record.route import State
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def settle_cancellation(*, commission: Commission, person: Person) -> Entry | None:
    """
    Enter the cancellation statement of a commission that was withdrawn, once.

    Effects, in order: what is kept becomes a sale of services, with its share of the tax; the rest becomes a
    refund that is due; the trail says so. None where nothing was held.

    Raises:
        Refused: the commission is not withdrawn.
    """
    if commission.state != State.WITHDRAWN:
        raise Refused(
            Missing(
                words="Withdraw the commission first.",
                path=f"/studio/commissions/{commission.reference}/withdraw/",
            )
        )
    found = statement(commission=commission)
    if not found.held and not found.tax_before:
        return None
    entry = post(
        key=f"cancelled:{commission.reference}",
        kind="cancellation",
        currency=commission.currency,
        lines=[
            debit("held", found.held, commission=commission),
            debit("tax-due", found.tax_before - found.tax_kept, commission=commission),
            credit("sales-services", found.kept - found.tax_kept, commission=commission),
            credit("refunds-due", found.refund, commission=commission),
        ],
        memo="Cancellation statement",
        by_words=str(person),
        source=f"cancellation:{commission.reference}",
        commission=commission,
    )
    write_trail(
        actor=person,
        verb="settled a cancellation",
        subject=commission.reference,
        facts={"kept": found.kept, "refund": found.refund},
    )
    return entry


@transaction.atomic
def pay_refund(*, commission: Commission, minor: int, reference: str, person: Person) -> Entry:
    """
    Enter a refund that was paid, the way the money came.

    Effects, in order: refunds due are debited and the bank credited, once for a *reference*; the trail says so.

    Raises:
        Refused: more would go back than is due.
    """
    from commissions.money import queries

    standing = Entry.objects.filter(key=f"refund:{commission.reference}:{reference}").first()
    if standing:
        return standing
    if not 0 < minor <= queries.refund_due(commission=commission):
        raise Refused("A refund is more than nought and no more than what is due.")
    entry = post(
        key=f"refund:{commission.reference}:{reference}",
        kind="refund",
        currency=commission.currency,
        lines=[
            debit("refunds-due", minor, commission=commission),
            credit("bank", minor, commission=commission),
        ],
        memo=f"Paid back to {commission.client.full_name}",
        by_words=str(person),
        source=reference,
        commission=commission,
    )
    write_trail(actor=person, verb="paid back", subject=commission.reference, facts={"reference": reference})
    return entry
