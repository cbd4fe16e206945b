"""Set-up of a fresh clone: the environment, the libraries, and the way into it.

Everything here runs before any library is installed, so it uses the standard library alone.
"""
