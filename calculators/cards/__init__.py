"""Cards, one module a subject: each declares calculators over ``formulas``."""
