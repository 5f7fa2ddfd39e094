"""Gem species and their specific gravities, one row a species."""

from __future__ import annotations

from dataclasses import dataclass

from gemcalc.errors import BadInput


@dataclass(frozen=True, kw_only=True, slots=True)
class Species:
    """
    One gem species.

    Args:
        key: Our word for it in inputs, lower case with hyphens.
        name: As written for a reader.
        also: Other words that mean the same row.
        density_g_cm3: Typical density (specific gravity), g/cm3.
        low_g_cm3: Low end of the published range, g/cm3.
        high_g_cm3: High end of the published range, g/cm3.
        sources: Keys of the sources of the three figures.
    """

    key: str
    name: str
    also: tuple[str, ...]
    density_g_cm3: float
    low_g_cm3: float
    high_g_cm3: float
    sources: tuple[str, ...]


def _row(
    key: str,
    name: str,
    typical: float,
    low: float,
    high: float,
    *,
    sources: tuple[str, ...],
    also: tuple[str, ...] = (),
) -> Species:
    """One line of the table: typical density and the ends of its range, g/cm3."""
    return Species(
        key=key, name=name, also=also, density_g_cm3=typical, low_g_cm3=low, high_g_cm3=high, sources=sources
    )


SPECIES: tuple[Species, ...] = (
    _row(
        "diamond",
        "Diamond",
        3.52,
        3.51,
        3.53,
        sources=("igs-sg", "ftc-23-12", "wade-1918"),
        also=("laboratory-grown-diamond",),
    ),
    _row(
        "corundum",
        "Ruby, sapphire",
        4.00,
        3.97,
        4.08,
        sources=("igs-sg", "schumann", "wade-1918"),
        also=("ruby", "sapphire"),
    ),
    _row("emerald", "Emerald", 2.72, 2.67, 2.78, sources=("schumann", "britannica", "wade-1918")),
    _row(
        "aquamarine",
        "Aquamarine",
        2.70,
        2.66,
        2.80,
        sources=("igs-sg", "britannica"),
        also=("beryl", "heliodor"),
    ),
    _row("morganite", "Morganite", 2.83, 2.71, 2.90, sources=("britannica", "gem-memory")),
    _row("spinel", "Spinel", 3.60, 3.58, 3.61, sources=("wade-1918", "gem-memory")),
    _row(
        "chrysoberyl",
        "Chrysoberyl, alexandrite",
        3.73,
        3.70,
        3.78,
        sources=("wade-1918", "britannica", "gem-memory"),
        also=("alexandrite",),
    ),
    _row("topaz", "Topaz", 3.53, 3.49, 3.57, sources=("wade-1918", "igs-sg", "gem-memory")),
    _row(
        "tourmaline",
        "Tourmaline",
        3.06,
        2.84,
        3.25,
        sources=("yourgemologist", "wade-1918", "igs-sg", "gem-memory"),
        also=("rubellite", "indicolite"),
    ),
    _row("peridot", "Peridot", 3.34, 3.27, 3.48, sources=("igs-sg", "yourgemologist", "wade-1918")),
    _row(
        "quartz",
        "Quartz, amethyst, citrine",
        2.65,
        2.63,
        2.68,
        sources=("igs-sg", "wade-1918"),
        also=("amethyst", "citrine"),
    ),
    _row(
        "tanzanite",
        "Tanzanite",
        3.35,
        3.15,
        3.38,
        sources=("yourgemologist", "gem-memory"),
        also=("zoisite",),
    ),
    _row("zircon", "Zircon (high)", 4.69, 4.60, 4.73, sources=("wade-1918", "yourgemologist", "gem-memory")),
    _row("pyrope", "Pyrope garnet", 3.78, 3.65, 3.87, sources=("wade-1918", "gem-memory"), also=("garnet",)),
    _row("rhodolite", "Rhodolite garnet", 3.84, 3.74, 3.94, sources=("yourgemologist", "gem-memory")),
    _row("almandine", "Almandine garnet", 4.05, 3.93, 4.30, sources=("wade-1918", "igs-sg")),
    _row("spessartine", "Spessartine garnet", 4.15, 4.12, 4.20, sources=("britannica", "gem-memory")),
    _row(
        "grossular",
        "Grossular garnet, tsavorite, hessonite",
        3.61,
        3.57,
        3.73,
        sources=("wade-1918", "gem-memory"),
        also=("tsavorite", "hessonite"),
    ),
    _row(
        "demantoid",
        "Demantoid garnet",
        3.84,
        3.82,
        3.88,
        sources=("wade-1918", "gem-memory"),
        also=("andradite",),
    ),
    _row("kunzite", "Kunzite", 3.18, 3.15, 3.21, sources=("wade-1918", "gem-memory"), also=("spodumene",)),
    _row("opal", "Opal", 2.15, 1.98, 2.25, sources=("wade-1918", "igs-sg")),
    _row(
        "iolite", "Iolite", 2.61, 2.57, 2.66, sources=("yourgemologist", "gem-memory"), also=("cordierite",)
    ),
    _row("jadeite", "Jadeite", 3.34, 3.25, 3.40, sources=("yourgemologist", "britannica", "gem-memory")),
    _row("moissanite", "Moissanite", 3.22, 3.20, 3.24, sources=("moissanite-chart", "gem-memory")),
    _row(
        "cubic-zirconia",
        "Cubic zirconia",
        5.80,
        5.50,
        6.00,
        sources=("igs-sg", "wikipedia-zirconia"),
        also=("zirconia",),
    ),
)
"""The species we have figures for; where a published table and another disagree the range holds both."""

_BY_WORD: dict[str, Species] = {word: row for row in SPECIES for word in (row.key, *row.also)}


def species_named(*, species: str) -> Species:
    """
    Row of the species called *species*.

    Args:
        species: A name such as `sapphire` or `cubic-zirconia`; case and spaces do not matter.

    Returns:
        The row with its densities, g/cm3, and their sources.

    Raises:
        BadInput: we hold no figures for that name.

    Source:
        igs-sg, wade-1918

    >>> species_named(species="Sapphire").density_g_cm3
    4.0
    """
    row = _BY_WORD.get(species) or _BY_WORD.get("-".join(species.lower().replace("_", " ").split()))
    if row is None:
        raise BadInput(
            f"is not a species we have figures for: choose one of {', '.join(_BY_WORD)}", field="species"
        )
    return row
