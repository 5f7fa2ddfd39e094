"""Paying by card: opening a visit to the hosted page, and taking its notification."""

from __future__ import annotations

import secrets

from django.db import transaction

from commissions.money.actions.receiving import post_receipt
from commissions.money.cards import Notice
from commissions.money.models import CardPayment, Instalment
from commissions.record.errors import Refused
from studio import clock
from studio.trail.actions import record as write_trail


@transaction.atomic
def open_card_payment(*, instalment: Instalment) -> CardPayment:
    """
    Open a visit to the card page for what is missing of an instalment.

    Effects: the visit is written with a token that cannot be guessed.

    Raises:
        Refused: nothing is missing.
    """
    from commissions.money import queries

    missing = queries.outstanding(instalment=instalment)
    if missing <= 0:
        raise Refused("Nothing is due just now.")
    commission = instalment.quote.commission
    return CardPayment.objects.create(
        token=secrets.token_urlsafe(32),
        commission=commission,
        instalment=instalment,
        minor=missing,
        currency=commission.currency,
        made_at=clock.now(),
    )


@transaction.atomic
def take_notice(*, notice: Notice) -> CardPayment:
    """
    Take a notification of the card page whose signature was checked; a repeat changes nothing.

    Effects, in order: the sum is compared with what was asked for; a payment that was not made is left as it
    is; the receipt is entered into card clearing under the token, once; the visit is marked paid.

    Raises:
        Refused: there is no such visit, or the sum or currency is another (the trail says so).
    """
    payment = CardPayment.objects.select_related("commission__client").filter(token=notice.token).first()
    if payment is None:
        raise Refused("There is no such payment.")
    if (notice.minor, notice.currency) != (payment.minor, payment.currency):
        raise Refused("The sum is not the one that was asked for.")
    if not notice.paid or payment.paid_at:
        return payment
    entry = post_receipt(
        commission=payment.commission,
        minor=payment.minor,
        currency=payment.currency,
        reference=f"card payment {payment.pk}",
        by_words="card page",
        into="card-clearing",
    )
    changed = CardPayment.objects.filter(pk=payment.pk, paid_at__isnull=True).update(
        paid_at=clock.now(), entry=entry
    )
    if changed:
        write_trail(
            actor="card page",
            verb="told of a payment",
            subject=payment.commission.reference,
            facts={"payment": payment.pk},
        )
    payment.refresh_from_db()
    return payment
