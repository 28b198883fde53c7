"""What lies on the faces of a plate and is bolted to it."""

from flangelayout.flange.joints.mate import Mate, MateSource, Spigot, mates_by_group

__all__ = ["Mate", "MateSource", "Spigot", "mates_by_group"]
