"""The independent auditor: rules 1 to 16 worked out once more, plainly, from the contract.

Nothing here asks how a plan was found.  Only the nouns, the plan's rows and the water level
itself are shared with the rest; windows, closures, shifts, reach, rates, cost and measures are
written a second time, so that an error in a shared formula does not pass unseen.
"""
