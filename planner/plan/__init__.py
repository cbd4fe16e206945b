"""A plan, its measures, its comparison and its safe keeping."""
