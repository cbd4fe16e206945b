"""What a plan would cost in full, line by line, and as a bill beside a tender's items."""
