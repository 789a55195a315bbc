"""The rig sheet: one description of a whole rig, and what follows from it."""
