"""Upright prisms seen from the side: exploded drawings and models, in true depth order."""

from seamwright.pictures.space.camera import Camera
from seamwright.pictures.space.exploded import apart, exploded
from seamwright.pictures.space.gltf import glb
from seamwright.pictures.space.order import painter_order
from seamwright.pictures.space.prisms import Prism, convex_parts

__all__ = ["Camera", "Prism", "apart", "convex_parts", "exploded", "glb", "painter_order"]
