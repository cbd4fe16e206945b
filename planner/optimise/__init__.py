"""Finds plans and proves bounds; knows nothing of the checker that judges them."""
