"""How the handbook becomes a site."""
