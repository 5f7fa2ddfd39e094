"""Reads of the plot and of how the stone lies under its claws."""

from __future__ import annotations

from commissions.design.queries import agreed, newest
from commissions.record.models import Commission
from commissions.sourcing import plans, turning
from commissions.sourcing.models import CheckIn, PlotMark, Stone, Turning
from gemcalc.marks import clock_from_angle


def marks(*, stone: Stone):
    """The marks that stand on a stone's plot, in the order they were plotted."""
    return PlotMark.objects.filter(stone=stone, struck_at__isnull=True).order_by("id")


def outline_of_stone(*, stone: Stone) -> dict:
    """The outline as measured last, or as its report says."""
    seen = CheckIn.objects.filter(stone=stone).order_by("-id").first()
    return seen.outline if seen else stone.outline


def mark_words(row: PlotMark) -> str:
    """One mark in words: what, where, how large."""
    where = clock_from_angle(angle_deg=row.angle_cdeg / 100)
    words = (
        f"{row.get_kind_display()} at {where}, {row.out_permille / 10:.0f} % of the way to the girdle, "
        f"{row.size_hmm / 100:.2f} mm"
    )
    if row.surface:
        words += ", reaches the surface"
    return f"{words}. {row.note}" if row.note else words


def plot(*, stone: Stone) -> dict:
    """The plot of a stone: drawing and numbered marks in words."""
    rows = list(marks(stone=stone))
    return {
        "svg": plans.plot_svg(outline=outline_of_stone(stone=stone), rows=rows),
        "rows": [{"mark": row, "words": mark_words(row)} for row in rows],
    }


def turned(*, stone: Stone) -> dict | None:
    """
    How a stone lies under its claws: the newest turn with its drawing, cautions, and whether it still is
    worked out from the marks and claws that stand now.
    """
    row = Turning.objects.filter(stone=stone).select_related("revision").order_by("-id").first()
    if row is None or stone.commission is None:
        return None
    rows = list(marks(stone=stone))
    outline = outline_of_stone(stone=stone)
    placed = turning.marks_of(outline=outline, rows=rows)
    revision = agreed(commission=stone.commission) or newest(commission=stone.commission)
    claws = turning.claws_of(outline=outline, revision=revision or row.revision, reach_hmm=row.reach_hmm)
    rotation = row.rotation_cdeg / 100
    return {
        "row": row,
        "rotation_deg": rotation,
        "hidden_before": f"{row.hidden_before_permille / 10:.0f}",
        "hidden_after": f"{row.hidden_after_permille / 10:.0f}",
        "words": turning.words_for(rotation_deg=rotation),
        "current": turning.basis_of(placed, claws) == row.basis,
        "cautions": turning.cautions_for(rows=rows, marks=placed, claws=claws, rotation_deg=rotation),
        "svg": plans.before_and_after(outline=outline, marks=placed, claws=claws, rotation_deg=rotation)
        if placed
        else "",
        "hides": row.hidden_after_permille > 0,
        "kept_clear": turning.kept_clear(rows=rows, marks=placed, claws=claws, rotation_deg=rotation),
    }


def orientation(*, commission: Commission, scale: float | None = None) -> dict | None:
    """
    How the chosen stone is to lie, for the bench: words, drawing, marks by number, and how its twelve is found.

    None where no turn was chosen. A turn that is no longer worked out from the marks and claws that stand is
    not drawn: the words then say that it has to be worked out again. *scale* is for paper.
    """
    stone = Stone.objects.filter(commission=commission, chosen_at__isnull=False).first()
    found = turned(stone=stone) if stone else None
    if found is None:
        return None
    rows = list(marks(stone=stone))
    outline = outline_of_stone(stone=stone)
    current = found["current"]
    claws = turning.claws_of(
        outline=outline,
        revision=agreed(commission=commission) or found["row"].revision,
        reach_hmm=found["row"].reach_hmm,
    )
    return {
        **found,
        "stone": stone,
        "north": stone.plot_north or "not written down: ask whoever plotted it before you turn the stone",
        "marks": [mark_words(row) for row in rows],
        "drawing": plans.as_it_lies(
            outline=outline,
            marks=turning.marks_of(outline=outline, rows=rows),
            claws=claws,
            rotation_deg=found["rotation_deg"],
            scale=scale,
        )
        if current
        else "",
        "words": found["words"]
        if current
        else "Marks or claws have changed since this turn was worked out: work it out again before setting.",
    }


def risks(*, stone: Stone) -> list[str]:
    """Every mark a claw should not bear on, in words that can be agreed: what, where, how far from which claw."""
    revision = (
        (agreed(commission=stone.commission) or newest(commission=stone.commission))
        if stone.commission
        else None
    )
    row = Turning.objects.filter(stone=stone).order_by("-id").first()
    outline = outline_of_stone(stone=stone)
    found = []
    for mark in marks(stone=stone):
        if not turning.keeps_clear(mark):
            continue
        where = clock_from_angle(angle_deg=mark.angle_cdeg / 100)
        words = f"{mark.get_kind_display()} at the surface at {where}, {mark.size_hmm / 100:.2f} mm long"
        if revision is not None:
            reach = row.reach_hmm if row else turning.reach_suggested_hmm(revision)
            number, gap = turning.nearest_claw(
                outline=outline,
                revision=revision,
                row=mark,
                reach_hmm=reach,
                rotation_deg=row.rotation_cdeg / 100 if row else 0.0,
            )
            words += (
                f", under claw {number}" if gap == 0 else f", {gap:.1f} mm from where claw {number} will bear"
            )
        found.append(f"{words}: it may run or break when that claw is closed.")
    return found
