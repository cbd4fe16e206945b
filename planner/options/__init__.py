"""Who could spray what, from where; and why the rest cannot."""
