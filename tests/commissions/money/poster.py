"""
A process that enters receipts, to be run many at once or killed in the middle.

``python -m tests.commissions.money.poster seed|post|half|look``
"""

from __future__ import annotations

import json
import sys
import time

import django


def seed() -> None:
    """One owner, one commission; its reference on stdout."""
    from commissions.record.actions import open_commission
    from tests.cast import person, ring_client

    owner = person(email="o@studio.example", full_name="O", role="owner")
    made = open_commission(client=ring_client(), title="Ring", currency="GBP", person=owner)
    print(made.reference, flush=True)


def post(times: int = 15) -> None:
    """The same fifteen receipts as everybody else."""
    from commissions.money.actions import post_receipt
    from commissions.record.models import Commission

    commission = Commission.objects.select_related("client").get()
    for number in range(times):
        post_receipt(
            commission=commission, minor=1000 + number, currency="GBP", reference=f"B-{number}", by_words="O"
        )
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


def look() -> None:
    """Entries, postings and the balance, as JSON."""
    from django.db.models import Sum

    from commissions.money.models import Entry, Posting

    total = Posting.objects.aggregate(total=Sum("minor"))["total"] or 0
    bank = Posting.objects.filter(account__code="bank").aggregate(total=Sum("minor"))["total"] or 0
    print(json.dumps([Entry.objects.count(), Posting.objects.count(), total, bank]), flush=True)


if __name__ == "__main__":
    django.setup()
    {"seed": seed, "post": post, "half": half, "look": look}[sys.argv[1]]()
