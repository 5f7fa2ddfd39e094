"""
How fast the figures are on this machine: ``python -m gemcalc.bench SUBJECT``.

One module a subject, each with a function ``lines()`` that measures and returns what to print.
Times on a shared machine are noisy: each is the best of several runs.
"""
