"""One piece taken off the board and put back where it does best beside the others.

Unlike placing step after step as early as can be, the whole way of the piece is looked at together: a coat may wait for the
evening so that it dries overnight, a step with time to spare may leave dear hours to others. The prices are those of
hands for hire (bounds.py), for all hours in which a place is kept wet there may be a price too. The board has the last word: where a
start is not free after all, the step comes as soon after it as the rules allow.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tallboy.planner.search.bounds import Shop, price_sums, worth_of
from tallboy.planner.search.bounds_pieces import NO, Floats, Ints, Options, PieceTree
from tallboy.planner.search.greedy import cost, place_all
from tallboy.planner.slots.board import Board
from tallboy.planner.slots.grid import Holding, WaitTable
from tallboy.planner.slots.holds import earliest

Counts = Sequence[Ints]


class Market:
    """The shop with prices for its hours, in which pieces look for their places."""

    def __init__(self, shop: Shop, prices: Floats, moving: float = 0.0) -> None:
        """`moving`: what a start costs that is another than in the plan people saw [slots]; with it, what stands is left there."""
        self.shop, self.prices, self.moving, self.grid = shop, prices, moving, shop.grid
        self.worths = [worth_of(shop.grid, piece) for piece in shop.pieces]
        self._rank = {i: k for k, i in enumerate(shop.grid.order)}
        self._free_at = {
            (i, holding): _until(piece.options[i], holding, self.grid.horizon)
            for piece in shop.pieces
            for i in piece.tasks
            for holding in self.grid.tasks[i].holds
        }
        self._people = np.zeros(self.grid.horizon + 1, np.int64)
        for team in self.grid.teams:
            for start, end in team.spans:
                self._people[start:end] += len(team.people)

    def put_back(self, board: Board, pieces: Sequence[int], since: int, dear: float, wet: float) -> Board | None:
        """The plan with some pieces worked out anew, one after the other.

        Parameters: board, which stays as it is; pieces, numbers within the shop's; since: only steps that start at this slot or
        later are moved; dear: how much of the prices counts [1]; wet: what an open slot costs in which a step keeps the air of
        its place.
        Returns: the new plan, moved together unless moving has its price; None when the steps found no room.
        Source: own derivation.
        """
        new = board.copy()
        moved = [i for k in pieces for i in self.shop.pieces[k].tasks if board.start[i] >= since]
        again = {lag for lag in new.dropped if lag.then in moved and lag.scuff is not None}
        for i in moved + [lag.scuff for lag in again if lag.scuff in new.start]:
            new.lift(self.grid.tasks[i])
        new.dropped -= again
        sums = price_sums(self.shop, self.prices * dear)
        air = _summed((self._people > 0) * wet)
        for k in pieces:
            self._insert(new, k, sums, air)
        return self._together(board, new)

    def _insert(self, new: Board, k: int, sums: Sequence[Floats], air: Floats) -> None:
        """Put one piece where it does best; a step that finds no room is left off the board, with all that follow it."""
        piece = self.shop.pieces[k]
        least, chosen = piece.cheapest(sums, self.worths[k], self._extra(new, piece, air))
        if least >= NO / 2:
            return
        for i in sorted(chosen, key=self._rank.__getitem__):
            if i in new.start:
                continue
            found = earliest(new, self.grid.tasks[i], int(piece.options[i].start[chosen[i]]))
            if found is None:
                return
            new.place(self.grid.tasks[i], *found)

    def _extra(self, board: Board, piece: PieceTree, air: Floats) -> dict[int, Floats]:
        """What each option of each step costs besides hands: everything where something is in its way."""
        free = self._people.copy()
        for busy in board.busy:
            free -= np.frombuffer(busy, dtype=np.uint8)
        full = {hands: _summed((free < hands) & (self._people > 0)) for hands in set(piece.hands.values()) if hands}
        held, shunned = [_summed(one > 0) for one in board.held], [_summed(one > 0) for one in board.shunned]
        return {i: self._extra_of(board, piece, i, full, (held, shunned), air) for i in piece.tasks}

    def _extra_of(
        self,
        board: Board,
        piece: PieceTree,
        i: int,
        full: dict[int, Floats],
        layers: tuple[list[Floats], list[Floats]],
        air: Floats,
    ) -> Floats:
        options, task = piece.options[i], self.grid.tasks[i]
        if i in board.start:
            return np.where(options.start == board.start[i], 0.0, NO)
        blocked, extra = np.zeros(len(options.start)), np.zeros(len(options.start))
        held, shunned = layers
        if i in self.grid.previous:
            extra += self.moving * (options.start != self.grid.previous[i])
        if piece.hands[i]:
            blocked += _between(full[piece.hands[i]], options.start, options.end)
        for layer in task.shuns:
            blocked += _between(held[layer], options.start, options.end)
        for holding in task.holds:
            until = self._free_at[i, holding]
            blocked += _between(shunned[holding.of], options.start, until)
            extra += _between(air, options.start, until)
        return np.where(blocked > 0, NO, extra)

    def _together(self, old: Board, new: Board) -> Board | None:
        """The better of the plan as it is, if it is whole, and of the same order placed as early as can be."""
        order = [float(new.start.get(i, old.start.get(i, self.grid.horizon))) for i in range(len(self.grid.tasks))]
        drop = any(lag.scuff is None and lag.ready is None for lag in old.dropped)
        boards = [place_all(self.grid, order, drop=drop, board=new)]
        if not self.moving:
            boards.append(place_all(self.grid, order, drop=drop))
        return min((board for board in boards if board is not None), key=cost, default=None)


def _until(options: Options, holding: Holding, horizon: int) -> Ints:
    """For each option, the slot in which what is held is free again, within the horizon."""
    hold: WaitTable = holding.hold
    at = np.searchsorted(np.asarray(hold.breaks), options.end, side="right") - 1
    until = options.end + np.asarray(hold.slots)[np.maximum(at, 0)]
    return np.asarray(np.minimum(until, horizon), dtype=np.int64)


def _summed(values: np.ndarray[tuple[int], np.dtype[np.generic]]) -> Floats:
    """The sum of all slots before each slot."""
    return np.concatenate(([0.0], np.cumsum(values, dtype=np.float64)))


def _between(sums: Floats, start: Ints, end: Ints) -> Floats:
    return np.asarray(sums[end] - sums[start], dtype=np.float64)
