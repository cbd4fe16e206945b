"""What set a plan: what holds a spell, what fills a gap, what keeps a zone out, with times."""
