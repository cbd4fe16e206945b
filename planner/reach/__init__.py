"""What a rig at a position reaches, and by what margin."""
