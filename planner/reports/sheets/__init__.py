"""Paper for the site: shift sheets, the foreman's week, the report of the campaign."""
