"""What people look at: names and colours, sentences, tables and figures of a plan."""
