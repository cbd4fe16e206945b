"""What a plan is worth on site: many lives of it, drawn by chance, and what they tell."""
