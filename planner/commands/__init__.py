"""The command line: arguments in, exit codes and plain lines out."""
