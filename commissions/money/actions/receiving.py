"""Receiving: instalments asked for, receipts, and what is earned at handover."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.money.actions.agreeing import ask_to_begin
from commissions.money.actions.exchanging import Foreign, came_in, keep_conversion
from commissions.money.actions.posting import credit, debit, post
from commissions.money.actions.recognising import account_of_payments, recognise_at_completion, tax_in
from commissions.money.models import Entry, Instalment
from commissions.money.plans import EVENTS
from commissions.record.actions import answer_question, open_question
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Stage, Turn
from studio import clock
from studio.amounts import written

DUE_DAYS = 7


@transaction.atomic
def request_instalment(*, instalment: Instalment) -> None:
    """
    Ask the client for an instalment, less what is settled already.

    Effects, in order: the instalment is marked as asked for, once; the client's question is opened,
    unless it is settled already.
    """
    from commissions.money import queries

    quote = instalment.quote
    commission = quote.commission
    due = clock.today() + datetime.timedelta(days=DUE_DAYS)
    Instalment.objects.filter(pk=instalment.pk, requested_at__isnull=True).update(
        requested_at=clock.now(), due_on=due
    )
    if queries.outstanding(instalment=instalment) <= 0:
        _settle_questions(commission=commission, by_words="what is settled already")
        return
    key = "money.first-instalment" if instalment.number == 1 else f"money.instalment:{instalment.number}"
    open_question(
        commission=commission,
        key=key,
        addressee=Turn.CLIENT,
        words=f"Pay instalment {instalment.number}",
        client_words="Your next instalment is due",
        path=f"/studio/commissions/{commission.reference}/money/",
        client_path=f"/yours/{commission.reference}/money/",
        due_on=due,
        blocking=instalment.number == 1,
    )


@transaction.atomic
def event_happened(*, commission: Commission, event: str) -> int:
    """
    Ask for the instalments that are due at an event (``stones-set``, ``dispatch``); how many there were.

    Effects, in order: every instalment of the agreed plan that waits for the event and was not asked for is
    asked for; a ring that can be dispatched is complete, so where the studio's rule books sales on completion
    the sale is booked. A repeat does nothing twice.

    Raises:
        KeyError: there is no such event.
    """
    from commissions.money import queries

    if event not in EVENTS:
        raise KeyError(event)
    if event == "dispatch":
        recognise_at_completion(commission=commission, by_words="the last check")
    quote = queries.accepted_quote(commission=commission)
    if quote is None:
        return 0
    waiting = list(quote.instalments.filter(event=event, requested_at__isnull=True).select_related("quote"))
    for instalment in waiting:
        request_instalment(instalment=instalment)
    return len(waiting)


@transaction.atomic
def post_receipt(
    *,
    commission: Commission,
    minor: int,
    currency: str,
    reference: str,
    by_words: str,
    on: datetime.date | None = None,
    into: str = "bank",
    memo: str = "",
    foreign: Foreign | None = None,
) -> Entry:
    """
    Enter money that has come in for a commission; the same *reference* is entered once, however often it is sent.

    What came in another currency is given as *foreign*; *minor* is then the claim that it settles.

    Effects, in order: bank is debited and, by the studio's rule, the client's instalments are credited (a
    liability until handover) or sales, the tax in them to tax due where payments are its tax point; a
    difference of rates goes to its own account, and the rate is kept with both sums; questions about
    instalments that are settled by it are answered; when the first is settled the bench is asked to begin.

    Raises:
        Refused: the sum is not more than nought, or the currency is another.
    """
    if minor <= 0:
        raise Refused("A receipt is more than nought; money that goes out is a refund.")
    if currency != commission.currency:
        raise Refused(
            f"This commission is kept in {commission.currency}: enter the sum in that currency with its rate."
        )
    # One receipt of a commission at a time: the tax in it depends on what came before.
    Commission.objects.select_for_update().get(pk=commission.pk)
    held, tax = account_of_payments(commission=commission), tax_in(commission=commission, minor=minor)
    bank, difference = [debit(into, minor, commission=commission)], 0
    if foreign:
        bank, difference = came_in(foreign=foreign, minor=minor, commission=commission, into=into)
        memo = memo or (
            f"Received from {commission.client.full_name}: "
            f"{written(minor=foreign.minor, currency=foreign.currency, locale='en-gb')}, {foreign.rate}"
        )
    entry = post(
        key=f"receipt:{commission.reference}:{reference}",
        kind="receipt",
        currency=currency,
        lines=[
            *bank,
            credit("tax-due", tax, commission=commission),
            credit(held, minor - tax, commission=commission),
        ],
        memo=memo[:200] or f"Received from {commission.client.full_name}",
        by_words=by_words,
        on=on,
        source=reference,
        commission=commission,
    )
    if foreign:
        keep_conversion(
            entry=entry, foreign=foreign, minor=minor, commission=commission, difference=difference
        )
    _settle_questions(commission=commission, by_words=by_words)
    return entry


def _settle_questions(*, commission: Commission, by_words: str) -> None:
    from commissions.money import queries

    quote = queries.accepted_quote(commission=commission)
    if quote is None:
        return
    for instalment in quote.instalments.all():
        if queries.outstanding(instalment=instalment) > 0:
            continue
        first = instalment.number == 1
        key = "money.first-instalment" if first else f"money.instalment:{instalment.number}"
        answer_question(commission=commission, key=key, by_words=by_words)
        if first and commission.stage == Stage.AGREEMENT:
            ask_to_begin(commission=commission)
