"""The pages: they show what the workflow and the reports give, and decide nothing themselves."""
