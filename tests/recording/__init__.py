"""Tests of what reads and judges recordings."""
