"""The inspection of a knowledge base: one module per check, each of whose docstrings is its manual page."""
