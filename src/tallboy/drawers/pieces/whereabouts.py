"""Where a part is: exactly one of a position, a spot, or gone with the reason."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from tallboy.drawers.pieces.models import Part, Position, Spot


@dataclass(frozen=True)
class Whereabouts:
    """Exactly one of the three is set."""

    position: Position | None = None
    spot: Spot | None = None
    gone_because: str = ""

    def __post_init__(self) -> None:
        told = [self.position is not None, self.spot is not None, bool(self.gone_because)]
        if sum(told) != 1:
            raise ValueError("a part is in exactly one place")

    @classmethod
    def of(cls, part: Part) -> Whereabouts:
        """Where a part is now."""
        return cls(part.at_position, part.at_spot, part.gone_because)

    def words(self) -> str:
        """In words, as a person would say it."""
        if self.position is not None:
            return _("on the %(piece)s: %(position)s") % {
                "piece": self.position.piece.name,
                "position": self.position.name,
            }
        if self.spot is not None:
            return self.spot.name
        return _("gone: %(reason)s") % {"reason": self.gone_because}


def on_position(position: Position) -> Whereabouts:
    return Whereabouts(position=position)


def in_spot(spot: Spot) -> Whereabouts:
    return Whereabouts(spot=spot)


def gone(reason: str) -> Whereabouts:
    return Whereabouts(gone_because=reason)
