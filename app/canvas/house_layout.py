"""Where the tiles of the house line lie: pure arithmetic, no painting.

One tile for each house socket, in the order of the house. A landed tile is wide
enough for a name, a free one narrow; what does not fit in a row goes into the next.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from app.canvas.layout import FACE, Box, Point

TILE_HEIGHT = 42.0
GAP = 6.0
HEAD = 30.0
"""Room above each row for faces and for cables on their way to the next row."""

FOOT = 24.0
FREE_WIDTH = 46.0
NAME_CHAR = 7.0
NUMBER_CHAR, NUMBER_LEFT = 7.2, 4.0
"""Width of a figure of a tile's number, and where the number begins: it ends beside the face."""
WIDEST = 132.0


class TileText(Struct, frozen=True):
    """What is written on a tile before it has a place."""

    socket: str
    number: str
    label: str
    name: str
    block: str


class Tile(Struct, frozen=True):
    """A tile with its place on the sheet; ``row`` counts from the top."""

    text: TileText
    box: Box
    row: int

    @property
    def face(self) -> Point:
        """The centre of its connector's face: on the upper edge."""
        return Point((self.box.left + self.box.right) / 2, self.box.top)


class HouseRows(Struct, frozen=True):
    """All tiles, and the strip they lie on."""

    tiles: tuple[Tile, ...]
    strip: Box

    def tile(self, socket_id: str) -> Tile | None:
        """Return the tile of a socket, or None."""
        return next((one for one in self.tiles if one.text.socket == socket_id), None)

    def tile_at(self, x: float, y: float) -> Tile | None:
        """Return the tile under a place, its face counted in."""
        for tile in self.tiles:
            box = tile.box
            if Box(box.left - GAP / 2, box.top - FACE - 3, box.right + GAP / 2, box.bottom).holds((x, y)):
                return tile
        return None

    def way_in(self, tile: Tile) -> tuple[Point, ...]:
        """Return the points a cable passes from above the strip to the face of a tile.

        Cables to a lower row go down through the gaps of the rows above it.
        """
        points: list[Point] = []
        x = tile.face.x
        for row in range(tile.row - 1, -1, -1):
            gap_x = min(self._gaps(row), key=lambda gap: abs(gap - x))
            lane = self._row_top(row + 1) - FACE - 6 - (self._turn(tile) % 3) * 3
            points[:0] = [Point(gap_x, lane)] if abs(gap_x - x) < 0.1 else [Point(gap_x, lane), Point(x, lane)]
            x = gap_x
        return (*points, tile.face)

    def _gaps(self, row: int) -> list[float]:
        boxes = [tile.box for tile in self.tiles if tile.row == row]
        return [boxes[0].left - GAP / 2, *(box.right + GAP / 2 for box in boxes)]

    def _row_top(self, row: int) -> float:
        return next(tile.box.top for tile in self.tiles if tile.row == row)

    def _turn(self, tile: Tile) -> int:
        return self.tiles.index(tile)


def tile_width(text: TileText) -> float:
    """Return how wide a tile is: a landed one shows a name, a free one its label at most."""
    if text.name:
        return max(74.0, min(len(text.name) * NAME_CHAR + 18, WIDEST))
    shown = max(len(text.label) * 6.2, len(text.number) * 7.5 + 8)
    beside_face = 2 * (FACE + NUMBER_LEFT + len(text.number) * NUMBER_CHAR)
    return max(FREE_WIDTH, min(max(shown + 14, beside_face), 96.0))


def lay_tiles(texts: Sequence[TileText], *, left: float, width: float, top: float) -> HouseRows:
    """Return the tiles in rows no wider than ``width``, the strip beginning at ``top``; rows are centred."""
    rows: list[list[TileText]] = []
    used = width + 1
    for text in texts:
        step = tile_width(text) + GAP
        if used + step > width:
            rows.append([])
            used = 0.0
        rows[-1].append(text)
        used += step
    tiles: list[Tile] = []
    for number, row in enumerate(rows):
        y = top + FACE + 4 + number * (TILE_HEIGHT + HEAD)
        tiles += _lay_row(row, number, Point(left + width / 2, y))
    count = max(1, len(rows))
    bottom = top + FACE + 4 + count * TILE_HEIGHT + (count - 1) * HEAD + FOOT
    return HouseRows(tuple(tiles), Box(left, top, left + width, bottom))


def _lay_row(row: Sequence[TileText], number: int, centre: Point) -> Iterable[Tile]:
    total = sum(tile_width(text) + GAP for text in row) - GAP
    x = centre.x - total / 2
    for text in row:
        wide = tile_width(text)
        yield Tile(text, Box(round(x), centre.y, round(x + wide), centre.y + TILE_HEIGHT), number)
        x += wide + GAP
