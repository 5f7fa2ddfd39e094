"""Sources of the figures of stones: factors, gravities, reports, melee."""

from __future__ import annotations

from gemcalc.source_row import Source

STONE_SOURCES: tuple[Source, ...] = (
    Source(
        key="plotnine-diamonds",
        citation=(
            "plotnine 0.15.9 (open Python package, MIT), data set `diamonds`: 53,940 round "
            "brilliants with weight and measures."
        ),
        mark="lib",
    ),
    Source(
        key="diamonds-fit",
        citation=(
            "Least-deviation fit made here on every second clean row of the open set `diamonds`; the "
            "other rows check it."
        ),
        mark="lib",
    ),
    Source(
        key="xraylib",
        citation="xraylib 4.3.0 (open library): density of a crystal from its structure, figures recorded.",
        mark="lib",
    ),
    Source(
        key="burnman",
        citation=(
            "BurnMan 2.1.0 (open library) with Holland and Powell 2011 mineral data, 1 bar, 298 K, "
            "figures recorded."
        ),
        mark="lib",
    ),
    Source(
        key="shapely",
        citation="shapely 2.2.0 (open library): areas of polygons.",
        mark="lib",
    ),
    Source(
        key="scipy",
        citation="scipy 1.17.1 (open library): half-space intersection and convex hull.",
        mark="lib",
    ),
    Source(
        key="gia-weight-ratio",
        citation=(
            "GIA, Weight Ratio within the GIA Diamond Cut Grading System (Reinitz, Geurts, "
            "Gilbertson): a reference round brilliant."
        ),
        mark="seen",
    ),
    Source(
        key="gia-rounding",
        citation="GIA, How is diamond carat weight rounded? (1.768 is shown as 1.76, 1.769 as 1.77).",
        mark="seen",
    ),
    Source(
        key="agl-rounding",
        citation=(
            "AGL Thailand laboratory, carat weight of coloured stones (0.478 is shown as 0.47, 0.479 "
            "as 0.48)."
        ),
        mark="seen",
    ),
    Source(
        key="weight-page",
        citation=(
            "'Formula for calculating the weight' page, quoting Scharffenberg 1931 (0.0067) and the "
            "modern table (0.0061)."
        ),
        mark="seen",
    ),
    Source(
        key="gcal-table",
        citation="GCAL laboratory, educational table of diamond weight-estimation formulas.",
        mark="seen",
    ),
    Source(
        key="gemgate",
        citation=(
            "GemGate education chapters on the weight of mounted stones: factors, girdle table, "
            "worked examples."
        ),
        mark="seen",
    ),
    Source(
        key="supplier-blog",
        citation="A tool supplier's article on weight formulas: pear of 1.66 to 1.",
        mark="seen",
    ),
    Source(
        key="igs-weight",
        citation=(
            "International Gem Society, gem weight estimation formulas (as republished by the Plumb Club)."
        ),
        mark="seen",
    ),
    Source(
        key="yourgemologist",
        citation=(
            "Coloured-stone weight and specific gravity table after yourgemologist.com, quoted on a "
            "trade forum."
        ),
        mark="seen",
    ),
    Source(
        key="niceice-report",
        citation=(
            "NiceIce article on weight formulas, quoting a laboratory document: 6.48-6.51 x 3.96 mm, "
            "weighed 1.014 ct."
        ),
        mark="seen",
    ),
    Source(
        key="gavin-report",
        citation=(
            "Brian Gavin article, quoting a laboratory document: 6.97 x 6.99 x 4.31 mm, weighed 1.298 ct."
        ),
        mark="seen",
    ),
    Source(
        key="report-walkthrough",
        citation="Grading-report walk-through: 9.15-9.27 mm, depth 63.2 %, 3.04 ct.",
        mark="seen",
    ),
    Source(
        key="wade-1918",
        citation=(
            "F. B. Wade, A Text-Book of Precious Stones (1918, public domain): table of specific gravities."
        ),
        mark="seen",
    ),
    Source(
        key="igs-sg",
        citation="International Gem Society, specific gravity of selected gems.",
        mark="seen",
    ),
    Source(
        key="britannica",
        citation="'Important gemstones' table, Encyclopaedia Britannica text (mirrored by Universalium).",
        mark="seen",
    ),
    Source(
        key="schumann",
        citation="Schumann, Gemstones of the World, as quoted by a gem article.",
        mark="seen",
    ),
    Source(
        key="moissanite-chart",
        citation="A maker's comparison chart of moissanite: 3.21.",
        mark="seen",
    ),
    Source(
        key="wikipedia-zirconia",
        citation="Wikipedia, Cubic zirconia: 5.6 to 6.0.",
        mark="seen",
    ),
    Source(
        key="gem-memory",
        citation="Ends of a range of specific gravity given from memory.",
        mark="memory",
    ),
    Source(
        key="factor-memory",
        citation="Weight factor given from memory.",
        mark="memory",
    ),
    Source(
        key="ftc-23-12",
        citation="16 CFR 23.12 (US Federal Trade Commission, jewellery guides): the word diamond.",
        mark="seen",
    ),
    Source(
        key="ftc-23-18",
        citation=(
            "16 CFR 23.18 (23.17 before 2018; US Federal Trade Commission): stating the weight of a diamond."
        ),
        mark="seen",
    ),
    Source(
        key="hole-gauge",
        citation=(
            "Published markings of a steel hole gauge for round diamonds (Quicktest), the same on a "
            "jeweller's chart."
        ),
        mark="seen",
    ),
    Source(
        key="size-chart",
        citation=(
            "Retail chart of diamond sizes by weight (1.00 ct: round 6.4, princess 5.5, emerald 6.5 "
            "x 5, ...)."
        ),
        mark="seen",
    ),
    Source(
        key="iso-24016",
        citation="ISO 24016:2020, Grading polished diamonds, clause 8.3.3 (table size).",
        mark="seen",
    ),
    Source(
        key="report-guides",
        citation=(
            "Report guides of grading laboratories: measures to 0.01 mm, depth % of mean diameter or "
            "of width."
        ),
        mark="seen",
    ),
    Source(
        key="i-cgs",
        citation="i-cgs laboratory article: average girdle diameter is half of least plus greatest.",
        mark="seen",
    ),
    Source(
        key="lab-repeatability",
        citation="PriceScope survey of laboratories: diameters repeat to 0.01-0.03 mm, depth to 0.4 point.",
        mark="seen",
    ),
    Source(
        key="sieve-chart",
        citation="Sieve chart, Diamond Consultants (Mumbai) knowledge centre: sieves -0000 to 16.",
        mark="seen",
    ),
    Source(
        key="sieve-seller",
        citation="Sieve table in a diamond seller's carat-weight article (+0 to +6.5).",
        mark="seen",
    ),
    Source(
        key="round-chart",
        citation="Chart of round stones 0.8 to 3.0 mm by a stone seller (Rock2Polish).",
        mark="seen",
    ),
    Source(
        key="sieve-memory",
        citation="Sieve plates 16.5 to 20, continuing by 0.10 mm a half step to 4.50 mm, from memory.",
        mark="memory",
    ),
)
