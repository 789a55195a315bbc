"""Reads recordings and judges them, in bounded memory.

The one part of the core that needs numpy.
"""
