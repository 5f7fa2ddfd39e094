"""What the page of one commission shows: the record itself, and a part from every room that has one."""

from __future__ import annotations

from commissions.bench import queries as bench
from commissions.delivery import queries as delivery
from commissions.design import queries as design
from commissions.money import queries as money
from commissions.pages.studio import forms
from commissions.record import queries as record
from commissions.record.models import Commission
from commissions.record.route import ROUTE, Stage, State
from commissions.sourcing import queries as sourcing
from studio import clock
from studio.people.models import Person

# Rooms that have a part on the page of one commission, in the order of the work.
PARTS = [design.piece_part, sourcing.piece_part, money.piece_part, bench.piece_part, delivery.piece_part]


def route_of(*, commission: Commission) -> list[dict]:
    """The stages of this commission with their date: done, now, next."""
    arrived: dict[str, object] = {}
    for move in commission.moves.all():
        arrived[move.to] = move.at
        if move.frm and ROUTE.index(move.to) < ROUTE.index(move.frm):
            # Going back opens again what lay between.
            for later in ROUTE[ROUTE.index(move.to) + 1 :]:
                arrived.pop(later, None)
    here = ROUTE.index(commission.stage)
    rows = []
    for place, (value, label) in enumerate(Stage.choices):
        if place < here:
            left_out = value not in arrived and value != Stage.BRIEF
            state = "skipped" if left_out else "done"
        else:
            state = (
                "now"
                if place == here and commission.state == State.OPEN
                else "done"
                if place == here
                else "next"
            )
        rows.append({"value": value, "label": label, "state": state, "at": arrived.get(value)})
    if commission.moves.all():
        rows[0]["at"] = commission.opened_at
    return [row for row in rows if row["value"] in commission.route]


def context_of(*, commission: Commission, person: Person) -> dict:
    """Everything the page of one commission needs."""
    days = (commission.needed_by - clock.today()).days if commission.needed_by else None
    parts = [part for room in PARTS if (part := room(commission=commission, person=person))]
    return {
        "commission": commission,
        "parts": parts,
        "drawing": design.mini_drawing(commission=commission.ring or commission),
        "route": route_of(commission=commission),
        "beads": commission.route.index(commission.stage),
        "questions": record.open_questions(commission=commission),
        "hold": record.active_hold(commission=commission),
        "days_left": days,
        "hold_form": forms.PlaceHold(),
        "last_messages": list(commission.messages.select_related("person").order_by("-id")[:3]),
        "promises": list(commission.promise_changes.order_by("-id")[:3]),
        "sees_money": person.is_owner,
    }
