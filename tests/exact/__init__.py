"""An independent exact method for small campaigns, to judge the optimiser with.

It shares no code with the optimiser: rates, windows and reach are worked out once more in
:mod:`tests.exact.facts`, and the campaign is solved as a linear programme in whole numbers over a
coarse time grid (HiGHS, by way of scipy).  What it covers, and why a grid can be exact, stands in
:mod:`tests.exact.solve`.
"""
