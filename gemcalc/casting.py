"""From pattern to finished mount: a chain of links, each with its own allowance."""

from __future__ import annotations

from dataclasses import dataclass

from gemcalc.errors import in_range

WAX_G_CM3 = 1.0
"""
Density that pattern wax is taken to have, g/cm3; bench figures are 0.95 to 0.98.

Source: romanoff, untracht-wax.
"""

BUTTON_PCT = 10.0
"""
Usual button and sprue in percent of the casting; small trees need 25 to 50.

Source: romanoff-button, practice.
"""

FINISHING_LOSS_PCT = 12.0
"""
Usual loss from casting to finished small ring in percent of the casting, 8 to 15.

Source: practice, teague, casting-cleanup.
"""


@dataclass(frozen=True, kw_only=True)
class Link:
    """
    One link of the chain from pattern to finished mount.

    Args:
        name: What this link is.
        mass_g: Mass after it, g.
        allowance: What was allowed for, in words.
        source: Key of the source of that allowance.
    """

    name: str
    mass_g: float
    allowance: str
    source: str


@dataclass(frozen=True, kw_only=True)
class CastingChain:
    """
    Forecast of a casting.

    Args:
        pattern_mass_g: Mass of the pattern, g.
        cast_mass_g: Mass of the piece as cast, without button and sprue, g.
        button_mass_g: Button and sprue, g.
        pour_mass_g: Metal to melt: piece, button and sprue, g.
        finished_mass_g: Mass of the mount when it is filed and polished, g.
        links: The same as a chain, each link with its allowance.
    """

    pattern_mass_g: float
    cast_mass_g: float
    button_mass_g: float
    pour_mass_g: float
    finished_mass_g: float
    links: tuple[Link, ...]


def mass_from_volume(*, volume_mm3: float, density_g_cm3: float) -> float:
    """
    Mass in grams of a volume of metal.

    Formula: mass = volume * density / 1000.

    Args:
        volume_mm3: Volume, mm3, from 0 to 1000000000.
        density_g_cm3: Density, g/cm3, from 0.1 to 25.

    Returns:
        Mass, g.

    Raises:
        OutOfRange: an input is outside its range.

    Source:
        exact-geometry

    >>> mass_from_volume(volume_mm3=432.484, density_g_cm3=15.45)
    6.682
    """
    in_range(field="volume_mm3", value=volume_mm3, low=0, high=1e9)
    in_range(field="density_g_cm3", value=density_g_cm3, low=0.1, high=25)
    return volume_mm3 * density_g_cm3 / 1000


def substitute(*, mass_g: float, density_g_cm3: float, to_density_g_cm3: float) -> float:
    """
    Mass in grams of the same piece in another material: the volume stays.

    Formula: mass * density wanted / density now.

    Args:
        mass_g: Mass of the piece as it is, g, from 0 to 1000000.
        density_g_cm3: Density of what it is made of, g/cm3, from 0.1 to 25.
        to_density_g_cm3: Density of what it would be made of, g/cm3, from 0.1 to 25.

    Returns:
        Mass, g (or whatever unit of mass was put in).

    Raises:
        OutOfRange: an input is outside its range.

    Source:
        stuller-sg, au-enterprises

    >>> substitute(mass_g=4, density_g_cm3=10.40, to_density_g_cm3=13.07)
    5.027
    """
    in_range(field="mass_g", value=mass_g, low=0, high=1e6)
    in_range(field="density_g_cm3", value=density_g_cm3, low=0.1, high=25)
    in_range(field="to_density_g_cm3", value=to_density_g_cm3, low=0.1, high=25)
    return mass_g * to_density_g_cm3 / density_g_cm3


def casting_chain(
    *,
    pattern_mass_g: float,
    metal_density_g_cm3: float,
    pattern_density_g_cm3: float = WAX_G_CM3,
    shrinkage_linear_pct: float = 0.0,
    button_pct: float = BUTTON_PCT,
    finishing_loss_pct: float = FINISHING_LOSS_PCT,
) -> CastingChain:
    """
    Masses in grams from the pattern to the finished mount.

    Assumes that the casting fills the pattern's volume, less the shrinkage that is allowed for.
    Formula: cast = pattern * metal density / pattern density * (1 - shrinkage)^3; pour = cast * (1 + button);
    finished = cast * (1 - finishing loss).

    Args:
        pattern_mass_g: Mass of the wax or resin pattern, g, above 0 to 10000.
        metal_density_g_cm3: Density of the alloy, g/cm3, from 2 to 22.6.
        pattern_density_g_cm3: Density of the pattern, g/cm3, from 0.5 to 3; resins have 1.1 to 1.2.
        shrinkage_linear_pct: Linear shrinkage of the metal, percent, from 0 to 10; nought is safe.
        button_pct: Button and sprue in percent of the casting, from 0 to 500.
        finishing_loss_pct: Loss from casting to finished mount in percent of the casting, from 0 to 90.

    Returns:
        A :class:`CastingChain`; wax taken as 1.00 makes the forecast 2 to 5 % high, a safe side for the melt.

    Raises:
        OutOfRange: an input is outside its range.

    Source:
        romanoff, romanoff-button, untracht-wax, gold-shrinkage, teague, casting-cleanup, practice

    >>> casting_chain(pattern_mass_g=5, metal_density_g_cm3=13.5).pour_mass_g
    74.25
    """
    in_range(field="pattern_mass_g", value=pattern_mass_g, low=0.001, high=10_000)
    in_range(field="metal_density_g_cm3", value=metal_density_g_cm3, low=2, high=22.6)
    in_range(field="pattern_density_g_cm3", value=pattern_density_g_cm3, low=0.5, high=3)
    in_range(field="shrinkage_linear_pct", value=shrinkage_linear_pct, low=0, high=10)
    in_range(field="button_pct", value=button_pct, low=0, high=500)
    in_range(field="finishing_loss_pct", value=finishing_loss_pct, low=0, high=90)
    full = substitute(
        mass_g=pattern_mass_g, density_g_cm3=pattern_density_g_cm3, to_density_g_cm3=metal_density_g_cm3
    )
    cast = full * (1 - shrinkage_linear_pct / 100) ** 3
    button = cast * button_pct / 100
    finished = cast * (1 - finishing_loss_pct / 100)
    links = (
        Link(
            name="pattern",
            mass_g=pattern_mass_g,
            allowance=f"{pattern_density_g_cm3:g} g/cm³",
            source="romanoff",
        ),
        Link(
            name="casting",
            mass_g=cast,
            allowance=f"{metal_density_g_cm3:g} g/cm³, shrinkage {shrinkage_linear_pct:g} % linear",
            source="gold-shrinkage",
        ),
        Link(
            name="casting with button and sprue",
            mass_g=cast + button,
            allowance=f"{button_pct:g} % of the casting",
            source="romanoff-button",
        ),
        Link(
            name="finished mount",
            mass_g=finished,
            allowance=f"{finishing_loss_pct:g} % of the casting filed and polished away",
            source="teague",
        ),
    )
    return CastingChain(
        pattern_mass_g=pattern_mass_g,
        cast_mass_g=cast,
        button_mass_g=button,
        pour_mass_g=cast + button,
        finished_mass_g=finished,
        links=links,
    )


def pattern_mass_for(
    *,
    finished_mass_g: float,
    metal_density_g_cm3: float,
    pattern_density_g_cm3: float = WAX_G_CM3,
    finishing_loss_pct: float = FINISHING_LOSS_PCT,
) -> float:
    """
    Mass in grams of the pattern that finishes at a wanted mass: the chain read backwards, without shrinkage.

    Args:
        finished_mass_g: Wanted mass of the finished mount, g, above 0 to 10000.
        metal_density_g_cm3: Density of the alloy, g/cm3, from 2 to 22.6.
        pattern_density_g_cm3: Density of the pattern, g/cm3, from 0.5 to 3.
        finishing_loss_pct: Loss from casting to finished mount in percent of the casting, from 0 to 90.

    Returns:
        Mass of the pattern, g.

    Raises:
        OutOfRange: an input is outside its range.

    Source:
        romanoff, practice

    >>> pattern_mass_for(finished_mass_g=13.64, metal_density_g_cm3=15.5)
    1.00
    """
    in_range(field="finished_mass_g", value=finished_mass_g, low=0.001, high=10_000)
    in_range(field="metal_density_g_cm3", value=metal_density_g_cm3, low=2, high=22.6)
    in_range(field="pattern_density_g_cm3", value=pattern_density_g_cm3, low=0.5, high=3)
    in_range(field="finishing_loss_pct", value=finishing_loss_pct, low=0, high=90)
    return finished_mass_g / (1 - finishing_loss_pct / 100) * pattern_density_g_cm3 / metal_density_g_cm3
