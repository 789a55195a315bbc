"""Formulas, one module a subject: pure functions, SI floats in and out."""
