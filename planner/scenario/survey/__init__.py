"""Lists with headings of their own, such as a survey's, taken over into a table."""
