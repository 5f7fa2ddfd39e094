"""Reads of the stones' room."""

from __future__ import annotations

from commissions.record.models import Commission
from commissions.sourcing.models import CheckIn, Stone


def stones_of(*, commission: Commission):
    """Every stone of a commission, the chosen one first."""
    return (
        Stone.objects.filter(commission=commission).prefetch_related("check_ins").order_by("-chosen_at", "id")
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


def bundle_part(*, commission: Commission) -> list[dict]:
    """
    The stones' part of what is agreed: identity and measures, integers at rest units.

    A measurement of ours within tolerance of the design is what was agreed; one outside it is not, and
    then stands here, so that the fingerprint differs.
    """
    stone = chosen(commission=commission)
    if stone is None:
        return []
    check = newest_check_in(stone=stone)
    measures = check if check is not None and not check.within_tolerance else stone
    return [
        {
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
