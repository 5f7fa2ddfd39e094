"""Sources of fitting: statistics behind a scanned girdle."""

from __future__ import annotations

from gemcalc.source_row import Source

FIT_SOURCES = (
    Source(
        key="biweight",
        citation=(
            "A. E. Beaton and J. W. Tukey, The fitting of power series, meaning polynomials, "
            "Technometrics 16 (1974) 147-185; constant 4.685 for 95 % efficiency: "
            "P. W. Holland and R. E. Welsch, Communications in Statistics A6 (1977) 813-827."
        ),
        mark="memory",
    ),
    Source(
        key="bic",
        citation="G. Schwarz, Estimating the dimension of a model, Annals of Statistics 6 (1978) 461-464.",
        mark="memory",
    ),
)
