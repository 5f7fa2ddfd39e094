"""What a side view is drawn from: the stone's heights, and the metal that carries it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gemcalc.errors import BadInput, in_range

CROWN_DEG = 34.5
GIRDLE_SHARE = 0.03


@dataclass(frozen=True, kw_only=True)
class StoneProfile:
    """
    The centre stone from the side.

    Args:
        depth_mm: Table to culet, mm.
        table_pct: Table as a percentage of the width.
        crown_mm: Height of the crown, mm; None for a crown of 34.5°, no more than 0.3 of the depth.
        girdle_mm: Thickness of the girdle, mm; None for 3 % of the width.
        culet_mm: Width of the culet, mm.
    """

    depth_mm: float
    table_pct: float = 57.0
    crown_mm: float | None = None
    girdle_mm: float | None = None
    culet_mm: float = 0.0

    def parts(self, *, width_mm: float) -> tuple[float, float, float]:
        """
        Crown, girdle and pavilion, mm, for a stone of *width_mm*.

        Raises:
            BadInput: crown and girdle leave no pavilion.
            OutOfRange: a measure cannot be a stone's.
        """
        in_range(field="depth_mm", value=self.depth_mm, low=0.3, high=60)
        in_range(field="table_pct", value=self.table_pct, low=0, high=95)
        girdle = GIRDLE_SHARE * width_mm if self.girdle_mm is None else self.girdle_mm
        slope = (1 - self.table_pct / 100) / 2 * width_mm * math.tan(math.radians(CROWN_DEG))
        crown = min(slope, 0.3 * self.depth_mm) if self.crown_mm is None else self.crown_mm
        pavilion = self.depth_mm - crown - girdle
        if min(crown, girdle) < 0 or pavilion <= 0:
            raise BadInput("crown and girdle leave nothing for the pavilion", field="crown_mm")
        return crown, girdle, pavilion


@dataclass(frozen=True, kw_only=True)
class HeadProfile:
    """
    What carries the stones, from the side.

    Args:
        halo_drop_mm: How far the halo's top face lies below the centre's girdle, mm.
        tray_mm: Thickness of the tray under the halo, mm.
        culet_clearance_mm: Culet to finger, mm.
        claw_mm: Width of a claw, mm.
    """

    halo_drop_mm: float = 0.2
    tray_mm: float = 1.2
    culet_clearance_mm: float = 0.8
    claw_mm: float = 0.7
