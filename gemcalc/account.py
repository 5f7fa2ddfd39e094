"""The metal account of one alloy on one job: what went out, what came back, what is missing."""

from __future__ import annotations

from dataclasses import dataclass

from gemcalc.errors import BadInput, in_range


@dataclass(frozen=True, kw_only=True)
class MetalAccount:
    """
    The reconciliation, with the loss against each base it could be quoted on.

    Args:
        issued_mg: Metal issued, mg.
        clean_returns_mg: Sprue, button and offcuts returned clean, mg.
        mount_mg: Finished mount without stones, mg.
        filings_mg: Lemel and filings returned, mg.
        worked_mg: Issued less clean returns, mg: what the bench really worked.
        loss_mg: What is not accounted for, mg; below zero where more came back than went out.
        loss_of_issued_pct: Loss in percent of the metal issued.
        loss_of_worked_pct: Loss in percent of the metal worked; None where none was.
        loss_of_mount_pct: Loss in percent of the finished mount; None where there is none yet.
        words: The result in a sentence that names every base.
    """

    issued_mg: int
    clean_returns_mg: int
    mount_mg: int
    filings_mg: int
    worked_mg: int
    loss_mg: int
    loss_of_issued_pct: float
    loss_of_worked_pct: float | None
    loss_of_mount_pct: float | None
    words: str


def _share(part: int, base: int) -> float | None:
    return 100 * part / base if base > 0 else None


def reconcile(*, issued_mg: int, clean_returns_mg: int, mount_mg: int, filings_mg: int) -> MetalAccount:
    """
    Loss on one job in one alloy, exact in mg, with the base of every percentage stated.

    Weigh out and in on one scale, clean and dry, without stones.
    Formula: loss = issued - (clean returns + mount + filings); worked = issued - clean returns.

    Args:
        issued_mg: Metal issued, mg, above 0 to 10000000.
        clean_returns_mg: Sprue, button and offcuts returned clean, mg, from 0 to 10000000.
        mount_mg: Finished mount without stones, mg, from 0 to 10000000.
        filings_mg: Lemel and filings returned, mg, from 0 to 10000000.

    Returns:
        A :class:`MetalAccount`. More back than out is not refused: it is a finding (solder, a stone on the
        scale, the wrong slip), told in the words.

    Raises:
        BadInput: a mass is not a whole number of mg in its range.

    Source:
        practice

    >>> account = reconcile(issued_mg=9800, clean_returns_mg=4620, mount_mg=4310, filings_mg=710)
    >>> account.loss_mg, round(account.loss_of_issued_pct, 1)
    (160, 1.6)
    """
    given = {
        "issued_mg": issued_mg,
        "clean_returns_mg": clean_returns_mg,
        "mount_mg": mount_mg,
        "filings_mg": filings_mg,
    }
    for field, value in given.items():
        if isinstance(value, bool) or not isinstance(value, int):
            raise BadInput("must be a whole number of milligrams", field=field)
        if value < 0 or value > 10_000_000 or (field == "issued_mg" and value == 0):
            raise BadInput(
                f"must be from {int(field == 'issued_mg')} to 10000000, and {value} is not", field=field
            )
    worked = issued_mg - clean_returns_mg
    loss = worked - mount_mg - filings_mg
    of_worked = _share(loss, worked)
    of_mount = _share(loss, mount_mg)
    if loss < 0:
        words = (
            f"{-loss / 1000:.3f} g more came back than went out: look for solder, stones on the scale or "
            "another job's metal."
        )
    else:
        bases = [f"{100 * loss / issued_mg:.1f} % of the metal issued"]
        bases += [f"{of_worked:.1f} % of the metal worked"] if of_worked is not None else []
        bases += [f"{of_mount:.1f} % of the finished mount"] if of_mount is not None else []
        words = f"{loss / 1000:.3f} g is not accounted for: {', '.join(bases)}."
    return MetalAccount(
        **given,
        worked_mg=worked,
        loss_mg=loss,
        loss_of_issued_pct=100 * loss / issued_mg,
        loss_of_worked_pct=of_worked,
        loss_of_mount_pct=of_mount,
        words=words,
    )


def loss_pct(*, before_g: float, after_g: float) -> float:
    """
    Loss in percent of what there was before.

    Args:
        before_g: Mass before, g, above 0 to 1000000.
        after_g: Mass after, g, from 0 to 1000000.

    Returns:
        Percent lost; below zero where the mass grew.

    Raises:
        OutOfRange: an input is outside its range.

    Source:
        exact-geometry

    >>> loss_pct(before_g=5.877, after_g=4.907)
    16.51
    """
    in_range(field="before_g", value=before_g, low=1e-6, high=1e6)
    in_range(field="after_g", value=after_g, low=0, high=1e6)
    return 100 * (1 - after_g / before_g)
