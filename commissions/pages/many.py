"""Ten thousand invented commissions, for measuring pages against; never for the demo."""

from __future__ import annotations

import datetime
import random

from django.db import transaction

from commissions.intake.models import Client
from commissions.record.models import NO_DATE, Commission, Question
from commissions.record.route import ROUTE, Turn
from commissions.record.turn import RANKS
from studio import clock, references
from studio.people.models import ClientAccess

ACTS = (
    "Send the first design",
    "Answer revision B",
    "Choose a stone",
    "Pay the first instalment",
    "Cast",
    "Set the halo",
)
CUTS = ("Round", "Oval", "Cushion", "Pear", "Emerald", "Marquise")
COUNTRIES = ("GB", "DE", "NO", "JP", "CA", "IE", "BR", "AU", "US", "SG")
TURNS = (Turn.US, Turn.CLIENT, Turn.SUPPLIER)


@transaction.atomic
def seed(*, count: int, clients: int = 500) -> int:
    """
    Write *count* open commissions with one open question each, the same for the same count.

    Effects, in order: clients, commissions and questions are written in bulk.
    """
    dice = random.Random(count)  # noqa: S311  (a measure wants the same rows every time)
    now, today = clock.now(), clock.today()
    tag = references.new_reference()
    ways = ClientAccess.objects.bulk_create(
        ClientAccess(email=f"{tag.lower()}-{n}@client.example", zone="Europe/London", created_at=now)
        for n in range(clients)
    )
    people = Client.objects.bulk_create(
        Client(access=way, full_name=f"Client {n:04d}", country=dice.choice(COUNTRIES), created_at=now)
        for n, way in enumerate(ways)
    )
    taken: set[str] = set(Commission.objects.values_list("reference", flat=True))
    rows = []
    while len(rows) < count:
        reference = references.new_reference()
        if reference in taken:
            continue
        taken.add(reference)
        needed = today + datetime.timedelta(days=dice.randrange(-20, 300)) if dice.random() < 0.9 else None
        turn, due = dice.choice(TURNS), today + datetime.timedelta(days=dice.randrange(-10, 40))
        rows.append(
            Commission(
                reference=reference,
                client=dice.choice(people),
                stage=dice.choice(ROUTE[1:]),
                currency="GBP",
                title=f"{dice.choice(CUTS)} {dice.uniform(4, 9):.2f} in a halo of {dice.randrange(14, 26)}",
                discreet=dice.random() < 0.2,
                needed_by=needed,
                needed_sort=needed or NO_DATE,
                opened_at=now,
                turn=turn,
                turn_rank=RANKS[turn],
                next_act=dice.choice(ACTS),
                next_due=due,
                waiting_since=now - datetime.timedelta(days=dice.randrange(0, 15)),
            )
        )
    made = Commission.objects.bulk_create(rows, batch_size=2000)
    Question.objects.bulk_create(
        (
            Question(
                commission=row,
                key="seed",
                addressee=row.turn,
                words=row.next_act,
                due_on=row.next_due,
                opened_at=row.waiting_since,
            )
            for row in made
        ),
        batch_size=2000,
    )
    return len(made)
