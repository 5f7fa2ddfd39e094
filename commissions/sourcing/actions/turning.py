"""Marks on a stone's plot, and the turn that is chosen."""

from __future__ import annotations

from django.db import transaction

from commissions.design.queries import agreed, newest
from commissions.record.errors import Refused
from commissions.sourcing import turning
from commissions.sourcing.models import PlotMark, Stone, Turning
from commissions.sourcing.queries.turning import marks, outline_of_stone
from gemcalc.marks import angle_from_clock
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


def plot_mark(
    *,
    stone: Stone,
    kind: str,
    position: str,
    out_permille: int,
    size_hmm: int,
    look: int,
    surface: bool,
    person: Person,
    note: str = "",
) -> PlotMark:
    """
    Write one mark on the plot; *position* is a clock position such as ``4½`` or ``4:20``.

    Raises:
        BadInput: the position is none.
    """
    return PlotMark.objects.create(
        stone=stone,
        kind=kind,
        angle_cdeg=round(angle_from_clock(clock=position) * 100) % 36000,
        out_permille=out_permille,
        size_hmm=size_hmm,
        look=look,
        surface=surface,
        note=note,
        by_words=str(person),
        at=clock.now(),
    )


def say_north(*, stone: Stone, words: str, person: Person) -> None:
    """
    Write how the plot's twelve o'clock is found on the stone itself, so that the setter can lay it.

    Effects, in order: the words are kept with the stone; for a commission, the trail says so.

    Raises:
        Refused: there are no words.
    """
    if not words.strip():
        raise Refused("Say what shows twelve o'clock on the stone, such as where its inscription begins.")
    Stone.objects.filter(pk=stone.pk).update(plot_north=words.strip()[:120])
    stone.plot_north = words.strip()[:120]
    if stone.commission:
        write_trail(
            actor=person,
            verb="said where the plot's twelve is",
            subject=stone.commission.reference,
            facts={"stone": stone.pk, "words": stone.plot_north},
        )


def strike_mark(*, mark: PlotMark, person: Person) -> None:
    """
    Take a mark off the plot; the row stays and says who struck it.

    Raises:
        Refused: it is struck already.
    """
    changed = PlotMark.objects.filter(pk=mark.pk, struck_at__isnull=True).update(
        struck_at=clock.now(), struck_by=str(person)
    )
    if changed != 1:
        raise Refused("This mark has been taken off already.")


@transaction.atomic
def turn_stone(*, stone: Stone, step_deg: int | None, reach_hmm: int, person: Person) -> Turning:
    """
    Choose the turn that hides most of the marks under the claws of the design, and keeps every claw off those
    that it should not bear on.

    Effects, in order: the best turn is worked out from the plot and the claws of the agreed (or else the
    newest) revision; it is written with what it hides before and after; the trail says so.

    Raises:
        Refused: there is no mark, no design, or the cut allows no such turn.
        BadInput: the reach of the claws is out of range.
    """
    if stone.commission is None:
        raise Refused("This stone belongs to no commission, so there are no claws.")
    revision = agreed(commission=stone.commission) or newest(commission=stone.commission)
    rows = list(marks(stone=stone))
    if revision is None:
        raise Refused("There is no design whose claws could hide anything.")
    if not rows:
        raise Refused("Plot the marks first: there is nothing to hide.")
    outline = outline_of_stone(stone=stone)
    if step_deg not in [step for step, _words in turning.steps_of(outline=outline)]:
        raise Refused("This cut lies in its seat one way only, or cannot be turned by that step.")
    placed = turning.marks_of(outline=outline, rows=rows)
    claws = turning.claws_of(outline=outline, revision=revision, reach_hmm=reach_hmm)
    found = turning.best(
        marks=[mark for mark, each in zip(placed, rows, strict=True) if not turning.keeps_clear(each)],
        clear=turning.to_keep_clear(outline=outline, rows=rows),
        claws=claws,
        step_deg=step_deg,
    )
    row = Turning.objects.create(
        stone=stone,
        revision=revision,
        step_deg=step_deg,
        reach_hmm=reach_hmm,
        rotation_cdeg=round(found.rotation_deg * 100) % 36000,
        hidden_before_permille=round(found.hidden_now * 1000),
        hidden_after_permille=round(found.hidden * 1000),
        basis=turning.basis_of(placed, claws),
        by_words=str(person),
        at=clock.now(),
    )
    write_trail(
        actor=person,
        verb="turned a stone",
        subject=stone.commission.reference,
        facts={"stone": stone.pk, "rotation": row.rotation_cdeg / 100, "revision": revision.letter},
    )
    return row
