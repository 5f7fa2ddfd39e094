"""The stone's condition, put to the client and signed; and whether it is the stone they sent."""

from __future__ import annotations

from django.db import transaction

from commissions.record.actions import answer_question, open_question
from commissions.record.errors import Missing, Refused
from commissions.record.route import Turn
from commissions.sourcing.facts import digest_of, facts_of, flagged, shown_of
from commissions.sourcing.models import (
    Bearer,
    Condition,
    ConditionAnswer,
    Owner,
    SameStone,
    Stone,
    StonePhoto,
    StoneState,
)
from commissions.sourcing.queries.conditions import newest_condition
from commissions.sourcing.queries.stones import newest_check_in
from studio import clock
from studio.outbox.queue import nudge
from studio.people.models import ClientAccess, Person
from studio.trail.actions import record as write_trail

ANSWER_DAYS = 5


def _stones_path(stone: Stone) -> str:
    return f"/studio/stones/{stone.pk}/condition/"


def _yours(stone: Stone, part: str) -> str:
    return f"/yours/{stone.commission.reference}/stones/{part}/"


@transaction.atomic
def send_condition(
    *,
    stone: Stone,
    bearer: str,
    risk: str,
    setting: str,
    damage: str,
    remedy: str,
    insurance: str,
    person: Person,
) -> Condition:
    """
    Put the condition of a stone to the client.

    Effects, in order: everything that will be signed is frozen with its digest under the next number, words,
    plot and photographs; the client sees these photographs from now on and is asked to read and sign; the
    paper is asked for; the trail says so.

    Raises:
        Refused: the stone is not checked in, belongs to no commission, or the client would accept a risk
            that nobody has named.
    """
    if stone.commission is None:
        raise Refused("This stone belongs to no commission.")
    if newest_check_in(stone=stone) is None:
        raise Refused(Missing(words="Check the stone in first.", path=f"/studio/stones/{stone.pk}/check-in/"))
    if bearer == Bearer.CLIENT and not risk.strip():
        raise Refused("Name the risk: nobody can accept one that is not written down.")
    facts = facts_of(stone)
    content = {
        "stone": facts,
        "flagged": flagged(stone),
        "bearer": Bearer(bearer).value,
        "risk": risk,
        "setting": setting,
        "damage": damage,
        "remedy": remedy,
        "insurance": insurance,
        "shown": shown_of(stone),
    }
    number = Condition.objects.select_for_update().filter(stone=stone).count() + 1
    row = Condition.objects.create(
        stone=stone,
        number=number,
        bearer=bearer,
        content=content,
        digest=digest_of(content),
        basis=digest_of(facts),
        by_words=str(person),
        sent_at=clock.now(),
    )
    StonePhoto.objects.filter(stone=stone, shown_at__isnull=True).update(shown_at=clock.now())
    nudge()
    open_question(
        commission=stone.commission,
        key=f"stones.condition:{stone.pk}",
        addressee=Turn.CLIENT,
        words="Sign the condition of the stone",
        client_words="Read the condition of your stone and sign it",
        path=_stones_path(stone),
        client_path=_yours(stone, "condition"),
        due_on=clock.add_working_days(clock.today(), ANSWER_DAYS),
    )
    write_trail(
        actor=person,
        verb="sent a stone's condition",
        subject=stone.commission.reference,
        facts={"stone": stone.pk, "number": number, "digest": row.digest},
    )
    return row


@transaction.atomic
def answer_condition(
    *,
    condition: Condition,
    signed: bool,
    shown_digest: str,
    words: str,
    method: str,
    by_words: str,
    access: ClientAccess | None = None,
) -> ConditionAnswer:
    """
    Keep what the client says to a condition.

    Effects, in order: the answer is written with the digest of what was shown; the client's question is
    answered; what they ask becomes ours to answer; of a signed one the paper is asked for; the trail says so.

    Raises:
        Refused: a newer condition stands, the stone was measured or plotted anew since, what was shown is
            not this one, it is signed already, or a question has no words.
    """
    stone = condition.stone
    newest = newest_condition(stone=stone)
    if newest is None or newest.pk != condition.pk or shown_digest != condition.digest:
        raise Refused("A newer condition has been sent. Please read that one.")
    if signed and condition.basis != digest_of(facts_of(stone)):
        raise Refused(
            "The stone has been measured or examined again since. We will send you its condition anew."
        )
    if condition.answers.select_for_update().filter(signed=True).exists():
        raise Refused("This condition is signed already.")
    if not signed and not words.strip():
        raise Refused("Tell us in a few words what you would like to know or change.")
    row = ConditionAnswer.objects.create(
        condition=condition,
        signed=signed,
        words=words,
        digest=condition.digest,
        method=method,
        access=access,
        by_words=by_words,
        at=clock.now(),
    )
    answer_question(commission=stone.commission, key=f"stones.condition:{stone.pk}", by_words=by_words)
    if not signed:
        open_question(
            commission=stone.commission,
            key=f"stones.condition-reply:{stone.pk}",
            addressee=Turn.US,
            words="Answer what the client asks about the stone's condition",
            client_words="We are answering what you asked about your stone",
            path=_stones_path(stone),
            due_on=clock.add_working_days(clock.today(), 2),
        )
    else:
        answer_question(
            commission=stone.commission, key=f"stones.condition-reply:{stone.pk}", by_words=by_words
        )
        nudge()
    write_trail(
        actor=by_words,
        verb="signed a stone's condition" if signed else "asked about a stone's condition",
        subject=stone.commission.reference,
        facts={"stone": stone.pk, "number": condition.number, "digest": condition.digest},
    )
    return row


@transaction.atomic
def ask_same_stone(*, stone: Stone, person: Person) -> None:
    """
    Show the client the photographs of their own stone and ask: is this the stone you sent?

    Effects, in order: the photographs become visible to the client; our own question is answered; the
    client's is opened, due in three working days; the trail says so.

    Raises:
        Refused: it is not the client's stone, or there is no photograph to look at.
    """
    if stone.owner != Owner.CLIENT or stone.commission is None:
        raise Refused("Only a client's own stone is asked about.")
    shown = StonePhoto.objects.filter(stone=stone, shown_at__isnull=True).update(shown_at=clock.now())
    if not shown and not StonePhoto.objects.filter(stone=stone).exists():
        raise Refused("Take a photograph first: the client has to see the stone.")
    answer_question(commission=stone.commission, key=f"stones.show:{stone.pk}", by_words=str(person))
    open_question(
        commission=stone.commission,
        key=f"stones.same:{stone.pk}",
        addressee=Turn.CLIENT,
        words="Is this the stone the client sent?",
        client_words="Tell us whether this is the stone you sent",
        path=_stones_path(stone),
        client_path=_yours(stone, "same"),
        due_on=clock.add_working_days(clock.today(), 3),
    )
    write_trail(
        actor=person,
        verb="asked whether it is the stone",
        subject=stone.commission.reference,
        facts={"stone": stone.pk},
    )


@transaction.atomic
def answer_same_stone(
    *, stone: Stone, same: bool, words: str, by_words: str, access: ClientAccess | None = None
) -> SameStone:
    """
    Keep the client's answer to *is this the stone you sent?*

    Effects, in order: the answer is written; the question is answered; a *no* puts the stone into
    quarantine and opens a question to us; the trail says so.

    Raises:
        Refused: nobody asked, or a *no* has no words.
    """
    if not same and not words.strip():
        raise Refused("Tell us what looks different.")
    commission = stone.commission
    if not answer_question(commission=commission, key=f"stones.same:{stone.pk}", by_words=by_words):
        raise Refused("This question is answered already.")
    row = SameStone.objects.create(
        stone=stone, same=same, words=words, access=access, by_words=by_words, at=clock.now()
    )
    if not same:
        Stone.objects.filter(pk=stone.pk).update(state=StoneState.QUARANTINE)
        open_question(
            commission=commission,
            key=f"stones.other:{stone.pk}",
            addressee=Turn.US,
            words="The client says this is not the stone they sent: ring them today, and cut nothing",
            client_words="We are looking into your stone",
            path=_stones_path(stone),
            due_on=clock.today(),
        )
    write_trail(
        actor=by_words,
        verb="knew the stone" if same else "did not know the stone",
        subject=commission.reference,
        facts={"stone": stone.pk},
    )
    return row
