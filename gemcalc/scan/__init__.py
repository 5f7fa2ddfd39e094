"""
A stone's girdle from a scan.

Three doors: :func:`gemcalc.scan.reading.read_outline` takes a file to points in mm,
:func:`gemcalc.scan.fit.fit_girdle` takes points to a smooth girdle with its uncertainties,
:func:`gemcalc.scan.compare.gap_round` lays a modelled opening over a girdle.
"""
