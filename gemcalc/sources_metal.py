"""Sources of the metal, band, model and setting figures; read through :mod:`gemcalc.sources`."""

from __future__ import annotations

from gemcalc.source_row import Source

METAL_SOURCES: tuple[Source, ...] = (
    Source(
        key="periodictable",
        citation="periodictable 2.1.0, open Python library of the elements (public domain): "
        "element densities.",
        mark="lib",
    ),
    Source(
        key="rule-of-mixtures",
        citation="Rule of mixtures: volumes add, so 1/density = sum of mass share / element density.",
        mark="calc",
    ),
    Source(
        key="alloy-memory",
        citation="Density band as commonly printed by metal suppliers, given from memory: take "
        "your supplier's sheet.",
        mark="memory",
    ),
    Source(
        key="stuller-sg",
        citation="Stuller, 'Where can I find the specific gravity of various materials?' (2012).",
        mark="seen",
    ),
    Source(
        key="au-enterprises",
        citation="AU Enterprises, Weights: relative weights and conversion factors.",
        mark="seen",
    ),
    Source(
        key="romanoff",
        citation="Romanoff, Calculate weight and metal: specific weights and worked wax examples "
        "(the newer page).",
        mark="seen",
    ),
    Source(
        key="romanoff-button",
        citation="Romanoff, Wax weight against metal weight: 5 g of wax with 10 % for the button at 13.5.",
        mark="seen",
    ),
    Source(
        key="tmt",
        citation="'How to determine approximate specific gravities of alloys' (tmtpages): "
        "583/104/313 gives 13.33.",
        mark="seen",
    ),
    Source(
        key="espi",
        citation="ESPI Metals technical data, sterling silver 92.5/7.5: 10.36 g/cm3.",
        mark="seen",
    ),
    Source(
        key="platinum-metals-review",
        citation="Platinum Metals Review 2009, on 950 palladium: about 12; 18 ct white about 15; "
        "950 platinum about 21.",
        mark="seen",
    ),
    Source(
        key="iso-9202",
        citation="ISO 9202, fineness of precious metal alloys: no minus tolerance (scope read, "
        "list from memory).",
        mark="memory",
    ),
    Source(
        key="hallmarking-convention",
        citation="Hallmarking Convention, country profile United Kingdom: finenesses and exemption weights.",
        mark="seen",
    ),
    Source(
        key="hallmarking-act-1973",
        citation="Hallmarking Act 1973 (UK), Schedule 1 Part II and Schedule 2 (legislation.gov.uk).",
        mark="seen",
    ),
    Source(
        key="anchorcert",
        citation="AnchorCert Academy (Birmingham Assay Office), exemption weights.",
        mark="seen",
    ),
    Source(
        key="tukes",
        citation="Tukes (Finland), fineness requirements: 588 is marked 585, 584 is marked 375.",
        mark="seen",
    ),
    Source(
        key="us-stamping",
        citation="US National Gold and Silver Stamping Act (15 USC 291-300), as summarised in the trade.",
        mark="seen",
    ),
    Source(
        key="reach-nickel",
        citation="Regulation (EC) 1907/2006 (REACH), Annex XVII entry 27, with the test EN 1811:2023.",
        mark="seen",
    ),
    Source(
        key="troy-grain",
        citation="The grain of 64.79891 mg (international pound of 1959) and the troy units built on it.",
        mark="seen",
    ),
    Source(
        key="pappus",
        citation="Pappus's second centroid theorem; Larson and Edwards, Calculus 7.6 (torus "
        "example, 4 pi squared).",
        mark="seen",
    ),
    Source(
        key="simpson",
        citation="Simpson's rule, exact for polynomials up to the third degree.",
        mark="calc",
    ),
    Source(
        key="untracht-wax",
        citation="Orchid forum, quoting Untracht: injection wax of 0.95 to 0.98 g/cm3 on the bench.",
        mark="seen",
    ),
    Source(
        key="gold-shrinkage",
        citation="Artistry of Gold, Mold shrinkage: wax 2.5 %, metal 1.0 %, mould 0 to 1 %, linear.",
        mark="seen",
    ),
    Source(
        key="teague",
        citation="T. Teague, Santa Fe Symposium, as quoted on the Orchid forum: one ring weighed "
        "model to finish.",
        mark="seen",
    ),
    Source(
        key="casting-cleanup",
        citation="Trade article on clean-up loss of castings: 1 to 5 % of the casting.",
        mark="seen",
    ),
    Source(
        key="divergence-theorem",
        citation="Divergence theorem: the volume inside closed triangles is the sum of a.(b x c)/6.",
        mark="calc",
    ),
    Source(
        key="trimesh",
        citation="trimesh 5.2.0, open Python library of triangle meshes (MIT): volumes, surfaces, closedness.",
        mark="lib",
    ),
    Source(
        key="3mf-core",
        citation="3MF Core Specification: units, mesh, components and build items with transforms.",
        mark="memory",
    ),
    Source(
        key="gia-benchmark-prong",
        citation="GIA Quality Assurance Benchmark: setting a round centre stone in platinum prongs.",
        mark="seen",
    ),
    Source(
        key="gia-benchmark-bead",
        citation="GIA Quality Assurance Benchmark: bead-set diamonds in a platinum shank.",
        mark="seen",
    ),
    Source(
        key="gia-benchmark-v-prong",
        citation="GIA Quality Assurance Benchmark: princess cut in platinum V-prongs.",
        mark="seen",
    ),
    Source(
        key="ja-guide",
        citation="Professional Jeweler / Jewelers of America quality guides, July 2004 (prongs), "
        "December 2002 (shared).",
        mark="seen",
    ),
    Source(
        key="maker-limits",
        citation="Professional Jeweler, June 2004: one mounting maker's limits (25 % seat, 0.5 mm "
        "culet, 0.2 mm removed).",
        mark="seen",
    ),
    Source(
        key="stuller-bench",
        citation="Stuller bench article 'Round settings': a 90-degree bur slightly under the stone's size.",
        mark="seen",
    ),
    Source(
        key="ganoksin-pave",
        citation="Ganoksin, single-row pave guide: a strip of stone plus 0.5 mm each side.",
        mark="seen",
    ),
    Source(
        key="channel-page",
        citation="A jeweller's published channel-setting standard: walls cover 10 to 15 % of the diameter.",
        mark="seen",
    ),
    Source(
        key="bead-article",
        citation="One web article on bead setting (weak): 0.2 to 0.4 mm beads for a 1.0 mm stone, "
        "seat within 0.05 mm.",
        mark="seen",
    ),
)
