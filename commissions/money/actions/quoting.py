"""Quoting: drafting the price of a design and sending it."""

from __future__ import annotations

import datetime
from decimal import Decimal

from django.db import transaction

from commissions.design.queries import agreed
from commissions.money.lines import NewLine, rounded
from commissions.money.models import Instalment, LineKind, Quote, QuoteLine, QuoteStatus
from commissions.money.plans import EVENTS, PLANS, parts_of
from commissions.record.actions import advance, answer_questions, open_question
from commissions.record.errors import Missing, Refused
from commissions.record.models import Commission
from commissions.record.route import Stage, Turn
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

VALID_DAYS = 14

WITHDRAWAL_EXCLUDED = (
    "This ring is made to your specification. For such goods there is no right to withdraw from the contract "
    "once it is made. Your rights if the ring is faulty or not as described are not touched by this."
)


def _row(*, quote: Quote, place: int, line: NewLine) -> QuoteLine:
    total = rounded(line.quantity * line.unit_minor)
    if line.quantity <= 0:
        raise Refused(f"{line.words}: the quantity must be more than nought.")
    if total < 0 and line.kind != LineKind.ADJUSTMENT:
        raise Refused(f"{line.words}: only an adjustment may lower the price.")
    return QuoteLine(
        quote=quote,
        place=place,
        kind=line.kind,
        words=line.words,
        quantity=line.quantity,
        unit=line.unit,
        unit_minor=line.unit_minor,
        cost_minor=line.cost_minor,
        total_minor=total,
        tax_code=line.tax_code,
        tax_rate=line.tax_rate,
        tax_minor=rounded(Decimal(total) * line.tax_rate / 100),
        computed_from=line.computed_from,
    )


@transaction.atomic
def draft_quote(
    *,
    commission: Commission,
    lines: list[NewLine],
    person: Person,
    plan: str = "40/30/30",
    note: str = "",
    tax_note: str = "",
    metal_clause: str = "",
    currency: str | None = None,
    country: str | None = None,
    withdrawal: str = WITHDRAWAL_EXCLUDED,
    second_currency: str = "",
    second_rate: Decimal | None = None,
    second_source: str = "",
    landed_duty: Decimal | None = None,
    landed_tax: Decimal | None = None,
    landed_source: str = "",
    landed_on: datetime.date | None = None,
) -> Quote:
    """
    Write the next version of the quotation as a draft, or the draft that stands anew.

    Effects, in order: the draft is made (or its lines are removed); every line is written with its
    rounded sum and its rounded tax.

    Raises:
        Refused: there is no line, no such plan, or a line is not possible.
    """
    if plan not in PLANS:
        raise Refused(f"There is no plan called {plan}.")
    if second_currency and not (second_rate and second_rate > 0 and second_source):
        raise Refused("A second currency needs its rate and where the rate comes from.")
    landed = landed_duty is not None or landed_tax is not None
    if landed and not (landed_source and landed_on):
        raise Refused("An estimate of customs and import tax needs its source and its day.")
    if not lines:
        raise Refused("A quotation needs at least one line.")
    quote = Quote.objects.select_for_update().filter(commission=commission, status=QuoteStatus.DRAFT).first()
    columns = {
        "revision": agreed(commission=commission),
        "currency": currency or commission.currency,
        "plan": plan,
        "note": note,
        "tax_note": tax_note,
        "metal_clause": metal_clause,
        "country": commission.client.country if country is None else country,
        "withdrawal": withdrawal,
        "second_currency": second_currency,
        "second_rate": second_rate,
        "second_source": second_source,
        "landed_duty": landed_duty,
        "landed_tax": landed_tax,
        "landed_source": landed_source if landed else "",
        "landed_on": landed_on if landed else None,
        "second_on": clock.today() if second_currency else None,
        "made_by": person,
        "made_at": clock.now(),
    }
    if quote:
        Quote.objects.filter(pk=quote.pk).update(**columns)
        quote.lines.all().delete()
        quote.refresh_from_db()
    else:
        last = Quote.objects.filter(commission=commission).order_by("-version").first()
        quote = Quote.objects.create(
            commission=commission, version=(last.version if last else 0) + 1, **columns
        )
    QuoteLine.objects.bulk_create(
        _row(quote=quote, place=place, line=line) for place, line in enumerate(lines, start=1)
    )
    return quote


def totals(quote: Quote) -> tuple[int, int, int]:
    """Net, tax and gross of a quotation in minor units: sums of rounded lines."""
    rows = quote.lines.values_list("total_minor", "tax_minor")
    net, tax = sum(row[0] for row in rows), sum(row[1] for row in rows)
    return net, tax, net + tax


@transaction.atomic
def send_quote(*, quote: Quote, person: Person, valid_until: datetime.date | None = None) -> Quote:
    """
    The door from Stones to Agreement: send the quotation; from here on it cannot be changed.

    Effects, in order: the quotation becomes *sent* only if it still is a draft; an earlier one that was
    sent is replaced; the plan's instalments are written; the stage moves where it still is Stones; the
    client's question is opened with the day the offer ends; the trail says so.

    Raises:
        Refused: no direction is agreed, seats have no stone, or the quotation is not a draft.
    """
    from commissions.money.queries import seats_missing

    commission = quote.commission
    missing = seats_missing(commission=commission, quote=quote)
    if missing:
        raise Refused(*missing)
    now = clock.now()
    valid_until = valid_until or clock.today() + datetime.timedelta(days=VALID_DAYS)
    Quote.objects.filter(commission=commission, status=QuoteStatus.SENT).exclude(pk=quote.pk).update(
        status=QuoteStatus.REPLACED
    )
    changed = Quote.objects.filter(pk=quote.pk, status=QuoteStatus.DRAFT).update(
        status=QuoteStatus.SENT, sent_at=now, valid_until=valid_until
    )
    if changed != 1:
        raise Refused("This quotation has been sent already.")
    quote.refresh_from_db()
    _net, _tax, gross = totals(quote)
    Instalment.objects.bulk_create(
        Instalment(quote=quote, number=number, event=event, words=EVENTS[event], minor=minor)
        for number, (event, minor) in enumerate(parts_of(total_minor=gross, plan=quote.plan), start=1)
    )
    if commission.stage == Stage.STONES:
        advance(
            commission=commission,
            to=Stage.AGREEMENT,
            door="money.send_quote",
            person=person,
            evidence={"quote": quote.version},
        )
    elif commission.stage != Stage.AGREEMENT:
        raise Refused(
            Missing(
                words="A quotation is sent when the direction is agreed.",
                path=f"/studio/commissions/{commission.reference}/design/",
            )
        )
    for prefix in ("stones.", "quote."):
        answer_questions(commission=commission, prefix=prefix, by_words=str(person))
    open_question(
        commission=commission,
        key=f"quote.answer:{quote.version}",
        addressee=Turn.CLIENT,
        words=f"Answer quotation {quote.version}",
        client_words="Read the quotation and tell us whether you agree",
        path=f"/studio/commissions/{commission.reference}/money/",
        client_path=f"/yours/{commission.reference}/money/",
        due_on=valid_until,
    )
    write_trail(
        actor=person, verb="sent a quotation", subject=commission.reference, facts={"version": quote.version}
    )
    return quote
