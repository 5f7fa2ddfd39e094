"""
The halo: melee almost touching round a centre stone, computed for the one stone that lies in the tray.

:func:`gemcalc.halo.case.read_case` reads what is asked for, :func:`gemcalc.halo.fit.fit` answers it.
"""
