"""Proven bounds: each a named function whose docstring carries the argument.

A bound is a claim over every valid plan that plans at least a given volume and keeps the
goals before it; none rests on a solver's word alone where the multipliers can be checked.
"""
