"""On site: what was really done, what that says of the rest, what comes next, what was issued."""
