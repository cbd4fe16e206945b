"""One file for each page; each opens by itself."""
