"""Reads of the stone's condition."""

from __future__ import annotations

from commissions.record.errors import Missing
from commissions.record.models import Commission, Question
from commissions.sourcing import facts
from commissions.sourcing.models import (
    Bearer,
    Condition,
    ConditionPaper,
    Owner,
    PaperKind,
    SameStone,
    Stone,
)


def conditions(*, stone: Stone):
    """Every condition of a stone, the newest first, with its answers."""
    return Condition.objects.filter(stone=stone).prefetch_related("answers", "papers").order_by("-id")


def papers_wanting(*, limit: int = 20) -> list[tuple[Condition, str]]:
    """Conditions whose paper was not kept yet, as sent or as signed, oldest first."""
    rows = Condition.objects.select_related("stone__commission__client__access").order_by("id")
    sent = rows.exclude(papers__kind=PaperKind.SENT)[:limit]
    signed = rows.filter(answers__signed=True).exclude(papers__kind=PaperKind.SIGNED)[:limit]
    return [(row, PaperKind.SENT) for row in sent] + [(row, PaperKind.SIGNED) for row in signed]


def papers_of(*, condition: Condition) -> dict[str, ConditionPaper]:
    """The papers of a condition that are kept, by kind."""
    return {row.kind: row for row in condition.papers.all()}


def newest_condition(*, stone: Stone) -> Condition | None:
    """The condition that stands."""
    return conditions(stone=stone).first()


def signature(*, condition: Condition):
    """The client's signature under a condition, or None; nothing is asked where the answers came along."""
    return next((row for row in condition.answers.all() if row.signed), None)


def standing_of(*, stone: Stone) -> str:
    """Digest of the stone's facts as they stand now, to hold every condition of it against."""
    return facts.digest_of(facts.facts_of(stone))


def is_current(*, condition: Condition) -> bool:
    """Whether the stone still is as it was when the condition was written."""
    return condition.basis == facts.digest_of(facts.facts_of(condition.stone))


def same_stone(*, stone: Stone) -> SameStone | None:
    """The client's newest answer to *is this the stone you sent?*"""
    return SameStone.objects.filter(stone=stone).order_by("-id").first()


def same_is_asked(*, stone: Stone) -> bool:
    """Whether the client still is asked about the stone."""
    return Question.objects.filter(
        commission=stone.commission, key=f"stones.same:{stone.pk}", answered_at__isnull=True
    ).exists()


def waits_for_client(*, commission: Commission) -> dict[str, bool]:
    """Which of the stone's papers the client is asked about now."""
    keys = set(
        Question.objects.filter(
            commission=commission, key__startswith="stones.", answered_at__isnull=True
        ).values_list("key", flat=True)
    )
    return {
        "condition_waits": any(key.startswith("stones.condition:") for key in keys),
        "same_waits": any(key.startswith("stones.same:") for key in keys),
    }


def of_client(*, commission: Commission) -> Stone | None:
    """The stone a client is asked about: the chosen one, or else their own."""
    stones = Stone.objects.filter(commission=commission)
    return stones.filter(chosen_at__isnull=False).first() or stones.filter(owner=Owner.CLIENT).first()


def same_missing(*, commission: Commission) -> list[Missing]:
    """What is missing before anything is made for the client's own stone: their word that it is theirs."""
    stone = Stone.objects.filter(commission=commission, chosen_at__isnull=False, owner=Owner.CLIENT).first()
    if stone is None:
        return []
    answer = same_stone(stone=stone)
    if answer is not None and answer.same:
        return []
    return [
        Missing(
            words="The client has not said that this is the stone they sent.",
            path=f"/studio/stones/{stone.pk}/condition/",
        )
    ]


def condition_missing(*, commission: Commission) -> list[Missing]:
    """
    What is missing before the chosen stone may be set: a signed condition for a client's stone, or for one
    with a mark at the surface that no claw should bear on; for a client's stone their word that it is theirs.
    """
    stone = Stone.objects.filter(commission=commission, chosen_at__isnull=False).first()
    if stone is None:
        return []
    path = f"/studio/stones/{stone.pk}/condition/"
    theirs = stone.owner == Owner.CLIENT
    marks = facts.flagged(stone)
    rows = same_missing(commission=commission)
    condition = newest_condition(stone=stone)
    signed = condition is not None and signature(condition=condition) is not None
    if condition is not None and condition.bearer == Bearer.NOBODY:
        rows.append(Missing(words="We have said that we do not set this stone.", path=path))
    elif (theirs or marks or condition is not None) and not signed:
        why = "it is the client's own" if theirs else marks[0] if marks else "it was sent to the client"
        rows.append(Missing(words=f"The stone's condition is not signed, and {why}.", path=path))
    elif signed and not is_current(condition=condition):
        rows.append(
            Missing(
                words="The stone was measured or plotted anew after its condition was signed: send it again.",
                path=path,
            )
        )
    return rows
