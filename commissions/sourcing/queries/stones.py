"""Reads of the stones' room."""

from __future__ import annotations

from django.db.models import Count, F, Sum
from django.utils.safestring import mark_safe

from commissions.record.models import Commission, Question
from commissions.record.route import Turn
from commissions.sourcing.models import CheckIn, Owner, Stone, StoneState
from gemcalc import drawing
from gemcalc.stones import weight_from_measures


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


HERE = (StoneState.ON_APPROVAL, StoneState.QUARANTINE, StoneState.CHECKED_IN, StoneState.ISSUED)
GONE = (StoneState.RETURNED, StoneState.BROKEN, StoneState.LOST)


def here():
    """Stones that lie with us, with their commission."""
    return Stone.objects.filter(state__in=HERE).select_related("commission").order_by("return_by", "id")


def memo():
    """Stones on approval that have to go back or be bought, the earliest first."""
    return (
        Stone.objects.filter(return_by__isnull=False, owner=Owner.SUPPLIER)
        .exclude(state__in=(*GONE, StoneState.SET))
        .select_related("commission")
        .order_by("return_by", "id")
    )


def exposure() -> list[dict]:
    """What the stones on approval would cost if none went back: sum and count per currency."""
    rows = memo().exclude(price_minor=None).order_by()
    return list(
        rows.values("currency").annotate(minor=Sum("price_minor"), stones=Count("pk")).order_by("currency")
    )


def held_by() -> list[dict]:
    """Who holds which stone now: holder and stones, those whose holder nobody wrote down last."""
    rows: dict[str, list[Stone]] = {}
    for stone in here().order_by("holder", "id"):
        rows.setdefault(stone.holder, []).append(stone)
    named = sorted(rows.items(), key=lambda row: (not row[0], row[0].casefold()))
    return [{"holder": holder, "stones": stones} for holder, stones in named]


def client_is_asked(*, commission: Commission) -> bool:
    """Whether the client is asked to choose a stone."""
    return Question.objects.filter(
        commission=commission, key="stones.choose", addressee=Turn.CLIENT, answered_at__isnull=True
    ).exists()


def compared(*, commission: Commission) -> list[dict]:
    """
    The stones of a commission side by side: outline at one scale, face-up area, and how the weight agrees
    with the dimensions.
    """
    stones = [stone for stone in stones_of(commission=commission) if stone.state not in GONE]
    widest = max([max(stone.length_hmm, stone.width_hmm) for stone in stones], default=100) / 100
    rows = []
    for stone in stones:
        scene = drawing.top_view({"centre": stone.outline}, None, claws=(), variant="mini")
        half = widest / 2 + 0.2
        svg = (
            f'<svg class="drawing same-scale" viewBox="{-half:.3f} {-half:.3f} {2 * half:.3f} {2 * half:.3f}" role="img" '
            f'aria-label="{stone.length_hmm / 100:.2f} by {stone.width_hmm / 100:.2f} mm">{drawing.fragment(scene)}</svg>'
        )
        rows.append({"stone": stone, "svg": mark_safe(svg), "check": report_of(stone)})  # noqa: S308
    return rows


def report_of(stone: Stone) -> dict:
    """Depth in percent, spread and how the weight agrees with the dimensions, in words."""
    width = stone.width_hmm / 100
    mean = (stone.length_hmm + stone.width_hmm) / 200
    across = mean if stone.outline["cut"] == "round" else width
    words = {"depth": f"{stone.depth_hmm / across:.1f} %", "weight": ""}
    if stone.weight_mct:
        try:
            estimate = weight_from_measures(
                cut=stone.outline["cut"],
                species=stone.species,
                length_mm=stone.length_hmm / 100,
                width_mm=width,
                depth_mm=stone.depth_hmm / 100,
            )
        except ValueError:
            return words
        low, high, weight = estimate.low_ct, estimate.high_ct, stone.weight_mct / 1000
        agrees = low <= weight <= high
        words["weight"] = (
            f"dimensions imply {estimate.weight_ct:.2f} ct ({low:.2f} to {high:.2f}): {'agrees' if agrees else 'does not agree'}"
        )
        words["agrees"] = agrees
    return words
