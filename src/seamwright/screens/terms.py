"""Words of the trade, each in a sentence, for whoever meets them for the first time."""

TERMS: dict[str, str] = {
    "patch": "One piece of the drawing: straight sides, one wood, one grain direction.",
    "seam": "The straight line where two patches are glued to each other.",
    "grain": "The direction in which the fibres of the wood run.",
    "glue-up": "Spreading glue on parts, clamping them, and waiting until it holds.",
    "set-up": "Setting a machine: a fence, a stop or an angle. Each costs time and a test cut.",
    "strip set": "Strips glued side by side, then sliced across into rows of equal pieces.",
    "slice": "A piece sawn off the end of a bar at the sled.",
    "trim": "A cut at the sled that gives a part its last outline.",
    "kerf": "The width of wood that a saw blade turns to dust.",
    "resaw": "Sawing a deep block into thinner leaves, all with the same pattern.",
    "locked": "Patches that no straight seam divides: they cannot be glued up one line at a time.",
    "sashing": "Strips of wood between the blocks of a board.",
    "cornerstone": "The small square where two strips between blocks would cross.",
    "border": "A strip of wood around all blocks.",
    "block": "A pattern that repeats: a square of patches.",
    "rough wood": "Boards as bought, before planing, with what milling takes off.",
    "long grain": "A seam along the fibres on both sides: the strongest kind.",
    "through line": "A line across the board that little long grain bridges: it may break there.",
    "end grain": "A seam across the fibre ends: the weakest kind.",
}
