"""Wood as it looks: every stick lies somewhere in a log, and its slices show it.

No picture files: colour comes from where a point of the face lies in the log of its stick, so
slices of one stick look like slices of one stick, and grain runs as the plan lays it.
"""

from seamwright.pictures.timber.painting import Age, paint, png
from seamwright.pictures.timber.sights import Face, Sight, from_drawing, from_plan
from seamwright.pictures.timber.standing import exploded_faces

__all__ = [
    "Age",
    "Face",
    "Sight",
    "exploded_faces",
    "from_drawing",
    "from_plan",
    "paint",
    "png",
]
