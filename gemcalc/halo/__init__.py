"""
The halo: melee almost touching round a centre stone, computed for the one stone that lies in the tray.

:func:`gemcalc.halo.case.read_case` reads what is asked for, :func:`gemcalc.halo.fit.fit` answers it.
"""

import os

# Thousands of small matrices: threads of the linear algebra library only wait for each other, and on a busy
# machine they turn milliseconds into seconds. Whoever has set the number keeps it.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
