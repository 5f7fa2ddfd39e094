"""Stones in the hands of somebody who leaves."""

from __future__ import annotations

from django.db.models import Q

from commissions.sourcing.models import LotKind, LotMove, Stone
from commissions.sourcing.queries.melee import _sums
from commissions.sourcing.queries.stones import HERE
from studio.people.leaving import Holding
from studio.people.models import Person


def held_by_person(*, person: Person) -> list[Holding]:
    """
    Centre stones handed over to them, and stones of a lot that were issued to them last: three queries at most.

    Who holds a stone is written by hand, as a full name or a first name; both count.
    """
    names = Q(holder__iexact=person.full_name) | Q(holder__iexact=person.first_name)
    stones = Stone.objects.filter(names, state__in=HERE).select_related("commission").order_by("id")
    found = [
        Holding(
            words=f"{stone.name}, {stone.weight_mct / 1000:.3f} ct" if stone.weight_mct else stone.name,
            path="/studio/stones/held/",
        )
        for stone in stones
    ]
    out = (
        LotMove.objects.filter(commission__isnull=False)
        .values("lot", "lot__name", "commission", "commission__reference")
        .annotate(**_sums())
        .filter(out_count__gt=0)
        .order_by("lot", "commission")
    )
    last = {
        (lot, commission): holder.casefold()
        for lot, commission, holder in LotMove.objects.filter(kind=LotKind.ISSUE)
        .order_by("id")
        .values_list("lot", "commission", "holder")
    }
    theirs = (person.full_name.casefold(), person.first_name.casefold())
    return found + [
        Holding(
            words=f"{row['out_count']} stones of {row['lot__name']} for {row['commission__reference']}, "
            f"{row['out_weight_mct'] / 1000:.3f} ct",
            path=f"/studio/stones/lots/{row['lot']}/",
        )
        for row in out
        if last.get((row["lot"], row["commission"])) in theirs
    ]
