"""What is looked at when the cells of a scenario are seen together."""
