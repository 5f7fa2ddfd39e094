"""From scanned points to a smooth girdle: which outline, where, how large, how sure."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from gemcalc.errors import BadInput
from gemcalc.scan.checks import as_points, coverage, refuse_unsure, usable_points
from gemcalc.scan.choose import Candidate, candidates, spread_of, thin, upright, with_waves
from gemcalc.scan.distances import Floats
from gemcalc.scan.families import CUTS, FAMILIES
from gemcalc.scan.girdle import Figures, figure_slopes, figures, fine_outline, into_scan
from gemcalc.scan.solve import PLACE, TUKEY, Model, covariance, settle
from gemcalc.scan.start import Smooth, order_round, own_noise, smooth_curve

LEAST_NOISE_MM = 0.0005
FIRST_NOISE_MM = 0.02
FOR_START = 500
FOR_RESULT = 10_000
OUTLIER_SPREADS = 3.0
ROUND_WITHIN = 1.03
"""
Length over width below which an oval outline is a round stone that is not quite round. Source: practice.
"""

ROUND_FIGURES = ("length_mm", "width_mm", "diameter_min_mm", "diameter_max_mm")


@dataclass(frozen=True, kw_only=True)
class Girdle:
    """
    A stone's girdle as fitted to a scan; lengths in mm, angles in degrees, area in mm².

    Args:
        family: Word of the outline in a halo's case.
        parameters: That outline's own parameters, named as in a halo's case.
        waves: Highest wave laid over it; 0 where the named outline holds as it is.
        centre_mm: The outline's own origin in the scan: the widest line's middle for a pear,
            the middle between the lobes' centres for a heart,
            else the middle of the stone.
        angle_deg: The stone's turn, anticlockwise from its length pointing up.
        figures: Its measures.
        sd: One standard deviation of every main figure, errors being independent from point to point.
        outliers: How many points lie more than three noises off.
        outlier_indices: Which they are, in the order given.
        noise_mm: Noise of the points across the outline.
        own_noise_mm: The same with no outline supposed; 0 where there are too few points.
        seen_arc_deg: Share of the girdle's length with points on it, of 360.
        widest_hole_deg: Its widest stretch without points, of 360.
        outline_mm: The outline in the scan's frame, anticlockwise; the last point joins the first.
        own_outline_mm: The same in the stone's own frame, as a halo is drawn.
        notes: What the reader should know, in words.
    """

    family: str
    parameters: dict[str, float]
    waves: int
    centre_mm: tuple[float, float]
    angle_deg: float
    figures: Figures
    sd: dict[str, float]
    outliers: int
    outlier_indices: tuple[int, ...]
    noise_mm: float
    own_noise_mm: float
    seen_arc_deg: float
    widest_hole_deg: float
    outline_mm: Floats
    own_outline_mm: Floats
    notes: tuple[str, ...]

    @property
    def halo_centre(self) -> dict[str, object]:
        """The outline as the centre of a halo's case: the named outline where it holds, else its points."""
        if self.waves:
            points = [[round(x, 5), round(y, 5)] for x, y in self.own_outline_mm.tolist()]
            return {"cut": "outline", "points_mm": points}
        return {"cut": self.family, **{name: round(value, 5) for name, value in self.parameters.items()}}

    @property
    def called(self) -> str:
        """The family's word, an all but round oval being called round."""
        near_round = self.figures.length_mm < ROUND_WITHIN * self.figures.width_mm
        return "round" if self.family == "oval" and near_round else self.family


def _residual_noise(best: Candidate, points: Floats) -> float:
    return max(spread_of(best.model.distances(best.row[None], points)[0]), LEAST_NOISE_MM)


def _misfits(best: Candidate, points: Floats, noise: float) -> bool:
    """Whether the outline leaves more over than the noise, or more points far off than outliers would be."""
    off = np.abs(best.model.distances(best.row[None], points)[0])
    return bool(spread_of(off) > max(2 * noise, 0.01) or (off > 3 * max(noise, 0.005)).mean() > 0.12)


def _likeliest(
    ordered: Floats, smooth: Smooth, own: float, cut: str | None, notes: list[str]
) -> tuple[Candidate, float]:
    """The best outline without waves, and the noise by which it was judged."""
    names = CUTS[cut] if cut else tuple(FAMILIES)
    noise = max(own, LEAST_NOISE_MM) if own else FIRST_NOISE_MM
    best = candidates(names, ordered, smooth, noise)[0]
    if not own:
        # Too few points for a noise of their own: what the best outline leaves over stands in.
        noise = _residual_noise(best, ordered)
        best = candidates(names, ordered, smooth, noise)[0]
    if cut and _misfits(best, ordered, noise):
        others = tuple(name for name in FAMILIES if name not in names)
        other = candidates(others, ordered, smooth, noise)[0]
        if other.cost < best.cost - 100:
            notes.append(f"The points follow the outline of a {other.model.family.name} better than a {cut}.")
            best = other
    return replace(best, row=upright(best.model, best.row)), noise


def _uncertainties(model: Model, row: Floats, variance: Floats) -> dict[str, float]:
    """One standard deviation of every figure; ``length_mm`` has ``length_sd_mm``, and so on."""
    sd = {}
    for name, slope in figure_slopes(model, row).items():
        stem, unit = name.rsplit("_", 1)
        sd[f"{stem}_sd_{unit}"] = float(np.sqrt(max(float(slope @ variance @ slope), 0.0)))
    sd["centre_sd_mm"] = float(np.sqrt((variance[0, 0] + variance[1, 1]) / 2))
    sd["angle_sd_deg"] = float(np.degrees(np.sqrt(variance[2, 2]))) if model.family.turns else 0.0
    return sd


def fit_girdle(*, points_mm: ArrayLike, cut: str | None = None) -> Girdle:
    """
    The smooth girdle that scanned points lie on, robust to outliers and to a quarter of it being unseen.

    Every named outline is fitted by signed distance with a biweight.
    The likeliest is chosen by the Bayesian information criterion at the scanner's own noise,
    which is found without supposing an outline.
    Where the stone strays from every named outline,
    waves round the girdle are added as far as the points speak for them.

    Args:
        points_mm: Points [x, y] of the girdle seen from above, mm, in any order; from 24 to 100,000,
            from 0.5 to 60 mm across.
        cut: The stone's cut if it is known; the outlines of that word are tried first,
            others only if these do not fit.

    Returns:
        The girdle with its figures, each with its standard deviation.
        500 points of noise 0.02 mm give length and width to about 3 µm (one standard deviation).

    Raises:
        BadInput: The points are no numbers, too few, of a wrong scale, or leave the outline open to doubt.

    Source:
        biweight, bic, exact-geometry

    >>> import numpy as np
    >>> turn = np.arange(100) * 2 * np.pi / 100
    >>> girdle = fit_girdle(points_mm=np.column_stack((3 * np.cos(turn), 4 * np.sin(turn))))
    >>> figures = girdle.figures
    >>> girdle.family, round(figures.length_mm, 3), round(figures.width_mm, 3)
    ('oval', 8.0, 6.0)
    """
    if cut is not None and cut not in CUTS:
        raise BadInput(f"must be one of {', '.join(CUTS)}, or left out", field="cut")
    given = as_points(points_mm)
    usable = usable_points(given)
    smooth = smooth_curve(thin(usable, FOR_START))
    ordered = order_round(usable, smooth)
    own = own_noise(ordered, smooth)
    notes: list[str] = []
    best, noise = _likeliest(ordered, smooth, own, cut, notes)
    best = with_waves(best, ordered, noise)

    model = best.model
    many = thin(ordered, FOR_RESULT)
    row = settle(model, best.row[None], many, [(_residual_noise(best, many), 25)])[0]
    row = row if model.waves else upright(model, row)
    off = np.abs(model.distances(row[None], many)[0])
    freedom = len(many) / max(len(many) - model.unknowns, 1)
    spread = max(spread_of(off) * float(np.sqrt(freedom)), LEAST_NOISE_MM)
    strays = np.flatnonzero(np.abs(model.distances(row[None], given)[0]) > OUTLIER_SPREADS * spread)

    own_fine, kept = fine_outline(model, row)
    own_ring = own_fine[kept]
    ring = into_scan(row, own_ring)
    measured = figures(own_fine, kept)
    sd = _uncertainties(model, row, covariance(model, row, many, noise_mm=spread))
    seen, hole = coverage(many[off <= TUKEY * spread], ring)
    refuse_unsure(
        seen=seen,
        outlier_share=len(strays) / len(given),
        length_sd=sd["length_sd_mm"],
        length=measured.length_mm,
    )
    values = row[PLACE : model.shape_end].tolist()
    shape = dict(zip(model.family.names, values, strict=True))
    if model.waves:
        notes.append(
            f"The stone strays from a plain {model.family.name}: its outline is taken point by point."
        )
    elif "length_mm" in shape:
        # The fitted sizes themselves, not their reading off a polygon.
        measured = replace(measured, length_mm=shape["length_mm"], width_mm=shape["width_mm"])
    else:
        measured = replace(measured, **dict.fromkeys(ROUND_FIGURES, shape["diameter_mm"]))
    if hole > 0.05:
        notes.append(
            f"{360 * hole:.0f}° of the girdle has no points: there the outline is carried on from the rest."
        )
    return Girdle(
        family=model.family.name,
        parameters=shape,
        waves=model.waves,
        centre_mm=(float(row[0]), float(row[1])),
        angle_deg=float(np.degrees(row[2])),
        figures=measured,
        sd=sd,
        outliers=len(strays),
        outlier_indices=tuple(strays.tolist()),
        noise_mm=spread,
        own_noise_mm=own,
        seen_arc_deg=360 * seen,
        widest_hole_deg=360 * hole,
        outline_mm=ring,
        own_outline_mm=own_ring,
        notes=tuple(notes),
    )
