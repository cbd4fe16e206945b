"""The pieces of the page on which the tables are changed."""
