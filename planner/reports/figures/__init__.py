"""Charts and maps of a plan, drawn with plain axes and no network."""
