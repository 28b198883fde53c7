"""What is turned or milled on the faces of a plate, and how thick that leaves it at every radius."""

from flangelayout.flange.turning.profile import FaceProfile, FaceRing, PlateProfile, plate_profile
from flangelayout.flange.turning.turned import Fitted, PlateFace, Turned, TurnedKind, raised_face

__all__ = [
    "FaceProfile",
    "FaceRing",
    "Fitted",
    "PlateFace",
    "PlateProfile",
    "Turned",
    "TurnedKind",
    "plate_profile",
    "raised_face",
]
