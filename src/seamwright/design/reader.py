"""Read a design file into a checked drawing."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction

from seamwright.design.backing import read_backing
from seamwright.design.blocks import DrawingText, read_block
from seamwright.design.check import check_patches
from seamwright.design.fields import Table
from seamwright.design.findings import Findings
from seamwright.design.grids import MOST_CLIPPED, MOST_PATCHES, as_floats, read_patches
from seamwright.design.layout import Layout, read_board
from seamwright.design.model import Drawing, Kind, Patch, Unit
from seamwright.design.naming import named, unique
from seamwright.design.pieces import Block, HoleError, Piece, laid_over
from seamwright.design.source import LineFinder, load_toml
from seamwright.design.weld import welded
from seamwright.design.wording import listed, short, some
from seamwright.errors import Fault
from seamwright.geometry import Polygon, bounds, drop_collinear

KEYS = (
    "title", "unit", "thickness", "kind", "grain", "copies", "woods", "block", "board", "patch",
    "outline", "backing",
)  # fmt: skip
MOST_BLOCKS = 500
MOST_COPIES = 1000
THICKEST_MM = 300
LONGEST_TITLE = 120


def read(text: str, *, name: str, drawing_text: DrawingText | None = None) -> Drawing:
    """The drawing of a design file.

    Args:
        text: the file, TOML.
        name: what to call the board where the file gives no title.
        drawing_text: gives the text of an SVG drawing named in the file.
    Returns:
        A drawing whose patches are sound and tile its outline.
    Raises:
        DesignError: anything is wrong; all faults that could be found at once.
    """
    values = load_toml(text)
    findings = Findings(LineFinder(text))
    unit = Table(values, path=(), findings=findings, unit=Unit.MM).choice("unit", Unit, Unit.INCH)
    top = Table(values, path=(), findings=findings, unit=unit)
    top.only(*KEYS)
    top.need("unit", '"in"')
    title = top.label("title", most=LONGEST_TITLE) or name
    thickness = read_thickness(top)
    kind = top.choice("kind", Kind, Kind.THROUGH)
    grain = top.grain()
    copies = top.whole("copies", low=1, high=MOST_COPIES, default=1)
    woods = _woods(top)
    backing = read_backing(top, kind, woods)
    pieces, outline = _board(top, drawing_text)
    _check_letters(findings, pieces, woods)
    findings.refuse()
    rings = welded([outline] + [piece.points for piece in pieces])
    edge, rings = rings[0], rings[1:]
    patches = tuple(
        Patch(
            name=piece.place,
            points=ring,
            wood=piece.wood,
            grain_deg=_board_grain(grain) if piece.grain_deg is None else piece.grain_deg,
        )
        for piece, ring in zip(pieces, rings, strict=True)
    )
    drawn = {f"patch {piece.place}": piece.line for piece in pieces}
    findings.extend(
        replace(fault, line=drawn.get(fault.subject)) for fault in check_patches(patches, edge)
    )
    findings.refuse()
    return Drawing(
        title=title,
        unit=unit,
        thickness_mm=float(thickness or 0),
        kind=kind,
        woods=woods,
        patches=patches,
        outline=edge,
        copies=copies,
        backing=backing,
    )


def _board_grain(grain: float | None) -> float:
    return 90.0 if grain is None else grain


def read_thickness(top: Table) -> Fraction | None:
    """The thickness in the head of a file [mm], None where a fault was noted."""
    thickness = top.length("thickness") if top.need("thickness", '"3/4"') else None
    if thickness is not None and thickness > THICKEST_MM:
        top.fault(
            "D410", "thickness", f"is {float(thickness):.0f} mm", "300 mm (about 12 in) is the most"
        )
    return thickness


def _woods(top: Table) -> tuple[tuple[str, str], ...]:
    table = top.table("woods") if top.need("woods", '{ A = "sugar maple" }') else None
    if table is None:
        return ()
    woods = []
    for letter in table.values:
        wood = table.label(letter, most=60)
        if wood is not None:
            woods.append((letter, wood))
    return tuple(woods)


def _board(top: Table, drawing_text: DrawingText | None) -> tuple[list[Piece], Polygon]:
    """All pieces by name, and the board's edge; empty where faults were noted."""
    blocks = _blocks(top, drawing_text)
    board = top.table("board")
    extra = top.values.get("patch")
    if isinstance(extra, list) and len(extra) > MOST_PATCHES:
        message = f"are {len(extra)}, more than {MOST_PATCHES}"
        top.fault("D402", "patch", message, "split the board")
        return [], ()
    bare = _numbered(top, read_patches(top, grain_deg=None))
    if board is None:
        if len(blocks) == 1 and not bare:
            only = next(iter(blocks))
            board = Table({"set": only}, path=("board",), findings=top.findings, unit=top.unit)
        elif not bare:
            remedy = 'add [board] with set = "…", or [[patch]] tables'
            if extra is None:
                top.fault("D412", None, "draws no board", remedy)
            return [], ()
        else:
            return _bare(top, bare)
    layout = read_board(board, blocks)
    return ([], ()) if layout is None else _laid(top, board, layout, bare)


def _numbered(top: Table, bare: list[Piece]) -> list[Piece]:
    """Patches without a name get their number in the file."""
    given = Counter(piece.place for piece in bare if piece.place)
    for name, count in given.items():
        if count > 1:
            remedy = "give every patch its own name, or none"
            top.fault("D415", "patch", f"has the name {short(name)} {count} times", remedy)
    result = []
    for number, piece in enumerate(bare, start=1):
        plain = f"{number}" if f"{number}" not in given else f"no {number}"
        result.append(piece if piece.place else named(piece, plain))
    return result


def _blocks(top: Table, drawing_text: DrawingText | None) -> dict[str, Block | None]:
    table = top.table("block")
    if table is None:
        return {}
    if len(table.values) > MOST_BLOCKS:
        table.fault("D416", None, f"has {len(table.values)} blocks", f"{MOST_BLOCKS} is the most")
        return {}
    blocks = {}
    for name in table.values:
        inner = table.table(name)
        blocks[name] = None if inner is None else read_block(inner, drawing_text=drawing_text)
    return blocks


def _bare(top: Table, bare: list[Piece]) -> tuple[list[Piece], Polygon]:
    outline = _outline(top)
    x0, y0, x1, y1 = bounds(p for piece in bare for p in piece.points)
    return unique(bare), outline or ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def _laid(
    top: Table, board: Table, layout: Layout, bare: list[Piece]
) -> tuple[list[Piece], Polygon]:
    pieces = list(layout.pieces)
    if len(pieces) * len(bare) > MOST_CLIPPED:
        message = f"are {len(bare)}, laid over {len(pieces)} others"
        top.fault("D305", "patch", message, "draw all of it as patches, without a board")
        return [], ()
    for piece in bare:
        try:
            pieces = laid_over(pieces, named(piece, f"laid {piece.place}"))
        except HoleError:
            remedy = "cut the patch below in two"
            top.fault("D304", None, f"has patch {piece.place}, which leaves a hole", remedy)
    width, height = float(layout.width_mm), float(layout.height_mm)
    edge = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return unique(pieces), _outline(board) or _outline(top) or edge


def _outline(table: Table) -> Polygon | None:
    """A rectangle: width and height, or its four corners."""
    value = table.values.get("outline")
    if value is None:
        return None
    if any(isinstance(item, list) or "," in str(item) for item in listed(value)):
        points = table.points("outline")
        ring = drop_collinear(as_floats(points)) if points else ()
        if points and not _is_rectangle(ring):
            table.fault("D413", "outline", "is no upright rectangle", 'write outline = "24 16"')
        return ring or None
    sizes = table.lengths("outline")
    if sizes is None:
        return None
    if len(sizes) != 2:
        table.fault("D413", "outline", f"is {short(value)}", 'write outline = "24 16"')
        return None
    width, height = (float(size) for size in sizes)
    return ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))


def _is_rectangle(ring: Polygon) -> bool:
    if len(ring) != 4:
        return False
    x0, y0, x1, y1 = bounds(ring)
    return all(x in (x0, x1) and y in (y0, y1) for x, y in ring) and len(set(ring)) == 4


def _check_letters(
    findings: Findings, pieces: list[Piece], woods: tuple[tuple[str, str], ...]
) -> None:
    known = [letter for letter, _ in woods]
    used = dict.fromkeys(piece.wood for piece in pieces)
    for letter in used:
        if letter not in known:
            has = f"[woods] has {some(known)}" if known else "[woods] is empty"
            first = next(piece for piece in pieces if piece.wood == letter)
            fault = Fault(
                "D414",
                "woods",
                f"has no letter {short(letter)}, which patch {first.place} asks for",
                f'add it: {letter} = "…" ({has})',
                first.line or findings.line(("woods",)),
            )
            findings.extend([fault])
