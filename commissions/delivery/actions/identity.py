"""Writes of the same-stone proof and of what is said of treatments."""

from __future__ import annotations

from django.db import transaction

from commissions.delivery.models import Disclosure, HowRead, SecondReading, Treated
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Stage
from commissions.sourcing import queries as sourcing
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


def _plain(typed: str) -> str:
    """An inscription without blanks, hyphens and case: what is compared."""
    return "".join(sign for sign in typed.casefold() if sign.isalnum())


@transaction.atomic
def read_again(
    *, commission: Commission, how: str, typed: str, agrees: bool | None, words: str, person: Person
) -> SecondReading:
    """
    Keep the inscription as it was read after setting, typed without the first reading in sight.

    Effects, in order: the reading is added and compared with what was read before setting (for a plot the person's
    own word counts); the trail says so.

    Raises:
        Refused: the ring is not finished, has no stone that was checked in, or what is needed is missing.
    """
    stone = sourcing.chosen(commission=commission)
    seen = sourcing.newest_check_in(stone=stone) if stone else None
    missing = []
    if commission.stage not in (Stage.CHECKING, Stage.HANDOVER):
        missing.append("The inscription is read again when the ring is set, and before it leaves.")
    if seen is None:
        missing.append("The centre was never checked in: there is nothing to compare with.")
    elif how == HowRead.READ and not seen.inscription_typed:
        missing.append("No inscription was read before setting: compare the inclusions with the plot.")
    if how == HowRead.READ and not typed.strip():
        missing.append("Type what you read on the girdle.")
    if how == HowRead.PLOT and agrees is None:
        missing.append("Say whether the inclusions agree with the plot.")
    if how == HowRead.NOT and not words.strip():
        missing.append("Say why neither could be done.")
    if missing:
        raise Refused(*missing)
    fits = (
        _plain(typed) == _plain(seen.inscription_typed)
        if how == HowRead.READ
        else how == HowRead.PLOT and bool(agrees)
    )
    row = SecondReading.objects.create(
        commission=commission,
        stone=stone,
        how=how,
        typed=typed.strip() if how == HowRead.READ else "",
        fits=fits,
        words=words.strip(),
        by_words=str(person),
        at=clock.now(),
    )
    write_trail(
        actor=person,
        verb="read the inscription again",
        subject=commission.reference,
        facts={"how": how, "fits": fits},
    )
    return row


@transaction.atomic
def disclose(
    *, commission: Commission, treated: str, words: str, care_words: str, source: str, person: Person
) -> Disclosure:
    """
    Keep what the papers say of treatments of the centre.

    Effects, in order: the words are added, and the newest count; the trail says so.

    Raises:
        Refused: a treatment without its name, or no source.
    """
    missing = []
    if treated == Treated.TREATED and not words.strip():
        missing.append("Name the treatment.")
    if not source.strip():
        missing.append("Say where it is read: the report, the supplier's invoice, an examination of ours.")
    if missing:
        raise Refused(*missing)
    row = Disclosure.objects.create(
        commission=commission,
        treated=treated,
        words=words.strip(),
        care_words=care_words.strip(),
        source=source.strip(),
        by_words=str(person),
        at=clock.now(),
    )
    write_trail(
        actor=person,
        verb="said what is known of treatments",
        subject=commission.reference,
        facts={"treated": treated},
    )
    return row
