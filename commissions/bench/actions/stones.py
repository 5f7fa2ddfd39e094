"""Writes of what became of the small stones: counted at the bench, booked in the drawer's own book."""

from __future__ import annotations

from django.db import transaction

from commissions.bench import queries
from commissions.bench.models import StoneCount, StoneTally
from commissions.record import actions as record
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Turn
from commissions.sourcing.actions import move_lot
from commissions.sourcing.models import LotKind
from studio import clock
from studio.people.models import Person

REPLACE = "bench.replace"
"""Key of the question to issue stones for those that broke or were lost."""


def tally(*, count: StoneCount, lines: list[dict]) -> list[StoneTally]:
    """
    Keep the part of a count that is about each lot. Part of count_stones, never called alone.

    Effects: a row for each lot is written, with what was issued as the drawer's book has it now.

    Raises:
        Refused: a lot was not issued to this job.
    """
    issued = {row.lot.pk: row for row in queries.issued_lots(commission=count.commission)}
    rows = []
    for line in lines:
        found = issued.get(line["lot"])
        if found is None:
            raise Refused("One of these lots was not issued to this ring. Open the count again.")
        columns = {key: value for key, value in line.items() if key != "lot"}
        rows.append(
            StoneTally.objects.create(
                count=count, lot=found.lot, issued=found.issued, issued_mct=found.issued_mct, **columns
            )
        )
    return rows


def ask_for_replacement(*, commission: Commission) -> None:
    """
    Ask for stones in the place of those that broke or were lost, or stop asking.

    Effects: the question to us is opened with what lacks by size, or closed where nothing does.
    """
    lacking = queries.lacking(commission=commission)
    if not lacking:
        record.answer_question(commission=commission, key=REPLACE, by_words="nothing lacks any more")
        return
    words = ", ".join(f"{count} × {size} mm" for size, count in lacking.items())
    record.open_question(
        commission=commission,
        key=REPLACE,
        addressee=Turn.US,
        words=f"Issue {words} to this ring, to replace what broke or was lost"[:200],
        client_words="We are setting the stones",
        path=f"/studio/commissions/{commission.reference}/stones/order/",
        due_on=clock.today(),
        blocking=False,
    )


@transaction.atomic
def book_stones(*, commission: Commission, person: Person) -> int:
    """
    Write in the drawer's book what the last count found; how many movements it took.

    Effects, in order, for each lot: what is set, came back, broke and was lost is booked as far as it is not
    yet, so that nothing of the lot is out at the job any more; the question for replacement is closed.
    A stone that is in the ring takes the weight that is left.

    Raises:
        Refused: the drawer's book has more of one kind already than was counted.
    """
    issued = {row.lot.pk: row for row in queries.issued_lots(commission=commission)}
    made = 0
    for row in queries.tallies(commission=commission):
        made += _book(row=row, booked=issued[row.lot_id], commission=commission, person=person)
    record.answer_question(commission=commission, key=REPLACE, by_words=str(person))
    return made


def _book(*, row: StoneTally, booked, commission: Commission, person: Person) -> int:
    counts = {
        LotKind.RETURN: row.returned,
        LotKind.BROKEN: row.broken,
        LotKind.LOST: row.lost,
        LotKind.SET: row.set,
    }
    more = {kind: count - booked.booked[kind] for kind, count in counts.items()}
    if any(count < 0 for count in more.values()):
        raise Refused(
            f"The book of {row.lot} has more stones returned, broken, lost or set for this ring than were "
            "counted. Count again, or put the lot right."
        )
    left = row.issued_mct - sum(booked.booked_mct.values())
    last = [kind for kind, count in more.items() if count][-1:]
    for kind, count in more.items():
        if not count:
            continue
        weight = (
            row.returned_mct - booked.booked_mct[kind] if kind == LotKind.RETURN else row.mean_mct * count
        )
        weight = left if [kind] == last else max(0, min(left, round(weight)))
        left -= weight
        move_lot(
            lot=row.lot,
            kind=kind,
            count=count,
            weight_mct=weight,
            person=person,
            commission=commission,
            reason="counted at the bench" if kind in (LotKind.BROKEN, LotKind.LOST) else "",
        )
    return sum(1 for count in more.values() if count)
