"""Ending a commission: what is kept, why, and what is paid back."""

from __future__ import annotations

from django.db import transaction

from commissions.money.actions.committing import ACCOUNTS
from commissions.money.actions.exchanging import Foreign, keep_conversion, went_back
from commissions.money.actions.posting import credit, debit, post
from commissions.money.cancellation import statement
from commissions.money.models import Commitment, Entry
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
    refund that is due; stones and metal that cannot go back become a cost, what can stays in stock; the trail
    says so. None where nothing was paid and nothing is lost.

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
    Commission.objects.select_for_update().get(pk=commission.pk)
    standing = Entry.objects.filter(key=f"cancelled:{commission.reference}").first()
    if standing:
        return standing
    found = statement(commission=commission)
    lost = _lost_stock(commission, found.rows)
    if not found.settled and not lost:
        return None
    entry = post(
        key=f"cancelled:{commission.reference}",
        kind="cancellation",
        currency=commission.currency,
        lines=[
            debit("held", found.held, commission=commission),
            debit("sales-rings", found.sold, commission=commission),
            debit("tax-due", found.tax_before - found.tax_kept, commission=commission),
            credit("sales-services", found.kept - found.tax_kept, commission=commission),
            credit("refunds-due", found.refund, commission=commission),
            debit("cost-rings", sum(lost.values()), commission=commission),
            *[credit(code, minor, commission=commission) for code, minor in lost.items()],
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


def _lost_stock(commission: Commission, rows: list[Commitment]) -> dict[str, int]:
    """What stands in stock for a commission and cannot be got back, minor units by account."""
    from commissions.money import queries

    stock = queries.stock(commission=commission)
    lost: dict[str, int] = {}
    for row in rows:
        code = ACCOUNTS.get(row.kind, "")
        if code in stock:
            lost[code] = min(stock[code], lost.get(code, 0) + row.lost_minor)
    return {code: minor for code, minor in lost.items() if minor}


@transaction.atomic
def pay_refund(
    *,
    commission: Commission,
    minor: int,
    reference: str,
    person: Person,
    foreign: Foreign | None = None,
) -> Entry:
    """
    Enter a refund that was paid, the way the money came; *foreign* where it went back in another currency.

    Effects, in order: refunds due are debited and the bank credited, once for a *reference*, with a
    difference of rates on its own account; the trail says so.

    Raises:
        Refused: more would go back than is due.
    """
    from commissions.money import queries

    standing = Entry.objects.filter(key=f"refund:{commission.reference}:{reference}").first()
    if standing:
        return standing
    if not 0 < minor <= queries.refund_due(commission=commission):
        raise Refused("A refund is more than nought and no more than what is due.")
    bank, difference = [credit("bank", minor, commission=commission)], 0
    if foreign:
        bank, difference = went_back(foreign=foreign, minor=minor, commission=commission)
    entry = post(
        key=f"refund:{commission.reference}:{reference}",
        kind="refund",
        currency=commission.currency,
        lines=[
            debit("refunds-due", minor, commission=commission),
            *bank,
        ],
        memo=f"Paid back to {commission.client.full_name}",
        by_words=str(person),
        source=reference,
        commission=commission,
    )
    if foreign:
        keep_conversion(
            entry=entry, foreign=foreign, minor=minor, commission=commission, difference=difference
        )
    write_trail(actor=person, verb="paid back", subject=commission.reference, facts={"reference": reference})
    return entry
