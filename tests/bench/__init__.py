"""The benchmark behind ``make bench``: what the site costs a reader in time and in bytes.

It measures and reports; a missed speed target is printed, not raised.
"""
