"""Reads recordings and judges them, in bounded memory.

``opening`` opens a file of any kind that is read; ``wave_file`` and ``flac`` find its ``layout``;
``samples`` turns its bytes into arrays; ``sequence`` puts the files of a deployment in order.

This package alone may import numpy. Nothing outside it imports it while Python starts: a page's
calculators run without it. ``source``, ``layout``, ``wave_file`` and ``sequence`` need no numpy.
"""
