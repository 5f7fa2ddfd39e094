"""A design with something else in it: another centre, another melee, another alloy, another finger."""

from __future__ import annotations

import copy
from dataclasses import asdict, dataclass
from urllib.parse import urlencode

from commissions.design import computing

LENGTHS = ("diameter_mm", "length_mm", "width_mm", "corner_radius_mm", "side_bow_mm", "corner_mm", "lobe_mm")


@dataclass(frozen=True, kw_only=True)
class Change:
    """
    What is changed; None leaves a thing as it is.

    Args:
        centre_mm: So much more (or less) of length or diameter of the centre, mm; its shape is kept.
        melee_mm: Wanted size of the halo's stones, mm; the drawer is left out of it.
        metal: Name of another alloy.
        circumference_mm: Another finger, inside circumference, mm.
    """

    centre_mm: float | None = None
    melee_mm: float | None = None
    metal: str | None = None
    circumference_mm: float | None = None

    @property
    def empty(self) -> bool:
        """Whether nothing is changed."""
        return not self.parts

    @property
    def parts(self) -> dict:
        """What is changed, by name."""
        return {name: value for name, value in asdict(self).items() if value is not None}

    @property
    def words(self) -> str:
        """The change in words, for the head of a column."""
        said = []
        if self.centre_mm is not None:
            said.append(f"centre {self.centre_mm:+g} mm".replace("-", "−"))
        if self.melee_mm is not None:
            said.append(f"halo stones of {self.melee_mm:.2f} mm")
        if self.metal is not None:
            said.append(self.metal)
        if self.circumference_mm is not None:
            said.append(f"finger {self.circumference_mm:.1f} mm")
        told = ", ".join(said) or "as it is"
        return told[0].upper() + told[1:]

    def query(self, letter: str) -> str:
        """The change as an address carries it into a draft."""
        return urlencode({"from": letter, **self.parts})


def varied(parameters: dict, change: Change) -> dict:
    """
    The parameters with a change in them; the rest stays.

    A larger centre keeps its shape: every length of it, its depth and the allowance for the head grow in
    proportion, and an outline that the halo should reach grows by as many millimetres. It is no longer the
    stone that was measured, so the scan is let go.
    """
    made = copy.deepcopy(parameters)
    if change.centre_mm:
        centre = made["centre"]
        length, _width = computing.extent(centre["outline"])
        times = (length + change.centre_mm) / length
        centre["outline"] = _scaled(centre["outline"], times)
        centre["depth_mm"] = round(centre["depth_mm"] * times, 3)
        centre["from"] = "nominal"
        centre.pop("scan", None)
        made["head_allowance_mm3"] = round(made["head_allowance_mm3"] * times, 2)
        if made.get("halo") and made["halo"].get("target"):
            target = made["halo"]["target"]
            reach, _across = computing.extent(target)
            made["halo"]["target"] = _scaled(target, (reach + change.centre_mm) / reach)
    if change.melee_mm is not None and made.get("halo"):
        melee = made["halo"]["melee"]
        size = round(change.melee_mm, 3)
        melee |= {"wanted_mm": size, "sizes_mm": sorted({*melee["sizes_mm"], size}), "stock": None}
    if change.metal is not None:
        made["metal"] = change.metal
    if change.circumference_mm is not None:
        made["circumference_mm"] = round(change.circumference_mm, 3)
    return made


def _scaled(outline: dict, times: float) -> dict:
    made = dict(outline)
    for name in LENGTHS:
        if made.get(name):
            made[name] = round(made[name] * times, 4)
    if "points_mm" in made:
        made["points_mm"] = [[round(x * times, 4), round(y * times, 4)] for x, y in made["points_mm"]]
    return made
