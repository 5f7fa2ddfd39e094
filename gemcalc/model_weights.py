"""What a model would weigh: cast, with its button, and finished, in each alloy."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from gemcalc.alloys import Alloy
from gemcalc.casting import BUTTON_PCT, FINISHING_LOSS_PCT, mass_from_volume
from gemcalc.errors import in_range


@dataclass(frozen=True, kw_only=True)
class ModelWeight:
    """
    A model's weight in one alloy.

    Args:
        alloy: Name of the alloy.
        mass_g: Mass of the model's own volume, which is the casting, g.
        low_g: The same at the low end of the alloy's density, g.
        high_g: The same at the high end, g.
        pour_mass_g: Metal to melt, with button and sprue, g.
        finished_mass_g: Mass when filed and polished, g.
    """

    alloy: str
    mass_g: float
    low_g: float
    high_g: float
    pour_mass_g: float
    finished_mass_g: float


def model_weights(
    *,
    volume_mm3: float,
    alloys: Iterable[Alloy],
    button_pct: float = BUTTON_PCT,
    finishing_loss_pct: float = FINISHING_LOSS_PCT,
) -> list[ModelWeight]:
    """
    Weights in grams of a model in each alloy.

    Formula: mass = volume * density / 1000; pour = mass * (1 + button); finished = mass * (1 - loss).

    Args:
        volume_mm3: Volume of the model, mm3, from 0 to 1000000000.
        alloys: Alloys, built in or the studio's own.
        button_pct: Button and sprue in percent of the casting, from 0 to 500.
        finishing_loss_pct: Loss from casting to finished mount in percent of the casting, from 0 to 90.

    Returns:
        One :class:`ModelWeight` for each alloy, in order.
        A model drawn at its finished size is not filed smaller: give it a finishing loss of nought.

    Raises:
        OutOfRange: an input is outside its range.

    Source:
        romanoff-button, teague, practice

    >>> from gemcalc.alloys import find
    >>> model_weights(volume_mm3=400, alloys=[find(name="18ct yellow")])[0].pour_mass_g
    6.82
    """
    in_range(field="button_pct", value=button_pct, low=0, high=500)
    in_range(field="finishing_loss_pct", value=finishing_loss_pct, low=0, high=90)
    weights = []
    for alloy in alloys:
        low, mass, high = (
            mass_from_volume(volume_mm3=volume_mm3, density_g_cm3=density)
            for density in (alloy.low_g_cm3, alloy.density_g_cm3, alloy.high_g_cm3)
        )
        weights.append(
            ModelWeight(
                alloy=alloy.name,
                mass_g=mass,
                low_g=low,
                high_g=high,
                pour_mass_g=mass * (1 + button_pct / 100),
                finished_mass_g=mass * (1 - finishing_loss_pct / 100),
            )
        )
    return weights
