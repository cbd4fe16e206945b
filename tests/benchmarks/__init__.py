"""Published instances and synthetic cases, and a table of what the optimiser makes of them."""
