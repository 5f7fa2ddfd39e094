"""The stones of a commission side by side: how large each looks, the halo each would get, what each costs."""

from __future__ import annotations

from django.utils.safestring import SafeString, mark_safe

from commissions.design.models import Revision
from commissions.design.queries import agreed, newest
from commissions.record.models import Commission
from commissions.sourcing import refit
from commissions.sourcing.models import CheckIn, MeleeLot, Stone
from commissions.sourcing.queries.stones import GONE, stones_of
from gemcalc import drawing
from gemcalc.halo.case import size_label
from gemcalc.halo.check.outlines import outline as girdle
from gemcalc.stones import same_face_round_mm, weight_from_measures

MOST_FITTED = 6
"""Halos are fitted for so many stones on one page; nobody compares more, and a fit takes a moment."""


def compared(*, commission: Commission) -> list[dict]:
    """
    The stones that are still there, the chosen one first: outline and halo at one scale, face-up area,
    how weight and dimensions agree, the halo each would get, and what its small stones cost us.

    A stone that was checked in stands with what we measured, any other with its report's figures.
    """
    stones = [stone for stone in stones_of(commission=commission) if stone.state not in GONE]
    revision = agreed(commission=commission) or newest(commission=commission)
    costs = melee_costs()
    rows = []
    for place, stone in enumerate(stones):
        seen = _newest(stone)
        measures = seen or stone
        fitted = refit.fitted(
            revision=revision if place < MOST_FITTED else None,
            outline=measures.outline,
        )
        rows.append(
            {
                "stone": stone,
                "seen": seen,
                "measures": measures,
                "check": report_of(stone),
                **face(measures.outline),
                "halo": halo_row(fitted, costs=costs, origin=stone.origin),
                "problem": fitted.problem,
                "layout": fitted.layout,
                "revision": revision,
            }
        )
    half = max([_reach(row) for row in rows], default=1.0) + 0.15
    for row in rows:
        row["svg"] = _drawn(row, revision=revision, half=half)
    return rows


def _newest(stone: Stone) -> CheckIn | None:
    return max(stone.check_ins.all(), key=lambda row: row.pk, default=None)


def face(outline: dict) -> dict:
    """Face-up area in mm² and, for a stone that is no round, the round that looks as large."""
    area = girdle(outline).polygon.area
    return {
        "area": f"{area:.1f}",
        "as_round": "" if outline["cut"] == "round" else f"{same_face_round_mm(area_mm2=area):.2f}",
    }


def _reach(row: dict) -> float:
    """How far the drawing of one row reaches from the stone's own origin, mm."""
    left, low, right, high = girdle(row["measures"].outline).polygon.bounds
    reach = max(-left, -low, right, high)
    for stone in _stones(row):
        reach = max(reach, *(abs(stone[axis]) + stone["diameter_mm"] / 2 for axis in ("x_mm", "y_mm")))
    return reach


def _stones(row: dict) -> list[dict]:
    layout = row["layout"]
    return layout.get("stones") or [] if layout and layout["feasible"] else []


def _drawn(row: dict, *, revision: Revision | None, half: float) -> SafeString:
    measures = row["measures"]
    scene = drawing.top_view(
        {"centre": measures.outline},
        row["layout"] if _stones(row) else None,
        claws=revision.parameters["claws"]["angles_deg"] if revision else (),
        variant="mini",
    )
    words = f"{measures.length_hmm / 100:.2f} by {measures.width_hmm / 100:.2f} mm"
    if _stones(row):
        words += f" in a halo of {len(_stones(row))}"
    return mark_safe(  # noqa: S308 - our own renderer's
        f'<svg class="drawing same-scale" viewBox="{-half:.3f} {-half:.3f} {2 * half:.3f} {2 * half:.3f}" '
        f'role="img" aria-label="{words}">{drawing.fragment(scene)}</svg>'
    )


def halo_row(fitted: refit.Fitted, *, costs: dict, origin: str) -> dict | None:
    """The halo round one stone, as it is shown: count per size, width over all, and what its stones cost us."""
    layout = fitted.layout
    if not layout or not layout["feasible"]:
        return None
    figures = layout["figures"]
    cost: dict[str, int] = {}
    unknown = []
    for size, count in figures["counts"].items():
        found = costs.get((origin, size))
        if found is None:
            unknown.append(size)
        else:
            minor, currency, stones = found
            cost[currency] = cost.get(currency, 0) + round(minor * count / stones)
    return {
        "stones": figures["stones"],
        "counts": refit.counts_in_words(figures["counts"]),
        "across": f"{figures['width_mm']:.2f} × {figures['length_mm']:.2f}",
        "weight": f"{figures['weight_ct']:.3f}",
        "cost": [{"minor": minor, "currency": currency} for currency, minor in sorted(cost.items())],
        "cost_unknown": unknown,
    }


def melee_costs() -> dict[tuple[str, str], tuple[int, str, int]]:
    """What the newest lot with a price cost, by origin and size: minor units, currency, stones it came with."""
    lots = MeleeLot.objects.filter(cost_minor__isnull=False, moves__kind="receive").values_list(
        "origin", "size_hmm", "cost_minor", "currency", "moves__count"
    )
    return {
        (origin, size_label(size / 100)): (minor, currency, count)
        for origin, size, minor, currency, count in lots.order_by("id")
    }


def report_of(stone: Stone) -> dict:
    """Depth in percent and how the weight of the report agrees with its dimensions, in words."""
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
