"""Reads of the stones' room."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import F, Q

from commissions.design.queries import agreed
from commissions.record.models import Commission, Question
from commissions.record.route import BENCH, Stage, Turn
from commissions.sourcing.models import CheckIn, Stone, StoneState, ToReport
from commissions.sourcing.refit import against_seat


def stones_of(*, commission: Commission):
    """Every stone of a commission, the chosen one first."""
    return (
        Stone.objects.filter(commission=commission)
        .prefetch_related("check_ins")
        .order_by(F("chosen_at").desc(nulls_last=True), "id")
    )


def chosen(*, commission: Commission) -> Stone | None:
    """The stone that was chosen for the seat."""
    return Stone.objects.filter(commission=commission, chosen_at__isnull=False).first()


def seats_without_stone(*, commission: Commission) -> bool:
    """Whether the centre seat has no chosen stone yet."""
    return chosen(commission=commission) is None


def newest_check_in(*, stone: Stone) -> CheckIn | None:
    """What we measured of a stone last."""
    return CheckIn.objects.filter(stone=stone).order_by("-id").first()


@dataclass(frozen=True, kw_only=True)
class Seat:
    """How a stone lies in the seat that was drawn: by our own measures where there are any, else its report's."""

    within: bool
    words: str
    measured: bool
    letter: str

    @property
    def voids(self) -> bool:
        """Whether our own measures have taken the ground from under what was agreed."""
        return self.measured and not self.within


def seat_of(*, commission: Commission, stone: Stone | None = None) -> Seat | None:
    """
    The chosen stone (or *stone*) against the agreed design as both stand now; None before there are both.

    A check-in keeps what it said on its day; a later revision may have been drawn to what it measured.
    """
    stone = stone or chosen(commission=commission)
    revision = agreed(commission=commission)
    if stone is None or revision is None:
        return None
    check = newest_check_in(stone=stone)
    measures = check or stone
    within, words = against_seat(
        revision=revision,
        length_hmm=measures.length_hmm,
        width_hmm=measures.width_hmm,
        depth_hmm=measures.depth_hmm,
    )
    return Seat(within=within, words=words, measured=check is not None, letter=revision.letter)


def working_to_report(*, stone: Stone) -> ToReport | None:
    """The owner's choice to work to this stone's report, if it still is the report that it relies on."""
    return (
        ToReport.objects.filter(stone=stone, report=stone.report_number)
        .select_related("person")
        .order_by("-id")
        .first()
    )


def bundle_part(*, commission: Commission) -> list[dict]:
    """
    The stones' part of what is agreed: identity and measures, integers at rest units.

    A measurement of ours within tolerance of the agreed design is what was agreed; one outside it is not,
    and then stands here with its own figures, so that the fingerprint differs.
    """
    stone = chosen(commission=commission)
    if stone is None:
        return []
    seat = seat_of(commission=commission, stone=stone)
    outside = seat is not None and seat.voids
    measures = newest_check_in(stone=stone) if outside else stone
    return [
        {
            **({"outside the tolerance of": seat.letter} if outside else {}),
            "stone": stone.pk,
            "species": stone.species,
            "origin": stone.origin,
            "report": stone.report_number,
            "length_hmm": measures.length_hmm,
            "width_hmm": measures.width_hmm,
            "depth_hmm": measures.depth_hmm,
            "owner": stone.owner,
        }
    ]


HERE = (StoneState.ON_APPROVAL, StoneState.QUARANTINE, StoneState.CHECKED_IN, StoneState.ISSUED)
GONE = (StoneState.RETURNED, StoneState.BROKEN, StoneState.LOST)


def here():
    """Stones that lie with us, with their commission."""
    return Stone.objects.filter(state__in=HERE).select_related("commission").order_by("return_by", "id")


def held_by() -> list[dict]:
    """
    Who holds which stone now: holder and stones, those whose holder nobody wrote down last.

    A stone that is set stands here as long as its ring is in the house.
    """
    rows: dict[str, list[Stone]] = {}
    in_rings = Q(state=StoneState.SET, commission__stage__in=(*BENCH, Stage.HANDOVER))
    stones = Stone.objects.filter(Q(state__in=HERE) | in_rings).select_related("commission")
    for stone in stones.order_by("holder", "id"):
        rows.setdefault(stone.holder, []).append(stone)
    named = sorted(rows.items(), key=lambda row: (not row[0], row[0].casefold()))
    return [{"holder": holder, "stones": stones} for holder, stones in named]


def client_is_asked(*, commission: Commission) -> bool:
    """Whether the client is asked to choose a stone."""
    return Question.objects.filter(
        commission=commission, key="stones.choose", addressee=Turn.CLIENT, answered_at__isnull=True
    ).exists()
