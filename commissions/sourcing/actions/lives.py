"""What becomes of the chosen stone once the bench has it: out to the setter, set, or broken and lost."""

from __future__ import annotations

from django.db import transaction

from commissions.record.actions import open_question
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Turn
from commissions.sourcing.actions.stones import GONE
from commissions.sourcing.models import Custody, Stone, StoneState
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

READY = (StoneState.CANDIDATE, StoneState.ON_APPROVAL, StoneState.CHECKED_IN)


def _custody(*, stone: Stone, holder: str, reason: str, by_words: str) -> None:
    Stone.objects.filter(pk=stone.pk).update(holder=holder)
    Custody.objects.create(stone=stone, holder=holder, reason=reason, by_words=by_words, at=clock.now())


@transaction.atomic
def issue_chosen(*, commission: Commission, person: Person) -> bool:
    """
    Give the chosen stone to whoever begins to set it; False where there is none to give.

    Effects, in order: the stone becomes *issued*, only if it still lies here; its holder is written.
    """
    stone = Stone.objects.filter(commission=commission, chosen_at__isnull=False).first()
    if stone is None:
        return False
    changed = Stone.objects.filter(pk=stone.pk, state__in=READY).update(state=StoneState.ISSUED)
    if changed != 1:
        return False
    _custody(stone=stone, holder=person.full_name, reason="issued for setting", by_words=str(person))
    return True


@transaction.atomic
def set_chosen(*, commission: Commission, person: Person) -> bool:
    """
    Write that the chosen stone is in its ring; False where it was so already.

    Effects, in order: the stone becomes *set*, only if it is here or issued; it is with the ring from now on.
    """
    stone = Stone.objects.filter(commission=commission, chosen_at__isnull=False).first()
    if stone is None:
        return False
    changed = Stone.objects.filter(pk=stone.pk, state__in=(*READY, StoneState.ISSUED)).update(
        state=StoneState.SET
    )
    if changed != 1:
        return False
    _custody(stone=stone, holder=f"In its ring {commission.reference}", reason="set", by_words=str(person))
    return True


@transaction.atomic
def write_off(*, stone: Stone, kind: str, reason: str, person: Person) -> Stone:
    """
    Write that a stone is broken or lost.

    Effects, in order: the stone becomes *broken* or *lost*, only if it was not gone; nobody holds a lost one;
    for a commission, telling the client and finding another becomes ours today; the trail says so.

    Raises:
        Refused: nobody says what happened, or the stone has gone already.
    """
    kind = StoneState(kind)
    if kind not in (StoneState.BROKEN, StoneState.LOST):
        raise Refused("A stone is broken or lost.")
    if not reason.strip():
        raise Refused("Say what happened, as you would tell it to the stone's owner.")
    changed = Stone.objects.filter(pk=stone.pk).exclude(state__in=GONE).update(state=kind)
    if changed != 1:
        raise Refused("This stone is no longer here.")
    holder = "" if kind == StoneState.LOST else stone.holder
    _custody(stone=stone, holder=holder, reason=f"{kind.label.lower()}: {reason}"[:200], by_words=str(person))
    if stone.commission:
        if stone.chosen_at:
            open_question(
                commission=stone.commission,
                key=f"stones.gone:{stone.pk}",
                addressee=Turn.US,
                words=f"{stone.name} is {kind.label.lower()}: ring its owner today, tell your insurer, find another",
                client_words="We have to speak with you about your stone",
                path=f"/studio/stones/{stone.pk}/check-in/",
                due_on=clock.today(),
            )
        write_trail(
            actor=person,
            verb=f"wrote a stone off as {kind.value}",
            subject=stone.commission.reference,
            facts={"stone": stone.pk, "reason": reason},
        )
    stone.refresh_from_db()
    return stone
