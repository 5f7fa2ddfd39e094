"""
A process that enters money, to be run many at once or killed in the middle.

``python -m tests.commissions.money.poster seed|post|half``
"""

from __future__ import annotations

import sys
import time

import django

CARD = "a-visit-to-the-card-page"
SUM = 4321


def seed() -> None:
    """The tables, one owner, one commission with an instalment that is asked for and a visit to the card page."""
    from django.core.management import call_command

    from commissions.money.models import CardPayment, Instalment, Quote
    from commissions.record.actions import open_commission
    from studio import clock
    from tests.cast import person, ring_client

    call_command("migrate", verbosity=0, interactive=False, skip_checks=True)
    owner = person(email="o@studio.example", full_name="O", role="owner")
    made = open_commission(client=ring_client(), title="Ring", currency="GBP", person=owner)
    quote = Quote.objects.create(
        commission=made, version=1, currency="GBP", status="accepted", made_by=owner, made_at=clock.now()
    )
    part = Instalment.objects.create(quote=quote, number=1, event="agreement", words="x", minor=10**6)
    CardPayment.objects.create(
        token=CARD, commission=made, instalment=part, minor=SUM, currency="GBP", made_at=clock.now()
    )
    print("seeded", flush=True)


def post(times: int = 15) -> None:
    """The same fifteen receipts and the same notification three times over as everybody else."""
    from commissions.money.actions import post_receipt, take_notice
    from commissions.money.cards import Notice
    from commissions.record.models import Commission

    commission = Commission.objects.select_related("client").get()
    for number in range(times):
        post_receipt(
            commission=commission, minor=1000 + number, currency="GBP", reference=f"B-{number}", by_words="O"
        )
        if number % 5 == 0:
            take_notice(notice=Notice(token=CARD, minor=SUM, currency="GBP", paid=True))
    print("done", flush=True)


def half() -> None:
    """Stop for good in the middle of an entry: its head and one side are written, nothing is committed."""
    from commissions.money.actions import posting

    def one_side(rows):
        first = next(iter(rows))
        first.save()
        print("half", flush=True)
        time.sleep(60)

    posting.Posting.objects.bulk_create = one_side
    post(times=1)


if __name__ == "__main__":
    django.setup()
    {"seed": seed, "post": post, "half": half}[sys.argv[1]]()
