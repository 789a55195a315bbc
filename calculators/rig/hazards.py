"""Cautions that belong to the work, not to one calculator: the words of the handbook's safety page.

The chapters' own pages say more; a sheet carries what must be read at the step.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Hazard:
    """What can happen, and what to do about it."""

    title: str
    text: str


LAST_WORD = (
    "Law, local rules, the maker's safety data sheets, and licensed or trained people override "
    "everything in this handbook."
)

SOLDERING = Hazard(
    "Burns, fumes, splinters",
    "The tip burns skin and lights vapour, the smoke of rosin flux can cause asthma, and a "
    "cut-off lead, a splinter or a reversed capacitor that bursts goes for the eyes. "
    "Wear eye protection. "
    "Draw the smoke off, and keep your head out of it. "
    "Clamp what you drill; no gloves, loose sleeves or long hair near a turning bit.",
)

CELLS = Hazard(
    "Fire, poisonous gas, a bursting case",
    "Lithium cells that are shorted, damaged, overheated or overcharged can run away in heat and "
    "burn; a sealed case then bursts. "
    "Sound, matched, protected cells of known origin; a fuse at the pack. "
    "Never charge in a sealed case. "
    "No wire can chafe, no cell can move, no metal lies loose.",
)

HEADPHONES = Hazard(
    "A knock on a hydrophone is as loud as the gain allows",
    "It can hurt your hearing before you can react. "
    "Gain down before you plug in, move or lower a hydrophone. "
    "Phones off while someone handles the cable.",
)

RECOVERED = Hazard(
    "It may be under pressure",
    "Water that came in at depth, gas from cells, or warmth can hold pressure in a case that looks "
    "sound. "
    "Outdoors, eye protection on, face and body out of line with the lid, nobody behind it. "
    "Loosen, don't remove: let it hiss while the last fastening still holds.",
)

WATER = Hazard(
    "Cold water takes your breath before you can swim",
    "A lifejacket, worn, in and beside deep, cold or moving water. "
    "Two people, one of them ashore; someone at home knows where you are, and when to call for "
    "help. "
    "Look at weather, level, tide and the way out before you unload.",
)

SOLVENTS = Hazard(
    "Fire, fumes, skin",
    "Vapour creeps along the bench and the floor to a flame, a relay or a hot iron. "
    "Small amounts, moving air, no ignition, lids shut. "
    "The gloves that the data sheet names: what holds against one solvent dissolves in another.",
)

LINES = Hazard(
    "Backs, fingers, and whoever meets your line next",
    "Lift ballast with two, or in parts. "
    "No turn of line round a hand, no foot in a loop; gloves; a knife in reach. "
    "No slack or floating line.",
)

ICE = Hazard(
    "No book can tell you that ice is safe",
    "Thickness, colour and the water below it change within metres; over moving water it does not "
    "freeze evenly. "
    "Ask the local authority, and people who use this ice, today. "
    "Never alone; rope, ice claws, lifejacket; dry clothes ashore. "
    "Off river ice; away from inlets, outlets, springs and reeds. "
    "Mark the hole, cover it, and tell others where it is.",
)
