"""Reads that join rooms for the studio's pages; the number of queries never grows with rows."""

from __future__ import annotations

import contextlib
import datetime
from dataclasses import dataclass

from django.db.models import Q

from commissions.intake.queries import waiting_briefs
from commissions.record.models import NO_DATE, Commission
from commissions.record.route import ROUTE, SMALL_ROUTE, Stage, State, Turn
from studio import clock
from studio.keeping.models import Erasure, Outcome

PAGE = 50
COLUMNS = (
    "id",
    "reference",
    "title",
    "stage",
    "state",
    "turn",
    "turn_rank",
    "next_act",
    "next_due",
    "next_path",
    "waiting_since",
    "needed_by",
    "needed_sort",
    "discreet",
    "ring_id",
    "client__full_name",
    "client__country",
)


@dataclass(frozen=True, kw_only=True)
class Row:
    """One commission in a list, everything worked out so that the template only writes it down."""

    reference: str
    title: str
    client: str
    country: str
    discreet: bool
    stage: str
    beads: int
    stages: int
    turn: str
    turn_words: str
    act: str
    due: datetime.date | None
    late: bool
    needed_by: datetime.date | None
    days_waiting: int | None
    in_care: bool
    cursor: str


LABELS = {str(value): str(label) for value, label in Stage.choices}
TURNS = {
    Turn.US: "With us",
    Turn.CLIENT: "With client",
    Turn.SUPPLIER: "With a supplier",
    Turn.HOLD: "On hold",
}


def row_of(values: dict, *, today: datetime.date) -> Row:
    """A list row from the columns of one commission."""
    due = values["next_due"]
    since = values["waiting_since"]
    route = SMALL_ROUTE if values["ring_id"] else ROUTE
    return Row(
        reference=values["reference"],
        title=values["title"],
        client=values["client__full_name"],
        country=values["client__country"],
        discreet=values["discreet"],
        stage=LABELS[values["stage"]],
        beads=route.index(values["stage"]),
        stages=len(route),
        turn=values["turn"],
        turn_words=TURNS[Turn(values["turn"])]
        if values["state"] == State.OPEN
        else State(values["state"]).label,
        act=values["next_act"],
        due=due,
        late=bool(due and due < today),
        needed_by=values["needed_by"],
        days_waiting=(today - since.date()).days if since else None,
        in_care=values["stage"] == Stage.CARE,
        cursor=f"{values['needed_sort']:%Y%m%d}.{values['turn_rank']}.{values['id']}",
    )


def _after(cursor: str):
    date, rank, pk = cursor.split(".")
    date, rank, pk = (
        datetime.datetime.strptime(date, "%Y%m%d").replace(tzinfo=datetime.UTC).date(),
        int(rank),
        int(pk),
    )
    return Q(needed_sort__gt=date) | Q(needed_sort=date) & (
        Q(turn_rank__gt=rank) | Q(turn_rank=rank, id__gt=pk)
    )


def commissions_page(
    *, after: str = "", turn: str = "", stage: str = "", words: str = "", state: str = State.OPEN
) -> tuple[list[Row], str]:
    """
    One page of commissions in the order of need and turn, and the cursor of the next page (empty at the end).

    The page begins after a place in the order, not after a number of rows, so a deep page costs what the first does.
    """
    rows = Commission.objects.filter(state=state)
    if turn in Turn.values:
        rows = rows.filter(turn=turn)
    if stage in Stage.values:
        rows = rows.filter(stage=stage)
    if words:
        rows = rows.filter(
            Q(reference__istartswith=words)
            | Q(title__icontains=words)
            | Q(client__full_name__icontains=words)
        )
    # Somebody may have played with the address: then the list begins at the beginning.
    with contextlib.suppress(ValueError):
        rows = rows.filter(_after(after)) if after else rows
    values = list(rows.order_by("needed_sort", "turn_rank", "id").values(*COLUMNS)[: PAGE + 1])
    today = clock.today()
    page = [row_of(value, today=today) for value in values[:PAGE]]
    return page, page[-1].cursor if len(values) > PAGE else ""


@dataclass(frozen=True, kw_only=True)
class Group:
    """One part of Today: whose turn, its rows, and whether there are more than are shown."""

    turn: str
    title: str
    column: str
    rows: list[Row]
    more: bool


GROUPS = [
    (Turn.US, "With us", "By"),
    (Turn.CLIENT, "With clients", "Waiting"),
    (Turn.SUPPLIER, "With suppliers", "Due"),
    (Turn.HOLD, "On hold", "Waiting"),
]
TODAY_ROWS = 20


def today_groups() -> list[Group]:
    """What needs us, what waits for whom: one query a group, the earliest first."""
    today = clock.today()
    groups = []
    for turn, title, column in GROUPS:
        values = list(
            Commission.objects.filter(state=State.OPEN, turn=turn)
            # A ring in care waits for nobody until its next date is near.
            .exclude(stage=Stage.CARE, next_due__gt=today + datetime.timedelta(days=14))
            .order_by("next_due", "id")
            .values(*COLUMNS)[: TODAY_ROWS + 1]
        )
        groups.append(
            Group(
                turn=turn,
                title=title,
                column=column,
                more=len(values) > TODAY_ROWS,
                rows=[row_of(value, today=today) for value in values[:TODAY_ROWS]],
            )
        )
    return groups


def falling_due(*, days: int = 7):
    """Promised dates of the coming days, and those that have passed."""
    until = clock.today() + datetime.timedelta(days=days)
    return list(
        Commission.objects.filter(state=State.OPEN, promised_on__lte=until)
        .exclude(stage=Stage.CARE)
        .order_by("promised_on", "id")
        .values("reference", "title", "promised_on", "client__full_name")[:20]
    )


def briefs_to_answer():
    """Briefs that nobody has answered yet."""
    return waiting_briefs()


def wishes_to_be_forgotten() -> int:
    """How many clients ask to be forgotten and wait for an answer."""
    return Erasure.objects.filter(outcome=Outcome.ASKED).count()


__all__ = [
    "NO_DATE",
    "briefs_to_answer",
    "commissions_page",
    "falling_due",
    "today_groups",
    "wishes_to_be_forgotten",
]
