"""Ebbwork: a planner for stop-start sprayed-concrete repair campaigns.

It turns a scenario folder (tables and ``campaign.toml``) into a plan that says which rig and crew
spray which zone from which position in which window, and checks that plan independently.
"""

__version__ = "0.1.0"
