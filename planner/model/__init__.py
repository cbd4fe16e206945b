"""The nouns of a campaign: frozen, unit-suffixed, one module each, no behaviour of a solver.

Times are whole minutes after the campaign epoch; levels are metres above the site datum.
"""
