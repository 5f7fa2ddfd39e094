"""From a brief to a commission."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.intake.actions import find_or_make_client, mark_answered
from commissions.intake.forms import Look
from commissions.intake.models import Brief
from commissions.record.actions import open_commission
from commissions.record.models import Commission
from studio.people.models import Person


def proposal(*, brief: Brief) -> dict:
    """What the answers of a brief propose for its commission: title, currency, date, surprise."""
    shapes = brief.answer("look").get("shapes", [])
    names = [str(dict(Look.SHAPES)[shape]) for shape in shapes if shape != "unknown"]
    stone = {
        "laboratory-grown": "laboratory-grown ",
        "natural": "natural ",
        "own": "the client’s own ",
    }.get(brief.answer("stone").get("intent"), "")
    shape = (
        names[0].lower()
        if len(names) == 1
        else "stone, shape open"
        if not names
        else " or ".join(names).lower()
    )
    title = f"{stone}{shape} in a halo".strip()
    on = brief.answer("date").get("on", "")
    return {
        "title": title[0].upper() + title[1:],
        "currency": brief.answer("budget").get("currency", ""),
        "needed_by": datetime.date.fromisoformat(on) if on else None,
        "discreet": brief.discreet,
    }


@transaction.atomic
def open_from_brief(
    *,
    brief: Brief,
    title: str,
    currency: str,
    needed_by: datetime.date | None,
    discreet: bool,
    person: Person,
) -> Commission:
    """
    Open a commission from a brief, under the brief's own reference.

    Effects, in order: the brief is marked answered, only if nobody has answered it; the client is found by
    their proven address or made; the commission is opened at *Design* with its first move; the move's
    evidence names the brief by its digest.

    Raises:
        BriefClosed: the brief was answered or declined in the meantime.
    """
    mark_answered(brief=brief, by=person)
    client = find_or_make_client(brief=brief, discreet=discreet)
    return open_commission(
        client=client,
        title=title,
        currency=currency,
        person=person,
        needed_by=needed_by,
        discreet=discreet,
        reference=brief.reference,
        evidence={"brief": brief.reference, "digest": brief.digest},
    )
