"""Reads of ring records and of what stands on papers."""

from __future__ import annotations

from commissions.delivery.models import Disclosure, KeptPaper, RingRecord, SecondReading
from commissions.delivery.ring import DIGEST_LETTERS
from commissions.delivery.wording import problems
from commissions.money.queries import accepted_quote
from commissions.record.models import Commission
from commissions.sourcing.queries import chosen


def ring_record(*, commission: Commission) -> RingRecord | None:
    """The newest record of a ring; of a small job, that of its ring."""
    made = commission.ring_id or commission.pk
    return RingRecord.objects.filter(commission=made).order_by("-id").first()


def ring_record_by_fingerprint(*, typed: str) -> RingRecord | None:
    """
    The record with this fingerprint, for whoever holds its paper; None while the ring is a surprise.

    The short form of the paper and the whole digest are both taken; two records under one short form give none.
    """
    letters = "".join(typed.split()).replace("-", "").lower()
    if len(letters) not in (DIGEST_LETTERS, 64) or not all(c in "0123456789abcdef" for c in letters):
        return None
    found = list(
        RingRecord.objects.filter(digest__startswith=letters, commission__discreet=False).select_related(
            "commission"
        )[:2]
    )
    return found[0] if len(found) == 1 else None


def wording_problems(*, commission: Commission) -> list[str]:
    """What is wrong with how the centre stone is named in the title, on the stone and in the accepted price."""
    stone = chosen(commission=commission)
    if stone is None:
        return []
    quote = accepted_quote(commission=commission)
    texts = [commission.title, stone.name]
    texts += list(quote.lines.filter(kind="centre").values_list("words", flat=True)) if quote else []
    said = disclosure(commission=commission)
    texts += [said.words] if said else []
    grown = stone.origin == "laboratory-grown"
    rows = [row for text in texts for row in problems(text=text, laboratory_grown=grown)]
    return list(dict.fromkeys(rows))


def second_reading(*, commission: Commission) -> SecondReading | None:
    """The newest reading of the inscription after setting."""
    return SecondReading.objects.filter(commission=commission).order_by("-id").first()


def disclosure(*, commission: Commission) -> Disclosure | None:
    """What is said of treatments, the newest word."""
    return Disclosure.objects.filter(commission=commission).order_by("-id").first()


def kept_papers(*, commission: Commission):
    """Papers as they were handed over, oldest first."""
    return KeptPaper.objects.filter(commission=commission).order_by("id")


def kept_paper(*, commission: Commission, pk: int) -> KeptPaper | None:
    """One paper of this commission, and of no other."""
    return KeptPaper.objects.filter(commission=commission, pk=pk).first()


def papers_not_drawn() -> list[KeptPaper]:
    """Papers whose bytes nobody has drawn yet, oldest first."""
    return list(
        KeptPaper.objects.filter(sha256="").select_related("commission__client__access").order_by("id")[:20]
    )
