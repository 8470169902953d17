"""What bars cost, and what they need."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from seamwright.plan import Machine, SetUp, Shop
from seamwright.plan.effort import set_up_minutes
from seamwright.planner.bar_costs import alike, bars_in_a_clamping, most_bars, parting
from seamwright.planner.clamps import longest_glued_mm
from seamwright.planner.depths import Depths
from seamwright.planner.options import Bar, Space
from seamwright.planner.packing import fullest_mm
from seamwright.planner.problem import Node, Pool
from seamwright.planner.settings import glue_stages, is_planed, overhead_mm, strip_set_minutes
from seamwright.planner.tariffs import Draft, Tariff

_STRIP_SETS = "strip sets"


@dataclass(slots=True)
class BarPricing:
    """Pools of bars.

    Attributes:
        space, shop, depths, copies: what is priced.
        tariff: what has been priced.
        pitches_mm: pools that are drawn from, by their numbers in the tariff, with what is drawn.
        setting_numbers: settings that are needed, by theirs.
    """

    space: Space
    shop: Shop
    depths: Depths
    copies: int
    tariff: Tariff
    pitches_mm: dict[int, set[float]] = field(default_factory=dict)
    setting_numbers: dict[int, int] = field(default_factory=dict)

    def room(self, bar: Bar) -> float:
        """Pitch of slices that one bar holds [mm]."""
        longest = min(self.shop.limits.stick_length_mm, longest_glued_mm(bar, self.shop))
        return longest - overhead_mm(bar, self.shop)

    def pool(self, number: int, deep: bool) -> int | None:
        """The number of a bar at a depth; None where it cannot be made."""
        place = (number, deep)
        if place not in self.tariff.drafts:
            bar = self.space.bars[number]
            depth = self.depths.stick_mm(deep, len(bar.strips))
            if not all(self._can_mill(s.width_mm, depth) for s in bar.strips):
                return None
            if bar.height_mm > self.shop.limits.clamp_reach_mm and len(bar.strips) > 1:
                return None
            if longest_glued_mm(bar, self.shop) < self.shop.limits.stick_min_length_mm - 1e-9:
                return None
            self.tariff.drafts[place] = len(self.tariff.pools)
            self.tariff.pools.append(self._draft(number, deep))
        return self.tariff.drafts[place]

    def _draft(self, number: int, deep: bool) -> Draft:
        """A bar that can be made, priced."""
        m, extra, bar = self.shop.minutes, self.shop.allowances, self.space.bars[number]
        rough = 2.0 * extra.rough_face_mm
        strips = len(bar.strips)
        depth = self.depths.stick_mm(deep, strips)
        section = sum((s.width_mm + rough) * (depth + rough) for s in bar.strips)
        per_mm = section * m.wood_litre / 1e6
        one = glue_stages(strips, self.shop) == 1
        clamping = m.glue_up if one else 0.0
        glue = strip_set_minutes(strips, self.shop) - clamping
        same = alike(bar, depth, self.shop)
        return Draft(
            bar=number,
            deep=deep,
            room_mm=self.room(bar),
            overhead_mm=overhead_mm(bar, self.shop),
            per_bar=m.stick * strips + glue + m.slice + per_mm * extra.rough_length_mm,
            per_mm=per_mm,
            alike=same,
            parting=parting(same, self.shop),
            clamping=clamping,
            batch=bars_in_a_clamping(bar, self.shop) if one else 1,
            settings=self._mill_settings(bar, deep),
        )

    def _can_mill(self, width_mm: float, depth_mm: float) -> bool:
        limits, rough = self.shop.limits, 2.0 * self.shop.allowances.rough_face_mm
        small, large = sorted((width_mm, depth_mm))
        return (
            width_mm >= limits.stick_min_width_mm - 1e-9
            and depth_mm >= limits.stick_min_depth_mm - 1e-9
            and small + rough <= limits.stock_thickness_mm + 1e-9
            and large + rough <= limits.stock_width_mm + 1e-9
        )

    def _mill_settings(self, bar: Bar, deep: bool) -> tuple[int, ...]:
        strips = len(bar.strips)
        depth = SetUp(machine=Machine.PLANER, size_mm=self.depths.stick_mm(deep, strips))
        widths = {
            up.key: up
            for up in (
                SetUp(machine=Machine.RIP_FENCE, size_mm=strip.width_mm) for strip in bar.strips
            )
        }
        milled = (self.setting(depth), *(self.setting(up) for up in widths.values()))
        if not is_planed(strips, self.shop):
            return milled
        flat = SetUp(machine=Machine.PLANER, size_mm=self.depths.of(deep))
        return (*milled, self.setting(flat, _STRIP_SETS))

    def setting(self, up: SetUp, day: str = "") -> int:
        """The number of a setting; the same one is another on another day's work."""
        key = (up.key, day)
        tariff = self.tariff
        if key not in tariff.settings:
            tariff.settings[key] = len(tariff.setting_minutes)
            tariff.setting_minutes.append(set_up_minutes(up, self.shop))
        return tariff.settings[key]

    def finished_pools(self, nodes: Iterable[Node]) -> tuple[Pool, ...]:
        """The pools, now that it is known what draws from them."""
        most = [0.0] * len(self.pitches_mm)
        for node in nodes:
            drawn: dict[int, float] = {}
            for mode in node.modes:
                if mode.pool >= 0:
                    drawn[mode.pool] = max(drawn.get(mode.pool, 0.0), mode.pitch_mm * node.most)
            for pool, pitch in drawn.items():
                most[pool] += pitch
        return tuple(
            self.finished(self.tariff.pools[number], pitches, pitch)
            for (number, pitches), pitch in zip(self.pitches_mm.items(), most, strict=True)
        )

    def finished(self, draft: Draft, pitches_mm: set[float], pitch_mm: float) -> Pool:
        """A pool from which so much pitch may be drawn at the most, in slices of these [mm]."""
        room = draft.room_mm
        return draft.pool(
            least_mm=self.shop.limits.stick_min_length_mm,
            full_mm=fullest_mm(room, pitches_mm) if pitch_mm > room else room,
            most=most_bars(room, pitch_mm, pitches_mm),
            settings=tuple(map(self.setting_numbers.__getitem__, draft.settings)),
            one_pitch=len(pitches_mm) == 1,
        )
