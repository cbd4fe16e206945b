"""The chain of stages, from a scenario folder to a checked plan folder, as named steps."""
