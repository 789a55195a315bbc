"""Wetside's core: formulas and calculators for self-built underwater sound recorders.

Standard library only, so that a page loads it in one small file.
Dependencies point one way: ``formulas`` <- ``cards`` <- command line and site.
"""

EDITION = "2026.11"
"""Edition of the handbook and version of the distribution: year.month[.fix]."""

LINK_FORMAT = 1
"""Version of the share-link format; a new number never changes what an old one means."""
